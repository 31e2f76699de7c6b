package reliability

import (
	"math"
	"sort"
)

// Mode is one limit state of a series system: its index, and its direction
// cosines over the variables all modes share. What a mode owes to variables of
// its own is left out of Alpha, so |Alpha| may be below 1.
type Mode struct {
	Beta  float64
	Alpha []float64
}

// SimpleBounds bounds the probability that at least one of several events
// happens, from their own probabilities, when none makes another less likely:
// the largest (all go together) and 1 − Π(1 − p) (all independent).
func SimpleBounds(p []float64) (low, high float64) {
	sum := 0.0
	for _, v := range p {
		low = math.Max(low, v)
		sum += math.Log1p(-math.Min(v, 1))
	}
	return low, -math.Expm1(sum)
}

// DitlevsenBounds gives the narrow bounds of a series system of linearised limit
// states (Ditlevsen, Journal of Structural Mechanics 7, 1979; from memory):
//
//	p₁ + Σ max(0, pᵢ − Σ_{j<i} pᵢⱼ)  ≤  p  ≤  Σ pᵢ − Σ max_{j<i} pᵢⱼ
//
// with the modes in falling order of pᵢ = Φ(−βᵢ) and pᵢⱼ = Φ₂(−βᵢ, −βⱼ; αᵢ·αⱼ).
func DitlevsenBounds(modes []Mode) (low, high float64) {
	m := append([]Mode(nil), modes...)
	sort.SliceStable(m, func(a, b int) bool { return m[a].Beta < m[b].Beta })
	for i := range m {
		p := Phi(-m[i].Beta)
		sum, most := 0.0, 0.0
		for j := 0; j < i; j++ {
			rho := math.Max(-1, math.Min(1, dot(m[i].Alpha, m[j].Alpha)))
			both := BivariateNormal(-m[i].Beta, -m[j].Beta, rho)
			sum += both
			most = math.Max(most, both)
		}
		low += math.Max(0, p-sum)
		high += p - most
	}
	return math.Min(low, 1), math.Min(high, 1)
}

// Correlation is the mean correlation of all pairs of modes; 0 for fewer than two.
func Correlation(modes []Mode) float64 {
	sum, n := 0.0, 0
	for i := range modes {
		for j := 0; j < i; j++ {
			sum += dot(modes[i].Alpha, modes[j].Alpha)
			n++
		}
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// Alike is the probability that at least one of several events happens whose
// limit states have the reliability indices beta and all the same correlation
// rho (0 to 1): they share one variable and have one each of their own, so that
//
//	p = 1 − ∫ φ(t)·Π Φ((βᵢ − √ρ·t)/√(1−ρ)) dt
//
// (Dunnett and Sobel, Biometrika 42, 1955; from memory). Accurate to about 1e-9.
func Alike(beta []float64, rho float64) float64 {
	rho = math.Max(0, math.Min(rho, 1))
	low, own := math.Sqrt(rho), math.Sqrt(1-rho)
	if own < 1e-6 {
		p := 0.0
		for _, b := range beta {
			p = math.Max(p, Phi(-b))
		}
		return p
	}
	// Panels of half a standard deviation; a stiff product is steep over √(1−ρ).
	const far = 9.0
	width := math.Min(0.5, own)
	p := 0.0
	for from := -far; from < far; from += width {
		for i, x := range legendre.x {
			t := from + width*(1+x)/2
			none := 0.0 // ln of the chance that no event happens
			for _, b := range beta {
				none += math.Log1p(-Phi(-(b - low*t) / own))
			}
			p -= legendre.w[i] * width / 2 * math.Exp(-t*t/2) / math.Sqrt(2*math.Pi) * math.Expm1(none)
		}
	}
	return math.Min(1, p)
}

// BivariateNormal is the probability that two standard normal variables of
// correlation rho (−1 to 1) lie below a and b: Φ(a)Φ(b) plus the integral of the
// density over the correlation (Plackett, Biometrika 41, 1954; from memory),
// with r = sin θ so that the integrand stays smooth,
//
//	1/2π ∫₀^{asin ρ} exp(−(a² + b² − 2ab·sin θ)/(2cos²θ)) dθ,
//
// by Gauss-Legendre panels that grow shorter towards |θ| = π/2. Accurate to
// about 1e-12.
func BivariateNormal(a, b, rho float64) float64 {
	switch {
	case rho >= 1:
		return Phi(math.Min(a, b))
	case rho <= -1:
		return math.Max(0, Phi(a)-Phi(-b))
	}
	end := math.Asin(rho)
	sum, from := 0.0, 0.0
	for left := 10; ; left-- {
		to := from + (end-from)*0.6
		if left == 0 {
			to = end
		}
		mid, half := (from+to)/2, (to-from)/2
		for i, x := range legendre.x {
			s, c := math.Sincos(mid + half*x)
			sum += half * legendre.w[i] * math.Exp(-(a*a+b*b-2*a*b*s)/(2*c*c))
		}
		if left == 0 {
			break
		}
		from = to
	}
	return math.Max(0, Phi(a)*Phi(b)+sum/(2*math.Pi))
}
