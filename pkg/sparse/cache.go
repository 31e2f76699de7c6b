package sparse

// Cache keeps parts of factorisations.
type Cache struct{}
