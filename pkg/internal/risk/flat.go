package risk

// Bend says what bends a board.
type Bend struct {
	Faces  float64 // share that comes from faces unlike in moisture, 0 to 1; the rest from rings and fibres, all wood changing evenly
	Drinks bool    // a face drinks water
	Glued  bool    // it starts with the moisture at gluing, and has not settled since
}

// FlatParts are the causes of scatter of how far a board lies out of flat: it goes with
// what the wood moves by, in full, and with nothing that makes cracks. What rings do goes
// with the change since gluing. What faces do goes with it only where the board has not
// settled since, and where one drinks with how much water it takes.
func FlatParts(by Known, b Bend) []Part {
	var out []Part
	for _, e := range exponents {
		if e.key == "shrinkage" || e.key == "climate" {
			out = append(out, part(e.key, e.name, 1))
		}
	}
	share := 1 - b.Faces
	if b.Glued {
		share = 1
	}
	if glued := by.part(); share > 0 {
		glued.Spread *= share
		out = append(out, glued)
	}
	if b.Drinks && b.Faces > 0 {
		out = append(out, part("uptake", "how much water a face drinks", b.Faces))
	}
	return out
}
