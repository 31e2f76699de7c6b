package wood

// NominalFSP is the fibre saturation point [% MC] at which shrinkage begins, by
// the convention of the Wood Handbook (Equations 4-7 and 13-3). It is not the
// intersection moisture of the strength formula, which is 21 to 28 %.
const NominalFSP = 30.0

// FSP returns the fibre saturation point of the shrinkage law [% MC]: 30 by
// convention, or 22 where both printed coefficients of the wood follow from its
// printed shrinkages with 22 and not with 30.
func (s *Species) FSP() float64 { return s.fsp.V }

// FSPValue is FSP with its source and status.
func (s *Species) FSPValue() Value { return s.fsp }

// LongitudinalShrinkage returns the shrinkage along the grain, green to oven-dry
// [% of the green length]: the middle of 0.1 to 0.2 %, the handbook's range for
// normal wood of every species. Juvenile and reaction wood can reach 2 %.
func (s *Species) LongitudinalShrinkage() Value { return s.lengthwise }

// Swelling returns the strain (dimensionless, positive is growth) along L, R and
// T of wood that goes from moisture m0 to m1 [% MC], relative to its size at m0.
//
// Size below fibre saturation F is D(M) = D_green·(1 − S/100·(F−M)/F) (Wood
// Handbook Equation 13-3); above it nothing moves. Both moistures must be at
// least 0: the caller answers for that.
func (s *Species) Swelling(m0, m1 float64) (l, r, t float64) {
	f := s.fsp.V
	return strain(s.lengthwise.V, f, m0, m1), strain(s.ShrinkR.V, f, m0, m1), strain(s.ShrinkT.V, f, m0, m1)
}

// BoundWater returns the part of a moisture [% MC] that swells wood: all of it
// below fibre saturation, no more above.
func (s *Species) BoundWater(mc float64) float64 { return min(mc, s.fsp.V) }

// SwellingRate returns the strain along L, R and T for one % MC, of the size at mc
// [% MC], while the wood is below fibre saturation (Wood Handbook Equation 13-3,
// which is linear there: Swelling(mc, m1) is the rate at mc times the change of
// bound water). It does not vanish for wet wood: times the bound water lost it is
// what such wood will shrink.
func (s *Species) SwellingRate(mc float64) (l, r, t float64) {
	f := s.fsp.V
	return rate(s.lengthwise.V, f, mc), rate(s.ShrinkR.V, f, mc), rate(s.ShrinkT.V, f, mc)
}

// rate is the strain per % MC of the size at mc; total in %.
func rate(total, fsp, mc float64) float64 {
	per := total / 100 / fsp
	return per / (1 - per*(fsp-min(mc, fsp)))
}

// strain evaluates the shrinkage law for one direction; total in %.
func strain(total, fsp, m0, m1 float64) float64 {
	return rate(total, fsp, m0) * (min(m1, fsp) - min(m0, fsp))
}

// ChangePerMC returns the handbook's coefficient of dimensional change (per % MC,
// of the size at 10 % MC) that belongs to a total shrinkage [% of the green size]
// and a fibre saturation point [% MC]: C = 1/(100·F/S − (F−10)), which is the
// shrinkage law differentiated at 10 % MC (Wood Handbook Equation 13-3).
func ChangePerMC(totalShrinkage, fsp float64) float64 {
	return 1 / (100*fsp/totalShrinkage - (fsp - 10))
}
