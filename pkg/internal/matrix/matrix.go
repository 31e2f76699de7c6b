// Package matrix does the algebra of 3×3 matrices that plane stress asks for: strain
// and stress have three parts each.
package matrix

// Times is m·v; here numbers are dimensionless.
func Times(m *[3][3]float64, v *[3]float64) [3]float64 {
	return [3]float64{
		m[0][0]*v[0] + m[0][1]*v[1] + m[0][2]*v[2],
		m[1][0]*v[0] + m[1][1]*v[1] + m[1][2]*v[2],
		m[2][0]*v[0] + m[2][1]*v[1] + m[2][2]*v[2],
	}
}

// Product is a·b; here numbers are dimensionless.
func Product(a, b *[3][3]float64) (out [3][3]float64) {
	for r := range out {
		for c := range out {
			out[r][c] = a[r][0]*b[0][c] + a[r][1]*b[1][c] + a[r][2]*b[2][c]
		}
	}
	return out
}

// Inverse is that of a regular matrix of dimensionless numbers, by its cofactors. That of a symmetric one is
// symmetric to the last bit.
func Inverse(a *[3][3]float64) (out [3][3]float64) {
	det := 0.0
	for r := range a {
		for c := range a {
			r1, r2, c1, c2 := (c+1)%3, (c+2)%3, (r+1)%3, (r+2)%3
			out[r][c] = a[r1][c1]*a[r2][c2] - a[r1][c2]*a[r2][c1]
		}
		det += out[r][0] * a[0][r]
	}
	for r := range out {
		for c := range out {
			out[r][c] /= det
		}
	}
	return out
}
