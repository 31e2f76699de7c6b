package sensitivity

import (
	"slices"
	"sort"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/variation"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/wood"
)

// woods weighs shrinkage and strength of every wood.
func (g *weighing) woods(add adder) {
	m := g.m
	seen := map[string]bool{}
	for k := range m.Kinds {
		sp := m.Kinds[k].Species
		if seen[sp.ID] {
			continue
		}
		seen[sp.ID] = true
		name := strings.ToLower(sp.CommonName)
		of := func(up, long bool) func(q int) bool {
			return func(q int) bool {
				kd := &m.Kinds[q]
				return kd.Species == sp && (kd.Up && up || !kd.Up && long)
			}
		}
		if v := Weaker(sp.ShrinkR, sp.ShrinkT); Weak(v.Status) || sp.Disputed {
			low, high := Span(v, variation.Of("shrinkage"))
			if sp.Disputed { // the larger is in use
				low, high = disputed(sp), 1
			}
			a, b := g.both(low, high, func(f float64, _ int, l *influence.Load) *influence.Load { return l.Scaled(of(true, true), f) })
			what := "shrinkage of " + name
			if sp.Disputed {
				what += ": published sources differ by more than 15 %, the larger movement is in use"
			}
			add(what, v.Status, v.Source, a, b)
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
			if !Weak(v.Status) {
				continue
			}
			cov := variation.Of("tension_perp")
			if s.shear {
				cov = variation.Of("shear_parallel")
			}
			low, high := Span(v, cov)
			a, b := g.both(low, high, func(f float64, _ int, l *influence.Load) *influence.Load {
				return stronger(l, of(s.up, s.long), s.shear, f, len(m.Kinds))
			})
			add(s.what+name, v.Status, v.Source, a, b)
		}
	}
}

// disputed is the movement of a wood by the source that moves it least over that in use,
// mean of both directions.
func disputed(s *wood.Species) float64 {
	return (s.ShrinkR.Lo + s.ShrinkT.Lo) / (s.ShrinkR.V + s.ShrinkT.V)
}

func Weaker(a, b wood.Value) wood.Value {
	if Weak(b.Status) && !(a.Status == wood.Estimated) {
		return b
	}
	return a
}

// stronger is a load under which some kinds have another strength.
func stronger(l *influence.Load, which func(k int) bool, shear bool, f float64, kinds int) *influence.Load {
	out := *l
	out.Strength = slices.Clone(l.Strength)
	if out.Strength == nil {
		out.Strength = make([]influence.KindScale, kinds)
		for k := range out.Strength {
			out.Strength[k] = influence.Unscaled
		}
	}
	for k := range out.Strength {
		switch {
		case !which(k):
		case shear:
			out.Strength[k].Shear *= f
		default:
			out.Strength[k].Tension *= f
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
	over := func(mm float64) float64 { return g.m.AveragedOver(g.joints[0].Joint, g.joints[0].Load, mm).U }
	add("length over which stress is averaged", d.Status, d.Source, over(d.Lo), over(d.Hi))
}

// bond weighs the glue line where it gives before the wood: what the gluing
// class of a wood costs has no printed figure (see joint.GluingFactor), nor what
// water leaves of most glues.
func (g *weighing) bond(add adder) {
	if g.wood != nil || len(g.joints) == 0 || g.joints[0].D.Part != joint.Bond {
		return
	}
	m := g.m
	at := g.joints[0]
	other := *m
	of := func(f float64) float64 {
		other.Joints = slices.Clone(m.Joints)
		other.Joints[at.Joint].Capacity.Weaken(f)
		return other.Worst(at.Joint, at.Load).U
	}
	ours := variation.Ours()
	add("strength of the bond: gluing class of the woods, "+strings.ToLower(m.Adhesive.Name)+", common practice", ours.Status, ours.Source, of(1-ours.Bond), of(1+ours.Bond))
}

// stiffness weighs the moduli across the grain. If all are off by one factor,
// so is every traction; that is what is said. One wood alone does less.
func (g *weighing) stiffness(add adder) {
	m := g.m
	var names []string
	status, from := wood.Status(""), ""
	for k := range m.Kinds {
		kd := &m.Kinds[k]
		e, err := kd.Species.Elastic(kd.Glued)
		if err != nil {
			continue
		}
		for _, c := range [3]string{"ER", "ET", "GRT"} {
			if Weak(e.Status[c]) {
				if n := strings.ToLower(kd.Species.CommonName); !slices.Contains(names, n) {
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
	f := variation.Of("moe")
	add("stiffness across the grain (E_R, E_T, G_RT) of "+strings.Join(names, ", ")+"; stress follows it in proportion when all woods are off alike, less when one is", status, from, g.u*(1-f), g.u*(1+f))
}
