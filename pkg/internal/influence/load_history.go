package influence

import (
	"context"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// LoadHistory is one exposure followed through: the loads of every kind over time.
type LoadHistory struct {
	moisture.Event
	Shown  moisture.Exposure
	Given  string    // the values it was given, "minutes 240"; "" for none
	Times  []float64 // h
	phases []moisture.Phase
	phase  []int
	off    bool // what it wets or heats lies off every glue line
	// Per kind and time, relative to gluing: as moisture alone would have it, as a free
	// piece moves and bends, its faces crushed or opening against the wood below them,
	// and that as stress remembers it after relaxation.
	// Behind the kinds stand the rests between glue-ups with the share of what each left.
	Elastic, Shape, Stress []kindHistory
	Mean                   [][]float64 // % MC per kind and time, absolute
	accumulated            [][]float64 // as kindHistory.accumulated, mean over the board; nil without stresses of earlier glue-ups
	rims                   *rims
	stiff                  []float64 // per time, what stiffening does to the stress of the board; part of Stress alone
}

// kindHistory is the moisture of one kind over time, relative to gluing.
type kindHistory struct {
	mean, slope []float64
	through     *thick      // what they leave over
	accumulated [][]float64 // per time: the sum of all changes of moisture, up and down, since the first, in each of changeLayers
}

// Follow simulates an exposure for every kind of piece. Errors: those of package
// moisture, and the context's.
func (m *Model) Follow(ctx context.Context, ev moisture.Event, in moisture.Setting) (*LoadHistory, error) {
	shown, err := moisture.FindExposure(ev.Name)
	if err != nil {
		return nil, err
	}
	phases, err := moisture.Expand(ev, in)
	if err != nil {
		return nil, err
	}
	shown.Text = shown.TextIn(ev, in, phases)
	c := &LoadHistory{Event: ev, Shown: shown, Given: given(&ev), phases: phases, off: m.offGlue(&ev)}
	c.Times, c.phase = moisture.SampleTimes(phases)
	type columnKey struct {
		species string
		up      bool
		start   float64
		dry     bool
	}
	dry := moisture.Outside(phases)
	done := map[columnKey]*moisture.History{}
	before := make([]float64, len(m.Kinds))
	middles := make([]*moisture.History, len(m.Kinds))
	for k := range m.Kinds {
		kd := &m.Kinds[k]
		start, err := moisture.StartMoisture(ev, in, kd.Start)
		if err != nil {
			return nil, err
		}
		follow := func(outside bool) (*moisture.History, error) {
			key := columnKey{kd.Species.ID, kd.Up, start, outside}
			if h := done[key]; h != nil {
				return h, nil
			}
			through := phases
			if outside {
				through = dry
			}
			h, err := moisture.Simulate(ctx, m.Column(k, start), through, moisture.Options{Profiles: true})
			done[key] = h
			return h, err
		}
		share := m.Wetted(k, &ev)
		var all [2]*moisture.History // under the patch, and outside it
		for i, needed := range [2]bool{share > 0, share < 1} {
			if needed {
				if all[i], err = follow(i == 1); err != nil {
					return nil, err
				}
			}
		}
		h := all[0]
		if share < 0.5 {
			h = all[1]
		}
		middles[k] = h
		if all[0] == nil || all[1] == nil {
			elastic, shape := m.kindHistory(k, h)
			c.Elastic, c.Shape, c.Mean = append(c.Elastic, elastic), append(c.Shape, shape), append(c.Mean, h.Mean)
		} else {
			wetElastic, wetShape := m.kindHistory(k, all[0])
			dryElastic, dryShape := m.kindHistory(k, all[1])
			c.Elastic, c.Shape = append(c.Elastic, mixed(share, &wetElastic, &dryElastic)), append(c.Shape, mixed(share, &wetShape, &dryShape))
			mean := make([]float64, len(h.Mean))
			for t := range mean {
				mean[t] = share*all[0].Mean[t] + (1-share)*all[1].Mean[t]
			}
			c.Mean = append(c.Mean, mean)
		}
		before[k] = kd.change(start)
	}
	if c.rims, err = m.followRims(ctx, middles, phases); err != nil {
		return nil, err
	}
	c.stiff = make([]float64, len(c.Times))
	for i := range c.Times {
		c.stiff[i] = m.stiffening(c.Moistures(i))
	}
	for k := range m.Kinds {
		c.Stress = append(c.Stress, relaxed(c.Times, c.Shape[k], before[k], before[k], c.stiff))
	}
	if len(m.past.spells) > 0 {
		c.accumulated = make([][]float64, len(c.Times))
		for t := range c.Times {
			c.accumulated[t] = make([]float64, changeLayers)
			for k := range m.Kinds {
				for l, v := range c.Shape[k].accumulated[t] {
					c.accumulated[t][l] += m.Kinds[k].share * v
				}
			}
		}
	}
	moved := 0.0
	for k := range before {
		moved += m.Kinds[k].share * math.Abs(before[k])
	}
	for k := range m.past.spells {
		rest := constantHistory(1, len(c.Times))
		c.Elastic, c.Shape = append(c.Elastic, rest), append(c.Shape, rest)
		c.Stress = append(c.Stress, c.remembered(&m.past.spells[k], moved))
	}
	return c, nil
}

// Column is a kind of piece through the thickness of the board, from a moisture [% MC].
func (m *Model) Column(k int, start float64) moisture.Column {
	b, kd := m.Board, &m.Kinds[k]
	return moisture.Column{Species: kd.Species, Along: kd.Up, Thickness: b.Thickness, Finish: b.Finish, Beneath: b.FinishBottom, Renewed: b.Renewed, M0: start}
}

// kindHistory turns a history into loads: what moisture alone would do to a stiff
// piece of the kind, and how the piece moves and bends when it is free. Wood swells no
// further above fibre saturation, so profiles are cut there first.
func (m *Model) kindHistory(k int, h *moisture.History) (elastic, shape kindHistory) {
	kd := &m.Kinds[k]
	fsp := kd.Species.FSP()
	cells := newStack(h.Z, m.Board.Thickness/2, faceLayer(joint.AveragingLength().V, m.Board.Thickness))
	shape.through, shape.accumulated = m.through(k, h, cells), cells.accumulated(h.Profiles, fsp)
	for i := range h.Times {
		mean, slope := cells.moments(h.Profiles[i], fsp)
		elastic.mean, elastic.slope = append(elastic.mean, kd.change(mean)), append(elastic.slope, slope)
		shape.mean = append(shape.mean, elastic.mean[0]+shape.through.Free[i])
		shape.slope = append(shape.slope, shape.through.Slope[i])
	}
	return elastic, shape
}

// Moistures gives the mean of every kind at one time, % MC.
func (c *LoadHistory) Moistures(i int) []float64 {
	mc := make([]float64, len(c.Mean))
	for k := range mc {
		mc[k] = c.Mean[k][i]
	}
	return mc
}

// relaxed applies stiffening and the relaxation of stress to a history. What stood before
// the event began came with the season, while the moisture changed by change [% MC].
// Mean and slope are held by layers that lie side by side and stretch alike, and give
// way each by the changes of its own moisture: a face that is wetted and dries every
// week bears less of the board's stress than the middle, which hardly notices.
func relaxed(times []float64, kc kindHistory, before, change float64, stiff []float64) kindHistory {
	// One row a time, as package relax wants it: mean and slope of every layer.
	flat, accumulated := make([][]float64, len(times)), make([][]float64, len(times))
	early := before * stiff[0]
	for t, f := range stiff {
		flat[t], accumulated[t] = make([]float64, 2*changeLayers), make([]float64, 2*changeLayers)
		for l, by := range kc.accumulated[t] {
			flat[t][2*l], flat[t][2*l+1] = f*kc.mean[t]-early, f*kc.slope[t]
			accumulated[t][2*l], accumulated[t][2*l+1] = by, by
		}
	}
	out := kindHistory{mean: make([]float64, len(times)), slope: make([]float64, len(times)), through: kc.through}
	slow := early * relax.Seasonal(change, relax.Typical)
	for t, row := range relax.Relax(times, flat, accumulated, relax.Typical) {
		out.mean[t] = slow
		for l := range changeLayers {
			out.mean[t] += row[2*l] * shareOfMean(l)
			out.slope[t] += row[2*l+1] * shareOfSlope(l)
		}
	}
	return out
}

// At gives the load of all kinds at one time.
func (m *Model) At(c *LoadHistory, kc []kindHistory, i int, scale []KindScale) *Load {
	n := len(m.Kinds)
	l := &Load{Mean: make([]float64, n), Slope: make([]float64, n), Strength: scale, wet: c.wet(i), Residual: c.residual(i)}
	for k := range n {
		l.Mean[k], l.Slope[k] = kc[k].mean[i], kc[k].slope[i]
		l.Change += m.Kinds[k].share * math.Abs(c.Elastic[k].mean[i])
	}
	for k := n; k < len(kc); k++ {
		l.Locked = append(l.Locked, kc[k].mean[i])
	}
	return l
}

// Scaled is a load with the movement of some kinds scaled by a factor f
// (dimensionless).
func (l *Load) Scaled(which func(k int) bool, f float64) *Load {
	out := *l
	if f != 1 && which(0) {
		out.rim *= f
	}
	out.Mean, out.Slope, out.Locked = slices.Clone(l.Mean), slices.Clone(l.Slope), slices.Clone(l.Locked)
	all := true
	for k := range out.Mean {
		all = all && which(k)
	}
	for k := 0; all && k < len(out.Locked); k++ { // of no kind alone
		out.Locked[k] *= f
	}
	for k := range out.Mean {
		if which(k) {
			out.Mean[k] *= f
			if out.Slope != nil {
				out.Slope[k] *= f
			}
		}
	}
	return &out
}

// residual is what relaxation leaves at one time of early differences of moisture.
func (c *LoadHistory) residual(i int) Residual {
	f := relax.Seasonal(0, relax.Typical)
	if c.Shown.FromGlueUp {
		f = relax.Factor(c.Times[i], relax.Typical)
	}
	return Residual{f, f}
}

// wet gives the hours that water has stood on the bottom and on the top face
// without a break at one time, where glue lines are.
func (c *LoadHistory) wet(i int) (h [2]float64) {
	if c.off {
		return h
	}
	start := make([]float64, len(c.phases)+1)
	for k := range c.phases {
		start[k+1] = start[k] + c.phases[k].Hours
	}
	now := c.phase[i]
	for side := range h {
		from := now
		for from >= 0 {
			f := c.phases[from].Bottom
			if side == 1 {
				f = c.phases[from].Top
			}
			if f.Kind != moisture.Water && f.Kind != moisture.OnWetCounter {
				break
			}
			from--
		}
		if from < now {
			h[side] = c.Times[i] - start[from+1]
		}
	}
	return h
}
