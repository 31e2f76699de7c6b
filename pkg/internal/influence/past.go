package influence

import (
	"context"
	"slices"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
	"github.com/tanrad/tanrad/pkg/wood"
)

// past is what a board went through between its glue-ups.
type past struct {
	spells []spell
	ready  []float64 // per piece: % MC when the last glue-up set, from which all later loads count
}

// spell is one rest between two glue-ups.
type spell struct {
	stage    int        // the glue-up after which it comes
	assembly []int      // per piece: the sub-assembly it is in, −1 while it is loose
	from, to []float64  // % MC per piece, at the glue-up and after the rest
	ago      [2]float64 // h before the last glue-up: its beginning and its end
}

// loose tells that a piece is in no sub-assembly during the spell.
func (s *spell) loose(piece int) bool { return s.assembly[piece] < 0 }

// pastOf follows the pieces of a board from glue-up to glue-up. A piece begins with its
// moisture at gluing when it first takes part in a stage, and follows the air of the rest
// from then on by its own speed: bare, both faces free, through the ends of its fibres
// once they are open. The water of the glue is in the wood when a rest begins: a joint
// sets at the moisture of the wood before it. A measured moisture takes the place of what
// was worked out.
//
// Errors: those of package moisture at the place of the rest, and the context's.
func pastOf(ctx context.Context, b *layout.Board) (*past, error) {
	p := &past{ready: make([]float64, len(b.Pieces))}
	for i := range b.Pieces {
		p.ready[i] = b.Pieces[i].Moisture
	}
	for k := 0; k+1 < len(b.Stages); k++ {
		s := spell{stage: k, assembly: assemblies(b, k), from: slices.Clone(p.ready)}
		rest := &b.Stages[k+1].Rest
		if err := s.follow(ctx, b, rest, p.ready); err != nil {
			return nil, fault.At(err, b.Stages[k+1].Pointer+"/rest")
		}
		s.to = slices.Clone(p.ready)
		for i := range p.spells {
			p.spells[i].ago[0] += 24 * rest.Days
			p.spells[i].ago[1] += 24 * rest.Days
		}
		s.ago[0] = 24 * rest.Days
		if !slices.Equal(s.from, s.to) {
			p.spells = append(p.spells, s)
		}
	}
	return p, nil
}

// assemblies numbers the sub-assemblies that are there after a glue-up: pieces that
// hang together by the joints made so far, or one by itself that rests with them.
func assemblies(b *layout.Board, stage int) []int {
	root := make([]int, len(b.Pieces))
	for i := range root {
		root[i] = i
	}
	var find func(i int) int
	find = func(i int) int {
		if root[i] != i {
			root[i] = find(root[i])
		}
		return root[i]
	}
	for k := 0; k <= stage; k++ {
		for _, j := range b.Stages[k].Joints {
			root[find(b.Joints[j].A)] = find(b.Joints[j].B)
		}
	}
	out := slices.Repeat([]int{-1}, len(root))
	for _, i := range b.Stages[stage].Pieces {
		out[i] = find(i)
	}
	return out
}

// water is what the glue of a stage raises the moisture of all that is glued by then,
// % MC. It is taken as even: what a thin strip between two joints takes up is shared with
// its neighbours within days.
func (s *spell) water(b *layout.Board) (float64, error) {
	made := map[int]bool{}
	for _, j := range b.Stages[s.stage].Joints {
		made[j] = true
	}
	return GlueWater(b, func(j int) bool { return made[j] && fresh(b, s.stage, j) }, func(i int) bool { return !s.loose(i) })
}

// GlueWater is what the glue of the joints that are wet raises the moisture of the pieces
// that are there, % MC: its water over the dry mass of that wood. Both go with the
// thickness, so that it does not matter how thick the wood is yet. Errors: those of
// package moisture for a wood.
func GlueWater(b *layout.Board, wet, there func(index int) bool) (float64, error) {
	use, ok := adhesive.UseOf(b.Glue)
	if !ok || use.Water <= 0 {
		return 0, nil
	}
	length, mass := 0.0, 0.0 // mm; mm²·kg/m³
	for j := range b.Joints {
		if wet(j) {
			length += b.Joints[j].Length
		}
	}
	if length == 0 {
		return 0, nil
	}
	for i := range b.Pieces {
		if !there(i) {
			continue
		}
		sp, err := wood.Find(b.Pieces[i].Species)
		if err != nil {
			return 0, err
		}
		dry, err := moisture.DryDensity(sp)
		if err != nil {
			return 0, err
		}
		mass += b.Pieces[i].Area * dry
	}
	const gram, metre = 1e-3, 1e-3 // kg, m
	return 100 * use.Spread * gram * use.Water * length * metre / (mass * metre * metre), nil
}

// fresh tells that the glue of a joint is still wet when its stage is glued: that of
// sticks and panels has left before the rows are glued, even where the file tells no rest.
func fresh(b *layout.Board, stage, j int) bool {
	late := func(k layout.StageKind) bool { return k == layout.StageField || k == layout.StageBorder }
	in, now := b.GlueUps[b.Joints[j].GlueUp].Kind, b.Stages[stage].Kind
	return in == now || late(in) && late(now)
}

// pieceKey tells pieces that move alike through a rest.
type pieceKey struct {
	species string
	up      bool
	mc      float64
}

// follow brings the moistures [% MC] of the pieces in sub-assemblies to the end of a rest.
func (s *spell) follow(ctx context.Context, b *layout.Board, rest *layout.Rest, mc []float64) error {
	air := b.GlueUp
	if rest.Air != nil {
		air = *rest.Air
	}
	face := moisture.Face{Kind: moisture.Air, Room: air}
	phases := []moisture.Phase{{Name: "rest", Hours: 24 * rest.Days, Top: face, Bottom: face}}
	side := b.Stages[s.stage].Side
	groups := map[pieceKey][]int{}
	for i := range b.Pieces {
		pc := &b.Pieces[i]
		if told, ok := rest.Moisture[pc.Stock]; s.loose(i) || ok {
			if !s.loose(i) {
				mc[i] = told
			}
			continue
		}
		k := pieceKey{pc.Species, pc.Grain.Up, mc[i]}
		groups[k] = append(groups[k], i)
	}
	if rest.Days == 0 {
		return nil
	}
	water, err := s.water(b)
	if err != nil {
		return err
	}
	for k, pieces := range groups {
		sp, err := wood.Find(k.species)
		if err != nil {
			return err
		}
		col := moisture.Column{Species: sp, Along: k.up, Thickness: b.Thickness, M0: min(k.mc+water, moisture.MaxStart)}
		if side > 0 { // not sliced yet: the ends are far from most of it
			col.Along, col.Thickness = false, side
		}
		h, err := moisture.Simulate(ctx, col, phases, moisture.Options{})
		if err != nil {
			return err
		}
		for _, i := range pieces {
			mc[i] = h.Mean[len(h.Mean)-1]
		}
	}
	return nil
}

// GluedAt gives the moistures [% MC] at which the two sides of a joint were glued.
func (p *Parts) GluedAt(j int) (a, b float64) {
	jt := &p.Board.Joints[j]
	a, b = p.past.ready[jt.A], p.past.ready[jt.B]
	for k := len(p.past.spells) - 1; k >= 0; k-- {
		s := &p.past.spells[k]
		if s.loose(jt.A) || s.assembly[jt.A] != s.assembly[jt.B] {
			break // not made yet
		}
		a, b = s.from[jt.A], s.from[jt.B]
	}
	return a, b
}

// of is the past of a board whose pieces are parts of this one's.
func (p *past) of(pieces []int) *past {
	out := &past{ready: taken(p.ready, pieces)}
	for _, s := range p.spells {
		s.assembly, s.from, s.to = taken(s.assembly, pieces), taken(s.from, pieces), taken(s.to, pieces)
		out.spells = append(out.spells, s)
	}
	return out
}

func taken[T any](of []T, at []int) []T {
	out := make([]T, len(at))
	for i, k := range at {
		out[i] = of[k]
	}
	return out
}

// locked is one share of stress for every spell.
func (p *past) locked(share float64) []float64 {
	if len(p.spells) == 0 {
		return nil
	}
	return slices.Repeat([]float64{share}, len(p.spells))
}

// casesOf gives the amounts of the cases of a line: the kinds, then the spells.
func (m *Model) casesOf(l *Load) []float64 {
	if len(m.spells) == 0 {
		return l.Mean
	}
	out := make([]float64, len(l.Mean)+len(m.spells))
	copy(out, l.Mean)
	copy(out[len(l.Mean):], l.Locked)
	return out
}

// constantHistory is a share that stays.
func constantHistory(share float64, times int) kindHistory {
	return kindHistory{mean: slices.Repeat([]float64{share}, times), slope: make([]float64, times)}
}

// remembered is the share of what a spell left that stress remembers through a history.
// One from the glue-up on follows the spell itself, in which stress rose evenly and
// relaxed on the way; before any other a season has passed, in which the wood of the
// board moved by so much [% MC].
func (c *LoadHistory) remembered(s *spell, moved float64) kindHistory {
	if !c.Shown.FromGlueUp {
		kc := constantHistory(1, len(c.Times))
		kc.accumulated = c.accumulated
		return relaxed(c.Times, kc, 1, moved, c.stiff)
	}
	times, rows := []float64{-s.ago[0]}, [][]float64{{1}}
	if s.ago[0] > s.ago[1] {
		times, rows = append(times, -s.ago[1]), [][]float64{{0}, {1}}
	}
	if times[len(times)-1] == c.Times[0] { // the last spell ends at the glue-up
		times, rows = times[:len(times)-1], rows[:len(rows)-1]
	}
	// Layers that lie side by side, as in relaxed.
	layers := func(of func(l int) float64) []float64 {
		row := make([]float64, changeLayers)
		for l := range row {
			row[l] = of(l)
		}
		return row
	}
	n := len(times)
	var elastic, accumulated [][]float64
	for i := range times {
		elastic = append(elastic, layers(func(int) float64 { return rows[i][0] }))
		accumulated = append(accumulated, layers(func(int) float64 { return 0 }))
	}
	times = append(times, c.Times...)
	for t, f := range c.stiff {
		elastic = append(elastic, layers(func(int) float64 { return f }))
		accumulated = append(accumulated, layers(func(l int) float64 { return c.accumulated[t][l] }))
	}
	out := constantHistory(0, len(c.Times))
	for t, row := range relax.Relax(times, elastic, accumulated, relax.Typical)[n:] {
		for l, v := range row {
			out.mean[t] += v * shareOfMean(l)
		}
	}
	return out
}
