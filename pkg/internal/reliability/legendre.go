package reliability

import "gonum.org/v1/gonum/integrate/quad"

// legendre holds the points and weights of Gauss-Legendre quadrature on −1 to 1.
var legendre = func() (l struct{ x, w [12]float64 }) {
	quad.Legendre{}.FixedLocations(l.x[:], l.w[:], -1, 1)
	return l
}()
