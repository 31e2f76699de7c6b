package check

import (
	"context"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Instant is the board as it is at one moment: in a uniform end state, or at
// one time of an exposure.
type Instant struct {
	Name, Text string
	Hour       float64 // h from the start of the exposure, 0 for an end state
	When       string  // in words, "" for an end state
	swelling   *load
}

// Instant finds a moment by the name of an end state or of an exposure of the
// conditions; of an exposure, the kept time nearest to hour [h]. Errors: a
// fault.Fault of rule unknown-name at "/state", and those of Report.
func (m *Model) Instant(ctx context.Context, c Conditions, name string, hour float64) (*Instant, error) {
	ends, err := m.endStates(c)
	if err != nil {
		return nil, err
	}
	var names []string
	for i := range ends {
		if e := &ends[i]; e.name == name {
			l, _ := m.loadOf(e)
			return &Instant{Name: e.name, Text: e.text, swelling: l}, nil
		}
		names = append(names, ends[i].name)
	}
	co, more, err := m.courseOf(ctx, c, name)
	if err != nil {
		return nil, err
	}
	if co == nil {
		return nil, unknownState(name, append(names, more...))
	}
	at := 0
	for i, t := range co.times {
		if math.Abs(t-hour) < math.Abs(co.times[at]-hour) {
			at = i
		}
	}
	return &Instant{Name: name, Text: co.shown.Text, Hour: co.times[at], When: co.when(at), swelling: m.at(co.shape, at, nil)}, nil
}

func unknownState(name string, names []string) error {
	return fault.Fault{Rule: fault.UnknownName, Pointer: "/state", Detail: "no end state or exposure of this check has the name",
		Found: name, Nearest: fault.Nearest(name, names, 3)}
}

// courseOf follows the exposure of a name. It is nil, with the names there are,
// when the conditions have none such.
func (m *Model) courseOf(ctx context.Context, c Conditions, name string) (*course, []string, error) {
	ev, in, names, err := m.eventOf(c, name)
	if err != nil || ev == nil {
		return nil, names, err
	}
	co, err := m.follow(ctx, *ev, in)
	return co, names, err
}

func (m *Model) eventOf(c Conditions, name string) (*moisture.Event, moisture.Setting, []string, error) {
	var in moisture.Setting
	events, err := m.events(c)
	if err != nil {
		return nil, in, nil, err
	}
	if in.Home, err = climateOf(m.board, c); err != nil {
		return nil, in, nil, err
	}
	in.Shop = moisture.Room{Humidity: m.board.GlueUp.Humidity, Temperature: m.board.GlueUp.Temperature}
	var names []string
	for i := range events {
		if events[i].Name == name {
			return &events[i], in, nil, nil
		}
		names = append(names, events[i].Name)
	}
	return nil, in, names, nil
}

// Outlines gives the outline of every piece [mm], closed rows of points, as
// glued and as it lies at an instant, point for point. The points are the nodes
// of the mesh along the outline. Only the membrane moves them: bending leaves
// the mid-plane of a plate where it is.
func (m *Model) Outlines(i *Instant) (from, to [][]layout.XY) {
	x := combine(m.shift, i.swelling.mean)
	rings := m.board.Partition.Rings
	from, to = make([][]layout.XY, len(rings)), make([][]layout.XY, len(rings))
	for p, ring := range rings {
		for _, re := range ring {
			nodes := m.Mesh.Edges[re.Edge].Nodes
			for k := range len(nodes) - 1 { // the last is the first of the next edge
				n := nodes[k]
				if re.Reversed {
					n = nodes[len(nodes)-1-k]
				}
				q := m.Mesh.Nodes[n]
				from[p] = append(from[p], q)
				to[p] = append(to[p], layout.XY{q[0] + x[2*n], q[1] + x[2*n+1]})
			}
		}
	}
	return from, to
}

// Heights is a surface over the board: Z[j][i] [mm] above X[i], Y[j] [mm], the
// mean plane taken out. Where the board's rectangle holds no wood, the nearest
// height stands, and Filled is set.
type Heights struct {
	X, Y   []float64
	Z      [][]float64
	Filled bool
}

// Deflection gives the bent board at an instant on a grid of at most n places
// a side (at least 2). It is flat without bending.
func (m *Model) Deflection(i *Instant, n int) Heights {
	g := newHeights(m.board, n)
	if m.bend == nil {
		return g
	}
	x := make([]float64, len(m.bend[0]))
	add := func(of [][]float64, f []float64) {
		if of == nil || f == nil {
			return
		}
		for k, v := range combine(of, f) {
			x[k] += v
		}
	}
	add(m.bend, i.swelling.slope)
	add(m.warp, i.swelling.mean)
	known := make([][]bool, len(g.Y))
	for j := range known {
		known[j] = make([]bool, len(g.X))
	}
	for e := range m.Mesh.Elements {
		m.raster(e, x, &g, known)
	}
	g.level(known)
	g.fill(known)
	return g
}

func newHeights(b *layout.Board, n int) Heights {
	nx, ny := n, n
	if b.Width > b.Height {
		ny = max(2, int(math.Round(float64(n)*b.Height/b.Width)))
	} else {
		nx = max(2, int(math.Round(float64(n)*b.Width/b.Height)))
	}
	g := Heights{X: make([]float64, nx), Y: make([]float64, ny), Z: make([][]float64, ny)}
	for i := range g.X {
		g.X[i] = b.Width * float64(i) / float64(nx-1)
	}
	for j := range g.Y {
		g.Y[j] = b.Height * float64(j) / float64(ny-1)
		g.Z[j] = make([]float64, nx)
	}
	return g
}

// raster enters the heights of one element: its middle and its rim as a fan of
// triangles, linear in each, which is finer than a picture shows.
func (m *Model) raster(e int, x []float64, g *Heights, known [][]bool) {
	el := &m.Mesh.Elements[e]
	corners := el.Corners()
	var mid layout.XY
	var w float64
	// The shape functions of eight nodes at the middle are −1/4 at corners and
	// 1/2 at midsides; those of six at the centroid −1/9 and 4/9.
	wc, wm := -0.25, 0.5
	if corners == 3 {
		wc, wm = -1.0/9, 4.0/9
	}
	for k := range corners {
		p := m.Mesh.Nodes[el.Nodes[k]]
		mid[0] += p[0] / float64(corners)
		mid[1] += p[1] / float64(corners)
		w += wc*x[3*el.Nodes[k]] + wm*x[3*el.Nodes[corners+k]]
	}
	for k := range corners {
		a, h, b := el.Nodes[k], el.Nodes[corners+k], el.Nodes[(k+1)%corners]
		g.triangle([3]layout.XY{mid, m.Mesh.Nodes[a], m.Mesh.Nodes[h]}, [3]float64{w, x[3*a], x[3*h]}, known)
		g.triangle([3]layout.XY{mid, m.Mesh.Nodes[h], m.Mesh.Nodes[b]}, [3]float64{w, x[3*h], x[3*b]}, known)
	}
}

func (g *Heights) triangle(p [3]layout.XY, w [3]float64, known [][]bool) {
	lo, hi := bounds(p[:])
	area := (p[1][0]-p[0][0])*(p[2][1]-p[0][1]) - (p[1][1]-p[0][1])*(p[2][0]-p[0][0])
	const slack = 1e-9 // of the triangle, so that a place on a side belongs to one of the two
	for j, y := range g.Y {
		if y < lo[1]-slack || y > hi[1]+slack {
			continue
		}
		for i, x := range g.X {
			if known[j][i] || x < lo[0]-slack || x > hi[0]+slack {
				continue
			}
			b := ((x-p[0][0])*(p[2][1]-p[0][1]) - (y-p[0][1])*(p[2][0]-p[0][0])) / area
			c := ((p[1][0]-p[0][0])*(y-p[0][1]) - (p[1][1]-p[0][1])*(x-p[0][0])) / area
			if b < -slack || c < -slack || b+c > 1+slack {
				continue
			}
			g.Z[j][i], known[j][i] = (1-b-c)*w[0]+b*w[1]+c*w[2], true
		}
	}
}

// level takes the mean plane out: where the board lies is no business of its shape.
func (g *Heights) level(known [][]bool) {
	var n, sx, sy, sz float64
	each := func(f func(x, y float64, z *float64)) {
		for j := range g.Z {
			for i := range g.Z[j] {
				if known[j][i] {
					f(g.X[i], g.Y[j], &g.Z[j][i])
				}
			}
		}
	}
	each(func(x, y float64, z *float64) { n, sx, sy, sz = n+1, sx+x, sy+y, sz+*z })
	if n == 0 {
		return
	}
	mx, my, mz := sx/n, sy/n, sz/n
	var xx, xy, yy, xz, yz float64
	each(func(x, y float64, z *float64) {
		dx, dy, dz := x-mx, y-my, *z-mz
		xx, xy, yy, xz, yz = xx+dx*dx, xy+dx*dy, yy+dy*dy, xz+dx*dz, yz+dy*dz
	})
	var a, b float64
	if det := xx*yy - xy*xy; det > 0 {
		a, b = (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	}
	each(func(x, y float64, z *float64) {
		if *z -= mz + a*(x-mx) + b*(y-my); math.Abs(*z) < flat {
			*z = 0
		}
	})
}

// fill gives places without wood the height of the nearest place with some.
func (g *Heights) fill(known [][]bool) {
	for j := range g.Z {
		for i := range g.Z[j] {
			if known[j][i] {
				continue
			}
			g.Filled = true
			best := math.Inf(1)
			for v := range g.Z {
				for u := range g.Z[v] {
					if d := math.Hypot(g.X[u]-g.X[i], g.Y[v]-g.Y[j]); known[v][u] && d < best {
						best, g.Z[j][i] = d, g.Z[v][u]
					}
				}
			}
		}
	}
}

// Profile is the moisture through the thickness of one kind of piece.
type Profile struct {
	Kind string
	Hour float64   // h from the start of the exposure
	Z    []float64 // mm from the mid-plane, rising
	MC   []float64 // % MC
}

// Profiles gives the moisture through the thickness of every kind of piece in an
// exposure of the conditions, at the kept times nearest to hours [h]; nil hours
// takes the start, the ends of its phases, and some between, at most six in all.
// Errors: a fault.Fault
// of rule unknown-name at "/exposure", and those of Report.
func (m *Model) Profiles(ctx context.Context, c Conditions, exposure string, hours []float64) ([]Profile, error) {
	ev, in, names, err := m.eventOf(c, exposure)
	if err != nil {
		return nil, err
	}
	if ev == nil {
		return nil, fault.Fault{Rule: fault.UnknownName, Pointer: "/exposure", Detail: "the check has no such exposure", Found: exposure,
			Nearest: fault.Nearest(exposure, names, 3)}
	}
	phases, err := moisture.Expand(*ev, in)
	if err != nil {
		return nil, err
	}
	if len(hours) == 0 {
		hours = tellingHours(phases)
	}
	var out []Profile
	seen := map[string]bool{}
	for k := range m.kinds {
		kd := &m.kinds[k]
		start, err := moisture.StartMoisture(*ev, in, kd.start)
		if err != nil {
			return nil, err
		}
		name := kd.name
		if seen[name] {
			name = fmt.Sprintf("%s, glued at %.1f %%", kd.name, kd.start)
		}
		seen[name] = true
		col := moisture.Column{Species: kd.species, Along: kd.up, Thickness: m.board.Thickness, Finish: m.board.Finish, M0: start}
		h, err := moisture.Simulate(ctx, col, phases, moisture.Options{Profiles: true})
		if err != nil {
			return nil, err
		}
		last := -1
		for _, want := range hours {
			at := 0
			for i, t := range h.Times {
				if math.Abs(t-want) < math.Abs(h.Times[at]-want) {
					at = i
				}
			}
			if at != last {
				out = append(out, Profile{name, h.Times[at], h.Z, h.Profiles[at]})
			}
			last = at
		}
	}
	return out, nil
}

// tellingHours picks times that show how moisture travels: the start, and evenly
// many in and at the end of every phase.
func tellingHours(phases []moisture.Phase) []float64 {
	const most = 6
	out := []float64{0}
	t := 0.0
	inside := len(phases) <= 2 // few phases: show their beginnings too
	step := max(1, (len(phases)+most-2)/(most-1))
	for i, p := range phases {
		if inside {
			out = append(out, t+0.2*p.Hours)
		}
		t += p.Hours
		if (i+1)%step == 0 || i == len(phases)-1 {
			out = append(out, t)
		}
	}
	return out
}
