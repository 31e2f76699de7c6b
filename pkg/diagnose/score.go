package diagnose

import "math"

// sums are the rates of an outcome over all links, over the seen ones, and the
// largest demand of each sort.
type sums struct {
	total, seen float64
	here        demand // the largest among the seen
	there       float64
	thereJoint  int // the largest elsewhere, −1 none
	therePiece  int
	hereJoint   int
	herePiece   int
}

// sum adds the rates of an outcome up. Checks at the surface of a piece are the same
// in a piece that was never glued and go with an open joint as well as without:
// they count where the wood was seen to open, and nowhere else.
func sum(o *outcome, p *place) sums {
	s := sums{thereJoint: -1, therePiece: -1, hereJoint: -1, herePiece: -1}
	add := func(d *demand, seen bool, joint, piece int) {
		r := rate(d.u)
		s.total += r
		switch {
		case seen:
			s.seen += r
			if d.u > s.here.u || s.hereJoint < 0 && s.herePiece < 0 {
				s.here, s.hereJoint, s.herePiece = *d, joint, piece
			}
		case d.u > s.there:
			s.there, s.thereJoint, s.therePiece = d.u, joint, piece
		}
	}
	inJoint, inPiece := marks(len(o.joints), p.joints), marks(len(o.pieces), p.pieces)
	for j := range o.joints {
		add(&o.joints[j], inJoint[j], j, -1)
	}
	for i := range o.pieces {
		add(&o.pieces[i], inPiece[i], -1, i)
		if len(p.pieces) > 0 {
			add(&o.surfaces[i], inPiece[i], -1, i)
		}
	}
	return s
}

func marks(n int, which []int) []bool {
	out := make([]bool, n)
	for _, i := range which {
		out[i] = true
	}
	return out
}

// Factors are the parts of a score, each a chance or a ratio of chances,
// dimensionless.
type Factors struct {
	Prior  float64 `json:"prior"`
	Opens  float64 `json:"opens"`
	Place  float64 `json:"place"`
	Season float64 `json:"season"`
	Age    float64 `json:"age"`
	Depth  float64 `json:"depth"`
	Event  float64 `json:"event"`
	Signs  float64 `json:"signs"`
}

func (f *Factors) product() float64 {
	return f.Prior * f.Opens * f.Place * f.Season * f.Age * f.Depth * f.Event * f.Signs
}

// weigh compares an outcome with the observation. spread is how the cause lies
// over the classes of age, event its exposure. Of a board that lost its shape nobody
// says that it opened.
func weigh(o *Observation, of *outcome, s *sums, prior float64, spread [4]float64, event string) Factors {
	f := Factors{Prior: prior, Season: 1, Age: 1, Depth: depthChance(s.here.level, o.depth(), o.Face), Event: eventChance(event, o.Event), Signs: o.signs(of, event)}
	f.Opens = -math.Expm1(-s.total)
	if s.total > 0 {
		f.Place = s.seen / s.total
	}
	if o.shaped() {
		f.Opens, f.Place = 1, 1
	}
	if m := o.month(); m != 0 {
		f.Season = seasonChance(s.here.month, m)
	}
	if o.Age != nil {
		if s.here.days >= 0 {
			spread = fromStart(s.here.days)
		}
		f.Age = spread[ageClass(*o.Age)]
	}
	return f
}

// depth is the depth told; a face alone tells it.
func (o *Observation) depth() string {
	if o.Depth == "" && o.Face != "" {
		return OnFace
	}
	return o.Depth
}
