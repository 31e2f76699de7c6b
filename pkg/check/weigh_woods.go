package check

import (
	"slices"
	"sort"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/wood"
)

// bondSpread is half the range of the factors that stand for gluing classes, ours.
const bondSpread = 0.1

// woods weighs shrinkage and strength of every wood.
func (g *weighing) woods(add adder) {
	m := g.m
	seen := map[string]bool{}
	for k := range m.kinds {
		sp := m.kinds[k].species
		if seen[sp.ID] {
			continue
		}
		seen[sp.ID] = true
		name := strings.ToLower(sp.CommonName)
		of := func(up, long bool) func(q int) bool {
			return func(q int) bool {
				kd := &m.kinds[q]
				return kd.species == sp && (kd.up && up || !kd.up && long)
			}
		}
		if v := weaker(sp.ShrinkR, sp.ShrinkT); weak(v.Status) {
			low, high := span(v, variation()["shrinkage"])
			a, b := g.both(low, high, func(f float64, _ int, l *load) *load { return l.moved(of(true, true), f) })
			add("shrinkage of "+name, v.Status, v.Source, a, b)
		}
		base := sp.Strength(12).Values
		for _, s := range []struct {
			property, what string
			up, long       bool
			shear          bool
		}{
			{"tension_perp", "tension across the grain of ", true, true, false},
			{"rolling_shear", "rolling shear of ", true, false, true},
			{"shear_parallel", "shear along the grain of ", false, true, true},
		} {
			v := base[s.property]
			if !weak(v.Status) {
				continue
			}
			cov := variation()["tension_perp"]
			if s.shear {
				cov = variation()["shear_parallel"]
			}
			low, high := span(v, cov)
			a, b := g.both(low, high, func(f float64, _ int, l *load) *load { return l.stronger(of(s.up, s.long), s.shear, f, len(m.kinds)) })
			add(s.what+name, v.Status, v.Source, a, b)
		}
	}
}

func weaker(a, b wood.Value) wood.Value {
	if weak(b.Status) && !(a.Status == wood.Estimated) {
		return b
	}
	return a
}

// moved is a load with the movement of some kinds scaled.
func (l *load) moved(which func(k int) bool, f float64) *load {
	out := *l
	out.mean, out.slope = slices.Clone(l.mean), slices.Clone(l.slope)
	for k := range out.mean {
		if which(k) {
			out.mean[k] *= f
			if out.slope != nil {
				out.slope[k] *= f
			}
		}
	}
	return &out
}

// stronger is a load under which some kinds have another strength.
func (l *load) stronger(which func(k int) bool, shear bool, f float64, kinds int) *load {
	out := *l
	out.strength = slices.Clone(l.strength)
	if out.strength == nil {
		out.strength = make([]kindScale, kinds)
		for k := range out.strength {
			out.strength[k] = kindScale{1, 1}
		}
	}
	for k := range out.strength {
		switch {
		case !which(k):
		case shear:
			out.strength[k].shear *= f
		default:
			out.strength[k].tension *= f
		}
	}
	return &out
}

// length weighs the averaging length of the worst joint: its tractions are
// averaged anew over shorter and longer stretches.
func (g *weighing) length(add adder) {
	if g.wood != nil || len(g.joints) == 0 {
		return
	}
	d := joint.AveragingLength()
	add("length over which stress is averaged", d.Status, d.Source, g.m.averagedOver(g.joints[0], d.Lo), g.m.averagedOver(g.joints[0], d.Hi))
}

// averagedOver judges one joint with another averaging length, mm.
func (m *Model) averagedOver(at governing, d float64) float64 {
	other := *m
	other.joints = slices.Clone(m.joints)
	jm := &other.joints[at.joint]
	jm.capacity.Length = d
	jm.windows = joint.Windows(jm.trace.S, d)
	amounts := m.unitAmounts()
	jm.membrane = m.means(plate.Membrane, jm, m.shift, amounts)
	if m.bend != nil {
		jm.bending = m.means(plate.Bending, jm, m.bend, amounts)
	}
	if m.warp != nil {
		jm.warp = m.means(plate.Warp, jm, m.warp, amounts)
	}
	return other.worst(at.joint, at.load).u
}

// bond weighs the glue line where it gives before the wood: what the gluing
// class of a wood costs has no printed figure (see joint.GluingFactor), nor what
// water leaves of most glues.
func (g *weighing) bond(add adder) {
	if g.wood != nil || len(g.joints) == 0 || g.joints[0].d.part != joint.Bond {
		return
	}
	m := g.m
	at := g.joints[0]
	other := *m
	of := func(f float64) float64 {
		other.joints = slices.Clone(m.joints)
		other.joints[at.joint].capacity.Weaken(f)
		return other.worst(at.joint, at.load).u
	}
	add("strength of the bond: gluing class of the woods, "+strings.ToLower(m.glue.Name)+", common practice", wood.Estimated, "TANRAD-EST", of(1-bondSpread), of(1+bondSpread))
}

// stiffness weighs the moduli across the grain. If all are off by one factor,
// so is every traction; that is what is said. One wood alone does less.
func (g *weighing) stiffness(add adder) {
	m := g.m
	var names []string
	status, from := wood.Status(""), ""
	for k := range m.kinds {
		kd := &m.kinds[k]
		e, err := kd.species.Elastic(kd.start)
		if err != nil {
			continue
		}
		for _, c := range [3]string{"ER", "ET", "GRT"} {
			if weak(e.Status[c]) {
				if n := strings.ToLower(kd.species.CommonName); !slices.Contains(names, n) {
					names = append(names, n)
				}
				if status != wood.Estimated {
					status, from = e.Status[c], e.Source[c]
				}
			}
		}
	}
	if len(names) == 0 {
		return
	}
	sort.Strings(names)
	f := variation()["moe"]
	add("stiffness across the grain (E_R, E_T, G_RT) of "+strings.Join(names, ", ")+"; stress follows it in proportion when all woods are off alike, less when one is", status, from, g.u*(1-f), g.u*(1+f))
}
