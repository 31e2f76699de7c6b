package plate

import (
	"math"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/mesh"
)

// Traction is stress on a glue line: N along the normal from piece A to piece B
// (positive opens), T along From→To on piece A's side. MPa, or MPa per mm from
// the mid-plane in bending.
type Traction struct{ N, T float64 }

// seam is one element side on a joint with its two stations.
type seam struct {
	s       [2]float64 // mm from From
	element [2]int32   // of piece A, of piece B
	corner  [2][2]int8 // corners of that element at the two stations
}

// seams lists the element sides along a joint in the order From→To.
func (p *Model) seams(j int) []seam {
	jt := &p.Board.Joints[j]
	dx, dy := (jt.To[0]-jt.From[0])/jt.Length, (jt.To[1]-jt.From[1])/jt.Length
	var out []seam
	for _, e := range jt.Edges {
		em, ed := &p.Mesh.Edges[e], &p.Board.Partition.Edges[e]
		a, b := em.Left, em.Right
		if ed.Left != jt.A {
			a, b = b, a
		}
		n := len(a)
		v0, v1 := p.Board.Partition.Vertices[ed.V0], p.Board.Partition.Vertices[ed.V1]
		back := (v1[0]-v0[0])*dx+(v1[1]-v0[1])*dy < 0
		for i := range a {
			k := i
			if back {
				k = n - 1 - i
			}
			n0, n1 := em.Nodes[2*k], em.Nodes[2*k+2]
			if back {
				n0, n1 = n1, n0
			}
			var sm seam
			for t, node := range [2]int32{n0, n1} {
				q := p.Mesh.Nodes[node]
				sm.s[t] = (q[0]-jt.From[0])*dx + (q[1]-jt.From[1])*dy
			}
			for side, sd := range [2]mesh.Side{a[k], b[k]} {
				el := &p.Mesh.Elements[sd.Element]
				c0, c1 := int8(sd.Side), int8((int(sd.Side)+1)%el.Corners())
				if el.Nodes[c0] != n0 {
					c0, c1 = c1, c0
				}
				sm.element[side], sm.corner[side] = sd.Element, [2]int8{c0, c1}
			}
			out = append(out, sm)
		}
	}
	return out
}

// Stations gives the places along a joint, mm from From, at which Tractions
// speaks: two an element side, so that places between sides come twice.
func (p *Model) Stations(j int) []float64 {
	sm := p.seams(j)
	out := make([]float64, 0, 2*len(sm))
	for i := range sm {
		out = append(out, sm[i].s[0], sm[i].s[1])
	}
	return out
}

// axes gives a joint's tangent From→To and its normal from A (left) to B (right).
func axes(j *layout.Joint) (t, n [2]float64) {
	t = [2]float64{(j.To[0] - j.From[0]) / j.Length, (j.To[1] - j.From[1]) / j.Length}
	return t, [2]float64{t[1], -t[0]}
}

// Tractions writes the traction at every station of a joint for displacements x
// and amounts per piece, the mean of what the pieces on its two sides carry.
// It returns the largest difference between the two sides, a measure of error.
func (p *Model) Tractions(mode Mode, j int, x, amount []float64, dst []Traction) (jump float64) {
	jt := &p.Board.Joints[j]
	t, n := axes(jt)
	for i, sm := range p.seams(j) {
		for st := 0; st < 2; st++ {
			var side [2]Traction
			for k := range side {
				e := int(sm.element[k])
				sig := p.cornerStress(mode, e, int(sm.corner[k][st]), x, amount[p.Mesh.Elements[e].Piece])
				side[k] = resolve(&sig, t, n)
			}
			dst[2*i+st] = Traction{(side[0].N + side[1].N) / 2, (side[0].T + side[1].T) / 2}
			jump = math.Max(jump, math.Max(math.Abs(side[0].N-side[1].N), math.Abs(side[0].T-side[1].T)))
		}
	}
	return jump
}

// resolve turns stress into normal and tangential traction: N = n·σn, T = t·σn.
func resolve(s *[3]float64, t, n [2]float64) Traction {
	px, py := s[0]*n[0]+s[2]*n[1], s[2]*n[0]+s[1]*n[1]
	return Traction{N: n[0]*px + n[1]*py, T: t[0]*px + t[1]*py}
}

// cornerStress carries the stress to one corner of an element.
func (p *Model) cornerStress(mode Mode, e, corner int, x []float64, amount float64) [3]float64 {
	el := &p.Mesh.Elements[e]
	s, w := p.shapes[el.Shape], &p.Woods[el.Piece]
	var v [16]float64
	p.gather(mode, e, x, &v)
	if w.At == nil {
		var eps [3]float64
		rows := &s.ends[corner]
		for r := range eps {
			sum := -amount * w.Unit[r]
			row := &rows[r]
			for i := 0; i < 2*s.n; i++ {
				sum += row[i] * v[i]
			}
			eps[r] = sum
		}
		return mul(&w.Q, &eps)
	}
	var out [3]float64
	for g := range s.sparse {
		sig := p.pointStress(e, &s.sparse[g], w, &v, amount)
		for r := range out {
			out[r] += s.carry[corner][g] * sig[r]
		}
	}
	return out
}

// StripStress gives the traction that a free swelling of its own (in % MC, not
// followed by any displacement) puts on the two sides of a joint's station:
// −Q·unit resolved, the mean of both sides, for residual r_a and r_b.
func (p *Model) StripStress(j int, at layout.XY, ra, rb float64) Traction {
	jt := &p.Board.Joints[j]
	t, n := axes(jt)
	var sum Traction
	for _, k := range [2]struct {
		piece int
		r     float64
	}{{jt.A, ra}, {jt.B, rb}} {
		w := &p.Woods[k.piece]
		q, unit := w.Q, w.Unit
		if w.At != nil {
			q, _, unit = w.At(at)
		}
		sig := mul(&q, &unit)
		tr := resolve(&sig, t, n)
		sum.N -= k.r * tr.N / 2
		sum.T -= k.r * tr.T / 2
	}
	return sum
}
