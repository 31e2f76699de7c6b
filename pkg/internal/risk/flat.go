package risk

// FlatParts are the causes of scatter of how far a board lies out of flat: it goes with
// what the wood moves by, in full, and with nothing that makes cracks; where a face
// drinks water, with how much.
func FlatParts(drinks bool) []Part {
	var out []Part
	for _, e := range exponents {
		if e.key == "shrinkage" || e.key == "climate" || e.key == "gluing" {
			out = append(out, part(e.key, e.name, 1))
		}
	}
	if drinks {
		out = append(out, part("uptake", "how much water a face drinks", 1))
	}
	return out
}
