package influence

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Share is a named part of a whole; the parts of one list sum to 1.
type Share struct {
	Name  string
	Share float64
}

// Linear holds how the worst demand answers to every piece: its utilisation
// per unit of free strain and per % MC, at one joint, window and level.
type Linear struct {
	joint    int
	demand   Critical
	membrane []plate.Influence
	bending  []plate.Influence // nil without bending
	warp     []plate.Influence // nil where nothing warps
	z        float64           // mm, height of the level
	locked   []lockedInfluence // of what the rests between glue-ups left
}

// InfluenceOf linearises the utilisation of a joint about a demand. It is of
// degree one in the traction, so its slopes give u itself: u = N·∂u/∂N + T·∂u/∂T.
func (m *Model) InfluenceOf(ctx context.Context, j int, d Critical, l *Load) (*Linear, error) {
	jm := &m.Joints[j]
	lim := jm.Capacity.At(m.Scale(jm, l, d.Level))
	by := lim.Judge(d.N, d.T)
	node := make([]plate.Traction, len(jm.Trace.S))
	for i, c := range jm.Intervals[d.Window].Weight {
		node[i] = plate.Traction{N: by.ByN * c, T: by.ByT * c}
	}
	in := &Linear{joint: j, demand: d}
	if err := m.lockedInfluences(ctx, in, node); err != nil {
		return nil, err
	}
	of := func(mode plate.Mode) ([]plate.Influence, error) {
		by2, err := m.pulls.of(ctx, m, pull{j, d.Window, mode})
		if err != nil {
			return nil, err
		}
		out := make([]plate.Influence, len(by2[0]))
		for i := range out {
			out[i].Add(by.ByN, &by2[0][i])
			out[i].Add(by.ByT, &by2[1][i])
		}
		return out, nil
	}
	var err error
	if in.membrane, err = of(plate.Membrane); err != nil || d.Level == 0 {
		return in, err
	}
	in.z = m.heightOf(j, d.Level)
	if m.Bends && l.Slope != nil {
		if in.bending, err = of(plate.Bending); err != nil {
			return nil, err
		}
	}
	if m.Warps {
		in.warp, err = of(plate.Warp)
	}
	return in, err
}

// heightOf is the height [mm] over the mid-plane at which a level of a joint is judged.
func (m *Model) heightOf(j, level int) float64 {
	h := m.Board.Thickness / 2
	return float64(level) * (h - min(m.Joints[j].Capacity.Length, h)/2)
}

// PieceShares gives what each piece brings to u under a load; they sum to u.
// A free strain that all pieces share stresses nothing, so each piece counts by
// what sets it apart from the board's mean: without that the shares of two
// neighbours would be large, opposite and mean little.
func (m *Model) PieceShares(in *Linear, l *Load) []float64 {
	out := make([]float64, len(m.Board.Pieces))
	mean, slope := m.meanStrain(l.Mean), [3]float64{}
	if in.bending != nil {
		slope = m.meanStrain(l.Slope)
	}
	for i := range out {
		change := m.Of(l.Mean, i)
		out[i] = in.membrane[i].Amount*change - dot(&in.membrane[i].Strain, &mean)
		if in.bending != nil {
			out[i] += in.z * (in.bending[i].Amount*m.Of(l.Slope, i) - dot(&in.bending[i].Strain, &slope))
		}
		if in.warp != nil {
			out[i] += in.z * in.warp[i].Amount * change
		}
	}
	in.addLocked(out, l)
	return out
}

// meanStrain is the area mean of the pieces' free strains for amounts per kind.
func (m *Model) meanStrain(amount []float64) (e [3]float64) {
	area := 0.0
	for i := range m.Board.Pieces {
		a := m.Board.Pieces[i].Area
		area += a
		for c, u := range m.Wood[i].Unit {
			e[c] += a * m.Of(amount, i) * u
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
	BySpecies = "woods that move differently"
	ByRings   = "rings turned differently"
	ByGrain   = "long grain beside end grain"
	ByGlueUp  = "pieces glued at different moisture"
	ByRests   = "what moved between glue-ups"
	BySpeed   = "pieces that follow the air at different speed"
	ByOneFace = "one face wetter than the other"
	byPith    = "curved or slanting rings"
)

// MechanismShares splits u by mechanism: the board's free strains are built up
// from nothing step by step to the real ones (the woods alone, turned every way in
// which the board has wood; then its own rings; then its own fibres; then the
// moistures), and each step's contribution is what that step adds. They sum to u
// exactly, and do not depend on the order of the pieces.
func (m *Model) MechanismShares(in *Linear, l *Load) []Share {
	area, mean, start := 0.0, 0.0, 0.0
	for i := range m.Board.Pieces {
		a := m.Board.Pieces[i].Area
		area += a
		mean += a * m.Of(l.Mean, i)
		start += a * m.dried(i)
	}
	mean, start = mean/area, start/area
	w := m.ways()
	var total [5]float64 // u when the steps so far are taken
	pith := 0.0
	for i := range m.Board.Pieces {
		pc, change := &m.Board.Pieces[i], m.Of(l.Mean, i)
		q := func(e [3]float64, amount float64) float64 {
			return amount * dot(&in.membrane[i].Strain, &e)
		}
		alike, turned := w.steps(m.unit[i], pc)
		real := m.Wood[i].Unit
		total[0] += q(alike, mean)
		total[1] += q(turned, mean)
		total[2] += q(real, mean)
		total[3] += q(real, mean+m.dried(i)-start)
		total[4] += q(real, change)
		pith += in.membrane[i].Amount*change - q(real, change)
		if in.warp != nil {
			pith += in.z * in.warp[i].Amount * change
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
	for _, v := range m.PieceShares(in, l) {
		all += v
	}
	rests := 0.0
	for _, v := range in.addLocked(make([]float64, len(m.Board.Pieces)), l) {
		rests += v
	}
	shares = append(shares, Share{Name: ByRests, Share: rests}, Share{Name: ByOneFace, Share: all - total[4] - pith - rests})
	for i := range shares {
		shares[i].Share /= all
	}
	return shares
}

// dried is the change of bound water [% MC] of a piece from the last glue-up to bone dry.
func (m *Model) dried(piece int) float64 {
	return -m.Kinds[m.KindOf[piece]].Species.BoundWater(m.Start(piece))
}

// oriented is the strain of the board's plane (xx, yy, xy) for a strain of one along
// L, R and T.
type oriented [3][3]float64

func orientedBy(f wood.Frame) (o oriented) {
	o[0], o[1], o[2] = wood.InPlane(1, 0, 0, f), wood.InPlane(0, 1, 0, f), wood.InPlane(0, 0, 1, f)
	return o
}

// add adds another one, times a factor.
func (o *oriented) add(f float64, p oriented) {
	for a := range o {
		for c := range o[a] {
			o[a][c] += f * p[a][c]
		}
	}
}

// strain is that of a wood whose strains along L, R and T are given.
func (o *oriented) strain(unit [3]float64) (e [3]float64) {
	for a, u := range unit {
		for c := range e {
			e[c] += u * o[a][c]
		}
	}
	return e
}

// turned is the mean over fibres in the face that run at angles whose mean cosine and
// sine of twice the angle are given, of what o is for fibres along x.
func (o oriented) turned(cos2, sin2 float64) (p oriented) {
	for a := range o {
		even, d, s := (o[a][0]+o[a][1])/2, (o[a][0]-o[a][1])/2, o[a][2]/2
		x, y := d*cos2-s*sin2, d*sin2+s*cos2
		p[a] = [3]float64{even + x, even - x, 2 * y}
	}
	return p
}

// ways are the ways in which a board's wood is turned, as means over its area.
type ways struct {
	all        oriented    // of all pieces
	rings      [2]oriented // of long grain and of end grain, over the rings alone
	cos2, sin2 float64     // of the fibres of long grain
}

func (m *Model) ways() *ways {
	w := &ways{}
	var area [2]float64
	for i := range m.Board.Pieces {
		area[grainOf(&m.Board.Pieces[i])] += m.Board.Pieces[i].Area
	}
	for i := range m.Board.Pieces {
		pc := &m.Board.Pieces[i]
		f := wood.EndGrain(pc.RingAngle)
		if !pc.Grain.Up {
			f = wood.LongGrain(pc.Grain.Angle, pc.RingAngle)
			s, c := math.Sincos(2 * pc.Grain.Angle * math.Pi / 180)
			w.cos2, w.sin2 = w.cos2+pc.Area/area[0]*c, w.sin2+pc.Area/area[0]*s
		}
		w.all.add(pc.Area/(area[0]+area[1]), orientedBy(f))
	}
	for i := range m.Board.Pieces {
		pc := &m.Board.Pieces[i]
		w.rings[grainOf(pc)].add(pc.Area/area[grainOf(pc)], w.own(pc))
	}
	return w
}

// grainOf is the number of a piece among ways.rings.
func grainOf(pc *layout.Piece) int {
	if pc.Grain.Up {
		return 1
	}
	return 0
}

// own is a piece with its own rings, its fibres as those of its sisters run.
func (w *ways) own(pc *layout.Piece) oriented {
	if pc.Grain.Up {
		return orientedBy(wood.EndGrain(pc.RingAngle))
	}
	return orientedBy(wood.LongGrain(0, pc.RingAngle)).turned(w.cos2, w.sin2)
}

// steps gives the free strain per % MC of a piece that is only its wood, turned every
// way, and of one that has its own rings too.
func (w *ways) steps(unit [3]float64, pc *layout.Piece) (alike, turned [3]float64) {
	alike = w.all.strain(unit)
	own := w.own(pc)
	own.add(-1, w.rings[grainOf(pc)])
	turned = own.strain(unit)
	for c := range turned {
		turned[c] += alike[c]
	}
	return alike, turned
}
