package sparse
import "context"
type Cache struct{}
type Options struct{ Workers int; Cache *Cache }
func FactorTree(ctx context.Context, p *Problem, k Stiffness, o Options) (Factor, error) { return FactorDirect(ctx,p,k) }
