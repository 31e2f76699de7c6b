package movement

// Cup returns the curvature [1/mm] and the depth [mm] that curved rings alone
// give a free, evenly moist strip of the width [mm] (across the fibres) whose
// face lies ringRadius [mm] from the pith; eR and eT are the radial and
// tangential strains, dimensionless. Both results have the sign of eT − eR:
// positive in swelling, when the bark side turns round; negative in drying,
// when it turns hollow.
//
// Source: the map r' = (1+e_R) r, θ' = θ (1+e_T)/(1+e_R) of a body with circular
// rings is free of stress (kinematics used by Mitchell 2016, BioResources
// 11(3):6416; derived). Good for strains of a few per cent and widths up to
// about the ring radius.
func Cup(width, ringRadius, eR, eT float64) (curvature, depth float64) {
	curvature = 2 * (eT - eR) / ringRadius
	return curvature, curvature * width * width / 8
}
