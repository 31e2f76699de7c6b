package risk

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/reliability"
	"github.com/tanrad/tanrad/pkg/internal/variation"
	"github.com/tanrad/tanrad/pkg/wood"
)

// scatter holds the variables all joints share, and how a piece's free strain
// follows from them. In order: the stiffness of the board (a factor on all
// tractions), what the surroundings bring (% MC), two factors on radial and
// tangential shrinkage for every wood, and four for every piece: factors on its
// radial and tangential shrinkage, % MC when glued, and degrees of ring angle.
//
// The published variation of shrinkage is of specimens of one wood. Half of its
// variance is put on the wood (the maker's whole lot off the printed mean), half
// on each piece: nothing published says how it divides. Radial and tangential
// vary apart.
type scatter struct {
	m       Board
	vars    []reliability.Variable
	groups  []string // per variable
	wood    []int    // per piece: number of its wood
	species []*wood.Species
	frame   []wood.Frame // at the piece's centre
	turn    []float64    // per piece: sign with which R turns towards T as the ring angle grows
}

// The groups of variables a chance is put down to.
const (
	ByStrength  = "strength of the wood"
	ByShrinkage = "how much the woods shrink"
	ByMoisture  = "moisture of the pieces when glued"
	ByRingAngle = "ring angles"
	ByStiffness = "stiffness"
	ByAir       = "the climate it meets"
)

const (
	varStiffness = iota
	varAir
	varWoods // first of two a wood
)

func (m Board) newScatter() *scatter {
	s := &scatter{m: m}
	add := func(group string, law reliability.Law, mean, sd float64) {
		s.vars = append(s.vars, reliability.Variable{Law: law, Mean: mean, SD: sd})
		s.groups = append(s.groups, group)
	}
	half := variation.Of("shrinkage") / math.Sqrt2
	add(ByStiffness, reliability.Lognormal, 1, variation.Of("moe"))
	add(ByAir, reliability.Normal, 0, variation.Ours().Settled)
	number := map[string]int{}
	for i := range m.Board.Pieces {
		sp := m.Sides[i].Species
		n, ok := number[sp.ID]
		if !ok {
			n = len(s.species)
			number[sp.ID] = n
			s.species = append(s.species, sp)
			add(ByShrinkage, reliability.Lognormal, 1, half)
			add(ByShrinkage, reliability.Lognormal, 1, half)
		}
		s.wood = append(s.wood, n)
	}
	for i := range m.Board.Pieces {
		pc := &m.Board.Pieces[i]
		s.frame = append(s.frame, pc.Frame(pc.Centre))
		turn := 1.0
		if !pc.Grain.Up {
			turn = -1 // T = L × R turns the other way when R comes out of the face
		}
		s.turn = append(s.turn, turn)
		add(ByShrinkage, reliability.Lognormal, 1, half)
		add(ByShrinkage, reliability.Lognormal, 1, half)
		add(ByMoisture, reliability.Normal, 0, variation.Ours().Glued)
		add(ByRingAngle, reliability.Normal, 0, variation.Ours().Rings)
	}
	return s
}

// first is the number of piece i's first variable.
func (s *scatter) first(i int) int { return varWoods + 2*len(s.species) + 4*i }

// strain is the free strain of a piece per % MC and its slopes.
type strain struct {
	unit                  [3]float64
	byR, byT, byMC, byDeg [3]float64 // by the factor on radial and on tangential shrinkage, by % MC when glued, by degrees of ring angle
}

// rate is the shrinkage law: strain per % MC of the size at mc, for a total of
// s % of the green size; with its slopes by s and by mc. See wood.Species.Swelling.
func rate(s, fsp, mc float64) (r, byS, byMC float64) {
	per := s / 100 / fsp
	d := 1 - per*math.Max(0, fsp-mc)
	r, byS = per/d, per/s/(d*d)
	if mc < fsp {
		byMC = -r * r
	}
	return r, byS, byMC
}

// strainOf works out a piece's free strain, exactly, for values of the variables.
func (s *scatter) strainOf(i int, x []float64, slopes bool, out *strain) {
	at, w := s.first(i), varWoods+2*s.wood[i]
	sp := s.species[s.wood[i]]
	mc := s.m.Kinds[s.m.KindOf[i]].Start + x[at+2]
	fsp := sp.FSP()
	sr, st := sp.ShrinkR.V*x[w]*x[at], sp.ShrinkT.V*x[w+1]*x[at+1]
	l, _, lm := rate(sp.LongitudinalShrinkage().V, fsp, mc)
	r, rs, rm := rate(sr, fsp, mc)
	t, ts, tm := rate(st, fsp, mc)
	f := s.frame[i]
	sin, cos := math.Sincos(s.turn[i] * x[at+3] * math.Pi / 180)
	var a, b [3]float64 // R and T turned
	for k := range a {
		a[k], b[k] = cos*f.R[k]+sin*f.T[k], cos*f.T[k]-sin*f.R[k]
	}
	el := [3]float64{f.L[0] * f.L[0], f.L[1] * f.L[1], 2 * f.L[0] * f.L[1]}
	er := [3]float64{a[0] * a[0], a[1] * a[1], 2 * a[0] * a[1]}
	et := [3]float64{b[0] * b[0], b[1] * b[1], 2 * b[0] * b[1]}
	for k := range out.unit {
		out.unit[k] = l*el[k] + r*er[k] + t*et[k]
	}
	if !slopes {
		return
	}
	turned := [3]float64{2 * a[0] * b[0], 2 * a[1] * b[1], 2 * (a[0]*b[1] + a[1]*b[0])}
	deg := s.turn[i] * (r - t) * math.Pi / 180
	for k := range out.unit {
		out.byR[k], out.byT[k] = rs*sp.ShrinkR.V*er[k], ts*sp.ShrinkT.V*et[k]
		out.byMC[k] = lm*el[k] + rm*er[k] + tm*et[k]
		out.byDeg[k] = deg * turned[k]
	}
}
