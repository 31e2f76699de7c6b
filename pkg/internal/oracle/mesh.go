package oracle

import "math"

// Level is the fineness of a mesh: every half edge of every cell carries N
// elements; from the corner on, the first Graded of them grow by Ratio each, the
// others are as long as the last of these would let the next one be.
type Level struct {
	N      int     `json:"n"`
	Graded int     `json:"graded"`
	Ratio  float64 `json:"ratio"`
}

// at is the place (0 corner … 1 middle of the edge) of division line i.
func (l Level) at(i int) float64 {
	length := func(n int) (sum float64) {
		for k := range n {
			sum += math.Pow(l.Ratio, float64(min(k, l.Graded)))
		}
		return sum
	}
	return length(i) / length(l.N)
}

// element is an eight-node quadrilateral: corners counter-clockwise, then the
// middles of the sides 0–1, 1–2, 2–3, 3–0.
type element struct {
	piece int
	node  [8]int
}

// faceMesh is a plane mesh of a board.
type faceMesh struct {
	deck   *Deck
	place  []Vec2
	owner  []int // piece whose node it is; −1 when pieces share nodes
	elems  []element
	byKey  map[nodeKey]int
	shared bool
}

type nodeKey struct {
	piece int
	x, y  int64
}

// newMesh meshes every cell by midpoint subdivision: a cell with k corners falls
// into k quadrilaterals (corner, middle of the next edge, centre, middle of the
// edge before), each divided N × N with short elements at the corner.
func newMesh(d *Deck, l Level, shared bool) (*faceMesh, error) {
	cs, err := d.cells()
	if err != nil {
		return nil, err
	}
	m := &faceMesh{deck: d, byKey: map[nodeKey]int{}, shared: shared}
	for _, c := range cs {
		var centre Vec2
		n := len(c.corners)
		for _, p := range c.corners {
			centre = centre.along(p, 1/float64(n))
		}
		for k, v := range c.corners {
			next, prev := c.corners[(k+1)%n], c.corners[(k+n-1)%n]
			m.quad(c.piece, l, [4]Vec2{v, middle(v, next), centre, middle(prev, v)})
		}
	}
	return m, nil
}

func middle(a, b Vec2) Vec2 { return Vec2{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2} }

func (m *faceMesh) quad(piece int, l Level, q [4]Vec2) {
	grid := make([][]Vec2, l.N+1)
	for i := range grid {
		grid[i] = make([]Vec2, l.N+1)
		for j := range grid[i] {
			a, b := l.at(i), l.at(j)
			for c := range 2 {
				grid[i][j][c] = (1-a)*(1-b)*q[0][c] + a*(1-b)*q[1][c] + a*b*q[2][c] + (1-a)*b*q[3][c]
			}
		}
	}
	for i := range l.N {
		for j := range l.N {
			p := [4]Vec2{grid[i][j], grid[i+1][j], grid[i+1][j+1], grid[i][j+1]}
			e := element{piece: piece}
			for k := range 4 {
				e.node[k] = m.node(piece, p[k])
				e.node[4+k] = m.node(piece, middle(p[k], p[(k+1)%4]))
			}
			m.elems = append(m.elems, e)
		}
	}
}

// node returns the node of the piece at p, making it when it is new.
func (m *faceMesh) node(piece int, p Vec2) int {
	if m.shared {
		piece = -1
	}
	const grain = 2e-6 // mm; finest spacing is above 1e-3
	key := nodeKey{piece, int64(math.Round(p[0] / grain)), int64(math.Round(p[1] / grain))}
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			if n, ok := m.byKey[nodeKey{piece, key.x + dx, key.y + dy}]; ok {
				return n
			}
		}
	}
	n := len(m.place)
	m.byKey[key] = n
	m.place = append(m.place, p)
	m.owner = append(m.owner, piece)
	return n
}

// find returns the first node at p, −1 when there is none.
func (m *faceMesh) find(p Vec2) int {
	for n, q := range m.place {
		if q.minus(p).norm() < 1e-5 {
			return n
		}
	}
	return -1
}

// ties groups nodes of different pieces at one place; the first leads.
func (m *faceMesh) ties() [][]int {
	type spot struct{ x, y int64 }
	const grain = 1e-4
	at := map[spot]int{} // index into groups
	var groups [][]int
	for n, p := range m.place {
		s := spot{int64(math.Round(p[0] / grain)), int64(math.Round(p[1] / grain))}
		found := -1
		for dx := int64(-1); dx <= 1 && found < 0; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				if g, ok := at[spot{s.x + dx, s.y + dy}]; ok && m.place[groups[g][0]].minus(p).norm() < 1e-5 {
					found = g
					break
				}
			}
		}
		if found < 0 {
			at[s] = len(groups)
			groups = append(groups, []int{n})
			continue
		}
		groups[found] = append(groups[found], n)
	}
	return groups
}

// side is an element's edge on a joint.
type side struct {
	elem   int
	edge   int     // local edge 0..3
	s0, s1 float64 // mm from the joint's From, of local edge's first and second corner
}

// sides lists the element edges of the given piece that lie on the joint.
func (m *faceMesh) sides(j Joint, piece int) []side {
	dir := j.To.minus(j.From)
	length := dir.norm()
	dir = Vec2{dir[0] / length, dir[1] / length}
	var out []side
	for i, e := range m.elems {
		if e.piece != piece {
			continue
		}
		for k := range 4 {
			p, q := m.place[e.node[k]], m.place[e.node[(k+1)%4]]
			a, b := p.minus(j.From), q.minus(j.From)
			if math.Abs(dir.cross(a)) > 1e-5 || math.Abs(dir.cross(b)) > 1e-5 {
				continue
			}
			sa, sb := dir.dot(a), dir.dot(b)
			if math.Min(sa, sb) < -1e-5 || math.Max(sa, sb) > length+1e-5 {
				continue
			}
			out = append(out, side{i, k, sa, sb})
		}
	}
	return out
}
