package check

import (
	"math"
	"sort"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/wood"
)

// influence holds how the worst demand answers to every piece: its utilisation
// per unit of free strain and per % MC, at one joint, window and level.
type influence struct {
	joint    int
	demand   demand
	membrane []plate.Influence
	bending  []plate.Influence // nil without bending
	warp     []plate.Influence // nil where nothing warps
	z        float64           // mm, height of the level
}

// influenceOf linearises the utilisation of a joint about a demand. It is of
// degree one in the traction, so its slopes give u itself: u = N·∂u/∂N + T·∂u/∂T.
func (m *Model) influenceOf(j int, d demand, l *load) (*influence, error) {
	jm := &m.joints[j]
	lim := jm.capacity.At(m.scale(jm, l, d.level))
	by := lim.Judge(d.n, d.t)
	w := plate.Weights{Trace: jm.trace, Node: make([]plate.Traction, len(jm.trace.S))}
	for i, c := range jm.windows[d.window].Weight {
		w.Node[i] = plate.Traction{N: by.ByN * c, T: by.ByT * c}
	}
	in := &influence{joint: j, demand: d}
	mem, err := m.Plate.Influences(plate.Membrane, []plate.Weights{w})
	if err != nil {
		return nil, err
	}
	in.membrane = mem[0]
	if d.level == 0 {
		return in, nil
	}
	h := m.board.Thickness / 2
	in.z = float64(d.level) * (h - math.Min(jm.capacity.Length, h)/2)
	if m.bend != nil && l.slope != nil {
		bend, err := m.Plate.Influences(plate.Bending, []plate.Weights{w})
		if err != nil {
			return nil, err
		}
		in.bending = bend[0]
	}
	if m.warp != nil {
		warp, err := m.Plate.Influences(plate.Warp, []plate.Weights{w})
		if err != nil {
			return nil, err
		}
		in.warp = warp[0]
	}
	return in, nil
}

// pieceShares gives what each piece brings to u under a load; they sum to u.
// A free strain that all pieces share stresses nothing, so each piece counts by
// what sets it apart from the board's mean: without that the shares of two
// neighbours would be large, opposite and mean little.
func (m *Model) pieceShares(in *influence, l *load) []float64 {
	out := make([]float64, len(m.board.Pieces))
	mean, slope := m.meanStrain(l.mean), [3]float64{}
	if in.bending != nil {
		slope = m.meanStrain(l.slope)
	}
	for i := range out {
		k := m.kindOf[i]
		out[i] = in.membrane[i].Amount*l.mean[k] - dot(&in.membrane[i].Strain, &mean)
		if in.bending != nil {
			out[i] += in.z * (in.bending[i].Amount*l.slope[k] - dot(&in.bending[i].Strain, &slope))
		}
		if in.warp != nil {
			out[i] += in.z * in.warp[i].Amount * l.mean[k]
		}
	}
	return out
}

// meanStrain is the area mean of the pieces' free strains for amounts per kind.
func (m *Model) meanStrain(amount []float64) (e [3]float64) {
	area := 0.0
	for i := range m.board.Pieces {
		a := m.board.Pieces[i].Area
		area += a
		for c, u := range m.wood[i].Unit {
			e[c] += a * amount[m.kindOf[i]] * u
		}
	}
	for c := range e {
		e[c] /= area
	}
	return e
}

func dot(a, b *[3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// The mechanisms a demand is put down to, in the order in which they are added
// one upon another.
const (
	BySpecies  = "woods that move differently"
	ByRings    = "rings turned differently"
	ByGrain    = "long grain beside end grain"
	ByGlueUp   = "pieces glued at different moisture"
	BySpeed    = "pieces that follow the air at different speed"
	ByOneFace  = "one face wetter than the other"
	byPith     = "curved or slanting rings"
	shareFloor = 0.005 // shares smaller than this are not listed
)

// mechanismShares splits u by mechanism: the board's free strains are built up
// from nothing step by step to the real ones (the woods alone with rings every
// way alike, then rings, fibres, moisture), and each step's contribution is what
// that step adds. They sum to u exactly.
func (m *Model) mechanismShares(in *influence, l *load) []Share {
	area, mean, start := 0.0, 0.0, 0.0
	anyUp := false
	for i := range m.board.Pieces {
		a := m.board.Pieces[i].Area
		k := m.kindOf[i]
		area += a
		mean += a * l.mean[k]
		start += a * m.kinds[k].change(0)
		anyUp = anyUp || m.board.Pieces[i].Grain.Up
	}
	mean, start = mean/area, start/area
	first := &m.board.Pieces[0]
	total := make([]float64, 5) // u when the steps so far are taken
	pith := 0.0
	for i := range m.board.Pieces {
		pc, k, u := &m.board.Pieces[i], m.kindOf[i], m.unit[i]
		q := func(e [3]float64, amount float64) float64 {
			return amount * dot(&in.membrane[i].Strain, &e)
		}
		// Its wood alone: rings every way alike where end grain shows, else fibres
		// and rings as in the first piece.
		own := (u[1] + u[2]) / 2
		alike, turned := [3]float64{own, own, 0}, [3]float64{own, own, 0}
		switch {
		case pc.Grain.Up:
			turned = wood.InPlane(u[0], u[1], u[2], wood.EndGrain(pc.RingAngle))
		case !anyUp:
			alike = wood.InPlane(u[0], u[1], u[2], wood.LongGrain(first.Grain.Angle, first.RingAngle))
			turned = wood.InPlane(u[0], u[1], u[2], wood.LongGrain(first.Grain.Angle, pc.RingAngle))
		}
		real := m.wood[i].Unit
		total[0] += q(alike, mean)
		total[1] += q(turned, mean)
		total[2] += q(real, mean)
		total[3] += q(real, mean+m.kinds[k].change(0)-start)
		total[4] += q(real, l.mean[k])
		pith += in.membrane[i].Amount*l.mean[k] - q(real, l.mean[k])
		if in.warp != nil {
			pith += in.z * in.warp[i].Amount * l.mean[k]
		}
	}
	shares := []Share{
		{Name: BySpecies, Share: total[0]},
		{Name: ByRings, Share: total[1] - total[0]},
		{Name: ByGrain, Share: total[2] - total[1]},
		{Name: ByGlueUp, Share: total[3] - total[2]},
		{Name: BySpeed, Share: total[4] - total[3]},
		{Name: byPith, Share: pith},
	}
	all := 0.0
	for _, v := range m.pieceShares(in, l) {
		all += v
	}
	shares = append(shares, Share{Name: ByOneFace, Share: all - total[4] - pith})
	for i := range shares {
		shares[i].Kind = "mechanism"
		shares[i].Share /= all
	}
	return shares
}

// causes lists the shares of the worst joint's demand by mechanism, by wood and
// by piece; those of one kind sum to 1, the small ones gathered at the end.
func (m *Model) causes(in *influence, l *load) []Share {
	out := tidy(m.mechanismShares(in, l), "the rest", 8)
	per := m.pieceShares(in, l)
	all := 0.0
	for _, v := range per {
		all += v
	}
	woods := map[string]float64{}
	pieces := make([]Share, 0, len(per))
	for i, v := range per {
		pc := &m.board.Pieces[i]
		name := strings.ToLower(m.sides[i].Species.CommonName)
		if pc.Border >= 0 {
			name += " of the border"
		}
		woods[name] += v / all
		pieces = append(pieces, Share{"piece", pc.ID, v / all})
	}
	var byWood []Share
	for n, v := range woods {
		byWood = append(byWood, Share{"wood", n, v})
	}
	out = append(out, tidy(byWood, "other woods", 8)...)
	return append(out, tidy(pieces, "all other pieces", 8)...)
}

// tidy sorts shares by size and gathers all but the largest few.
func tidy(s []Share, rest string, most int) []Share {
	sort.SliceStable(s, func(a, b int) bool {
		if x, y := math.Abs(s[a].Share), math.Abs(s[b].Share); x != y {
			return x > y
		}
		return s[a].Name < s[b].Name
	})
	var out []Share
	left := 0.0
	for i, v := range s {
		if i < most && math.Abs(v.Share) >= shareFloor {
			out = append(out, v)
		} else {
			left += v.Share
		}
	}
	if left != 0 && len(s) > len(out) {
		out = append(out, Share{s[0].Kind, rest, left})
	}
	return out
}
