package oracle

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// boardFile writes the board of a deck as tanrad's own board file: free pieces,
// each of a stock of its own.
func boardFile(t *testing.T, d *Deck) []byte {
	t.Helper()
	type object = map[string]any
	stock, pieces := object{}, []object{}
	for i, p := range d.Pieces {
		key := fmt.Sprintf("s%d", i)
		s := object{"species": p.Wood, "moisture": p.From}
		if !p.Up {
			s["grain"] = p.Angle
		}
		if p.Pith != nil {
			s["pith"] = pithFromCentre(p)
		} else {
			s["ring_angle"] = p.Ring
		}
		stock[key] = s
		pieces = append(pieces, object{"stock": key, "outline": p.Corners})
	}
	b, err := json.Marshal(object{
		"tanrad": 1, "name": d.Name, "units": "mm", "thickness": math.Max(d.Thickness, 1), // thinner ones are refused; plane stress does not depend on it
		"stock": stock, "field": object{"pieces": pieces},
	})
	require.NoError(t, err)
	return b
}

// pithFromCentre is the pith as a board file tells it.
func pithFromCentre(p Piece) Vec2 {
	c := centroid(p.Corners)
	if p.Up {
		return p.Pith.minus(c)
	}
	return Vec2{p.Pith[0] - c[1], p.Pith[1]} // fibres along x: y is across them
}

func centroid(c []Vec2) Vec2 {
	var sum Vec2
	var area float64
	for k := range c {
		p, q := edge(c, k)
		a := p.cross(q)
		area += a
		sum = sum.along(p, a/3).along(q, a/3)
	}
	return Vec2{sum[0] / area, sum[1] / area}
}

// tanrad solves a deck with tanrad's own packages at 12 % MC, as the decks are,
// and answers in the oracle's terms: displacements relative to the deck's
// supports, tractions over the deck's windows.
func tanrad(t *testing.T, d *Deck, opt mesh.Options) *Answer {
	t.Helper()
	b, err := layout.Read(boardFile(t, d))
	require.NoError(t, err)
	require.Len(t, b.Pieces, len(d.Pieces))
	require.Len(t, b.Joints, len(d.Joints))
	amount := make([]float64, len(b.Pieces))
	woods := make([]plate.Wood, len(b.Pieces))
	for i := range b.Pieces {
		woods[i] = plateWood(t, &b.Pieces[i])
		amount[i] = d.Pieces[i].To - d.Pieces[i].From
		if d.Gradient { // from −amount at the lower face to amount at the upper
			amount[i] *= 2 / d.Thickness
		}
	}
	m, err := mesh.Build(t.Context(), b, opt)
	require.NoError(t, err)
	p, err := plate.New(context.Background(), b, m, woods, plate.Options{Bending: d.Gradient})
	require.NoError(t, err)
	a := &Answer{Elements: len(m.Elements), Nodes: len(m.Nodes)}
	mode := plate.Membrane
	if d.Gradient {
		mode = plate.Bending
	}
	x, err := p.Respond(t.Context(), mode, [][]float64{amount})
	require.NoError(t, err)
	if d.Gradient {
		a.Places = deflection(t, d, m, x[0])
	} else {
		a.Places = shift(t, d, m, x[0])
		a.Width, a.Height = a.growth(0), a.growth(1)
	}
	if !d.Solid || d.Moments {
		for _, j := range d.Joints {
			a.Joints = append(a.Joints, jointMeans(t, d, p, mode, j, x[0], amount))
		}
	}
	return a
}

// plateWood is a piece's wood with the stiffness of 12 % MC and the swelling of
// one per cent from its gluing moisture.
func plateWood(t *testing.T, pc *layout.Piece) plate.Wood {
	t.Helper()
	s, err := wood.Find(pc.Species)
	require.NoError(t, err)
	e, err := s.Elastic(12)
	require.NoError(t, err)
	l, r, tt := s.Swelling(pc.Moisture, pc.Moisture+1)
	at := func(p layout.XY) plate.Wood {
		f := frameAt(pc, p)
		return plate.Wood{Q: e.PlaneStress(f), G: e.TransverseShear(f), Unit: wood.InPlane(l, r, tt, f)}
	}
	w := at(pc.Centre)
	if pc.Pith != nil {
		w.At = at
	}
	return w
}

func frameAt(pc *layout.Piece, at layout.XY) wood.Frame {
	switch {
	case pc.Pith == nil && !pc.Grain.Up:
		return wood.LongGrain(pc.Grain.Angle, pc.RingAngle)
	case pc.Pith == nil:
		return wood.EndGrain(pc.RingAngle)
	case !pc.Grain.Up: // at half thickness; fibres along x
		return wood.LongGrain(pc.Grain.Angle, math.Atan2(at[1]-pc.Pith[0], -pc.Pith[1])*180/math.Pi)
	}
	return wood.EndGrain(math.Atan2(at[1]-pc.Pith[1], at[0]-pc.Pith[0]) * 180 / math.Pi)
}

func nodeAt(t *testing.T, m *mesh.Mesh, at Vec2) int {
	t.Helper()
	for n, q := range m.Nodes {
		if math.Hypot(q[0]-at[0], q[1]-at[1]) < 1e-4 {
			return n
		}
	}
	return -1
}

// places lists the corners and probes of a deck that are nodes of the mesh, supports first.
func places(t *testing.T, d *Deck, m *mesh.Mesh) (at []Vec2, node []int) {
	t.Helper()
	for _, p := range append(append([]Vec2{}, d.Support[:]...), d.points()...) {
		if n := nodeAt(t, m, p); n >= 0 {
			at, node = append(at, p), append(node, n)
		}
	}
	require.GreaterOrEqual(t, len(at), 3+4, "places of %s that are nodes", d.Name)
	return at, node
}

// shift reads u, v and takes away the rigid motion of the deck's supports.
func shift(t *testing.T, d *Deck, m *mesh.Mesh, x []float64) []Place {
	t.Helper()
	at, node := places(t, d, m)
	u := func(i int) Vec2 { return Vec2{x[2*node[i]], x[2*node[i]+1]} }
	span := at[1][0] - at[0][0]
	turn := (u(1)[1] - u(0)[1]) / span
	var out []Place
	for i := 3; i < len(at); i++ {
		r := at[i].minus(at[0])
		v := u(i).minus(u(0)).minus(Vec2{-turn * r[1], turn * r[0]})
		out = append(out, Place{at[i], [3]float64{v[0], v[1], 0}})
	}
	return out
}

// deflection reads w and takes away the plane through the deck's supports.
func deflection(t *testing.T, d *Deck, m *mesh.Mesh, x []float64) []Place {
	t.Helper()
	at, node := places(t, d, m)
	w := func(i int) float64 { return x[3*node[i]] }
	a, b := at[1].minus(at[0]), at[2].minus(at[0])
	wa, wb := w(1)-w(0), w(2)-w(0)
	det := a.cross(b)
	gx, gy := (wa*b[1]-wb*a[1])/det, (wb*a[0]-wa*b[0])/det
	var out []Place
	for i := 3; i < len(at); i++ {
		r := at[i].minus(at[0])
		out = append(out, Place{at[i], [3]float64{0, 0, w(i) - w(0) - gx*r[0] - gy*r[1]}})
	}
	return out
}

// jointMeans averages tanrad's tractions over the windows of the deck's joint j.
func jointMeans(t *testing.T, d *Deck, p *plate.Model, mode plate.Mode, j Joint, x, amount []float64) JointResult {
	t.Helper()
	for k := range p.Board.Joints {
		jt := &p.Board.Joints[k]
		from, to := Vec2(jt.From), Vec2(jt.To)
		same := jt.A == j.A && jt.B == j.B && from.minus(j.From).norm() < 1e-4 && to.minus(j.To).norm() < 1e-4
		turned := jt.A == j.B && jt.B == j.A && from.minus(j.To).norm() < 1e-4 && to.minus(j.From).norm() < 1e-4
		if !same && !turned {
			continue
		}
		tr := p.Trace(k)
		force := p.Forces(mode, tr, [][]float64{x}, [][]float64{amount})[0]
		ws := joint.Intervals(tr.S, d.Window)
		r := JointResult{Pieces: [2]string{d.Pieces[j.A].ID, d.Pieces[j.B].ID}, From: j.From, To: j.To}
		r.Start, r.End = weigh(ws[0].Weight, force), weigh(ws[len(ws)-1].Weight, force)
		for _, f := range force {
			r.Whole.Normal += f.N / jt.Length
			r.Whole.Shear += f.T / jt.Length
		}
		if turned {
			r.Start, r.End = r.End, r.Start
		}
		return r
	}
	require.Fail(t, "no such joint", "%s: %v", d.Name, j)
	return JointResult{}
}

func weigh(weight []float64, force []plate.Traction) (sum Traction) {
	for i, w := range weight {
		sum.Normal += w * force[i].N
		sum.Shear += w * force[i].T
	}
	return sum
}
