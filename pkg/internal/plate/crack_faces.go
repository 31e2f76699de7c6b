package plate

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/layout"
)

// CrackFaces are those of a whole glue line ready to be opened: the stiffness with which the
// board resists a jump of displacement between all that lies right of the line
// and all that lies left of it.
//
// Let the elements on the right see u + δ at the nodes of the line instead of u.
// The board's energy is then quadratic in (u, δ) with the blocks K, G = K_R and
// H = K_R, K_R of those elements, and with u eliminated
//
//	S = H − GᵀK⁻¹G.                                                        (1)
//
// Opening takes away the force f that the two sides exert on each other: the jump
// is S⁻¹f on what opens, and the energy set free ½·fᵀδ. It is the closure
// integral ½∫t·δ ds of Irwin (1957; from memory), exact for the mesh, and needs no
// second factorisation. At a vertex the line passes, every piece is on one side.
//
// The jump is a parabola along each Side: one or more sides of elements, joined
// until they are SideLeast long. Its value at the ends and middles of sides are
// the unknowns, two a Place: along the normal n to the right, and along the line.
// Where the line ends in the flank of a piece, or at a vertex joined all round,
// the jump is nil; where it ends at the rim it is free. Where the path turns its two
// unknowns are the jumps along the normals of both arms.
type CrackFaces struct {
	Place []float64 // mm from the line's start: end, middle, end, … of the sides
	Joint []int     // per side, number in the line's Joints
	Back  []float64 // per end of a side, mm: how far before it a tip there acts, see TipShort
	Shut  [2]bool   // the line's start and end stay together
	p     *Model
	axes  [][2][2]float64 // per place: the jump for a unit of its two unknowns
	nodes []faceNode
	bends map[int]int  // numbers of the nodes where the path bends or turns, and of the joint behind each
	basis [][]faceTerm // per place: nodes and the share of the jump they see
}

// faceNode is a node of the line.
type faceNode struct {
	node int32
	at   float64    // mm from the line's start
	n, t [2]float64 // of the arm on which it lies; at a corner those of the first
}

type faceTerm struct {
	node  int // number in CrackFaces.nodes
	share float64
}

// SideLeast is the least length of a side of a line, mm. A crack shorter than
// that is nobody's business: where v is decided it is 10 mm and more.
const SideLeast = 2.0

// sideLeastT is that of the sides beside a T, mm. Where a field is pressed by its frame,
// all that a seam frees comes from sliding close to there: sides of 2 mm hold back 2.7 %
// of it, the elements as much again.
const sideLeastT = 1.0

// TipShort and TipShortCut tell how far before its place a crack tip acts, as a
// share of the mean length of the sides before and behind it: elements too coarse for
// the tip hold it together a little. Taken from meshes of a quarter of the size on
// grids of blocks of 20 to 80 mm, where they leave 5 % of the energy of a crack of
// 8 to 12 mm and 2 to 3 % of longer ones. Elements are cut towards the ends of joints,
// where less is held.
const (
	TipShort    = 0.1
	TipShortCut = 0.04
)

// setBack sets Back.
func (l *CrackFaces) setBack() {
	n := len(l.Joint)
	l.Back = make([]float64, n+1)
	for i := range l.Back {
		before, behind := 2*max(0, i-1), 2*min(n, i+1)
		share := TipShort
		if i == 0 || i == n || l.Joint[i-1] != l.Joint[i] {
			share = TipShortCut
		}
		sides := 2.0
		if i == 0 || i == n {
			sides = 1
		}
		l.Back[i] = share * (l.Place[behind] - l.Place[before]) / sides
	}
}

// CrackFaces prepares a glue line. Its stiffness is worked out when it is first asked for.
func (p *Model) CrackFaces(line *layout.Line) *CrackFaces {
	l := &CrackFaces{p: p, bends: map[int]int{}}
	l.Place = []float64{0}
	for k := range line.Joints {
		l.addJoint(line, k)
	}
	l.Shut = [2]bool{!p.opensAt(l.nodes[0].node), !p.opensAt(l.nodes[len(l.nodes)-1].node)}
	l.span()
	l.setAxes(line)
	l.setBack()
	return l
}

// setAxes gives every place its axes: normal and tangent of its arm, and half way between
// those of both arms where the line bends. At a corner they are such that a jump has the
// unknowns as its parts along the normals of both arms.
func (l *CrackFaces) setAxes(line *layout.Line) {
	for i := range l.Place {
		_, t, _ := line.Arm(l.Joint[min(i/2, len(l.Joint)-1)])
		l.axes = append(l.axes, [2][2]float64{{t[1], -t[0]}, t})
	}
	for _, k := range line.Bends() {
		at := 2 * slices.IndexFunc(l.Joint, func(j int) bool { return j >= k })
		n, m := l.axes[at-1][0], l.axes[at][0]
		if k == line.Corner {
			det := n[0]*m[1] - n[1]*m[0]
			l.axes[at] = [2][2]float64{{m[1] / det, -m[0] / det}, {-n[1] / det, n[0] / det}}
			continue
		}
		half := [2]float64{n[0] + m[0], n[1] + m[1]}
		size := math.Hypot(half[0], half[1])
		half[0], half[1] = half[0]/size, half[1]/size
		l.axes[at] = [2][2]float64{half, {-half[1], half[0]}}
	}
}

// addJoint lists the nodes and sides of one joint of the line.
func (l *CrackFaces) addJoint(line *layout.Line, k int) {
	lj := line.Joints[k]
	jt := &l.p.Board.Joints[lj.Joint]
	d := [2]float64{(jt.To[0] - jt.From[0]) / jt.Length, (jt.To[1] - jt.From[1]) / jt.Length}
	nodes := l.p.jointNodes(jt, d)
	if lj.Reversed {
		for i, j := 0, len(nodes)-1; i < j; i, j = i+1, j-1 {
			nodes[i], nodes[j] = nodes[j], nodes[i]
		}
	}
	at := make([]float64, len(nodes))
	if k > 0 && slices.Contains(line.Bends(), k) {
		l.bends[len(l.nodes)-1] = k
	}
	from, t, before := line.Arm(k)
	normal := [2]float64{t[1], -t[0]}
	for i, n := range nodes {
		q := l.p.Mesh.Nodes[n]
		at[i] = before + (q[0]-from[0])*t[0] + (q[1]-from[1])*t[1]
	}
	least := [2]float64{SideLeast, SideLeast}
	for e, n := range [2]int32{nodes[0], nodes[len(nodes)-1]} {
		if l.p.meetsT(n) {
			least[e] = sideLeastT
		}
	}
	cuts := sides(at, least)
	for i, n := range nodes {
		if i == 0 && k > 0 {
			continue // the last joint's last node
		}
		l.nodes = append(l.nodes, faceNode{node: n, at: at[i], n: normal, t: t})
	}
	for _, c := range cuts[1:] {
		from := l.Place[len(l.Place)-1]
		l.Place = append(l.Place, (from+at[c])/2, at[c])
		l.Joint = append(l.Joint, k)
	}
}

// sides joins the element sides of a joint, from both ends towards its middle,
// until each is SideLeast long, the outermost as long as told for either end [mm]. at
// holds the places of the nodes; the answer the numbers of the nodes at which sides end.
func sides(at []float64, outermost [2]float64) []int {
	last := len(at) - 1
	middle := (at[0] + at[last]) / 2
	cuts := []int{0}
	from := at[0]
	for i := 2; i < last && at[i] <= middle; i += 2 {
		least := SideLeast
		if len(cuts) == 1 {
			least = outermost[0]
		}
		if at[i]-from >= least {
			cuts, from = append(cuts, i), at[i]
		}
	}
	var back []int
	to := at[last]
	for i := last - 2; i > 0 && at[i] > middle; i -= 2 {
		least := SideLeast
		if len(back) == 0 {
			least = outermost[1]
		}
		if to-at[i] >= least && at[i]-from >= SideLeast {
			back, to = append(back, i), at[i]
		}
	}
	for i := len(back) - 1; i >= 0; i-- {
		cuts = append(cuts, back[i])
	}
	return append(cuts, last)
}

// span gives every place the nodes that its parabola reaches.
func (l *CrackFaces) span() {
	l.basis = make([][]faceTerm, len(l.Place))
	side := 0
	last := len(l.Joint) - 1
	for i := range l.nodes {
		nd := &l.nodes[i]
		for side < last && nd.at > l.Place[2*side+2]-1e-9*l.Place[2*last+2] {
			side++
		}
		// A node at the end of a side belongs to the next one and has its start there.
		a, b := l.Place[2*side], l.Place[2*side+2]
		x := (nd.at - a) / (b - a)
		if math.Abs(x) < 1e-9 {
			x = 0
		}
		for k, share := range [3]float64{(1 - x) * (1 - 2*x), 4 * x * (1 - x), x * (2*x - 1)} {
			if share != 0 && !l.shutAt(2*side+k) {
				l.basis[2*side+k] = append(l.basis[2*side+k], faceTerm{i, share})
			}
		}
	}
}

// shutAt tells whether a place is an end of the line that stays together.
func (l *CrackFaces) shutAt(place int) bool {
	return place == 0 && l.Shut[0] || place == len(l.Place)-1 && l.Shut[1]
}

// opensAt tells whether the end of a line lies where there is no wood all round:
// the crack comes out there.
func (p *Model) opensAt(node int32) bool {
	for _, s := range p.sectorsAt(int(node), p.edgesAt[node]) {
		if s.piece < 0 {
			return true
		}
	}
	return false
}

// meetsT tells whether three joints meet at a node, with wood all round.
func (p *Model) meetsT(node int32) bool {
	return len(p.edgesAt[node]) == 3 && !p.opensAt(node)
}

// rightOf lists, for every node of the line, the elements on its right side. At
// the ends of a line that opens there these are the pieces met from the line
// clockwise (start) or counter-clockwise (end) up to the first gap.
func (l *CrackFaces) rightOf(line *layout.Line) [][]int32 {
	out := make([][]int32, len(l.nodes))
	for i := range l.nodes {
		var only map[int32]bool
		switch {
		case i == 0:
			only = l.p.besideEnd(line, false)
		case i == len(l.nodes)-1:
			only = l.p.besideEnd(line, true)
		case l.bends[i] > 0:
			only = l.p.besideBend(line, l.bends[i])
		}
		nd := &l.nodes[i]
		at := l.p.Mesh.Nodes[nd.node]
		for _, e := range l.p.around(nd.node) {
			if only != nil {
				if only[l.p.Mesh.Elements[e].Piece] {
					out[i] = append(out[i], e)
				}
				continue
			}
			c := l.p.centre(int(e))
			if (c[0]-at[0])*nd.n[0]+(c[1]-at[1])*nd.n[1] > 0 {
				out[i] = append(out[i], e)
			}
		}
	}
	return out
}

// edgeAt is the partition edge with which a joint of a line begins, or ends.
func (p *Model) edgeAt(lj *layout.LineJoint, last bool) int {
	jt := &p.Board.Joints[lj.Joint]
	if last != lj.Reversed {
		return jt.Edges[len(jt.Edges)-1]
	}
	return jt.Edges[0]
}

// besideBend lists the pieces on the right of a path where it bends before a joint: those
// met clockwise from that to the one before.
func (p *Model) besideBend(line *layout.Line, joint int) map[int32]bool {
	in, out := p.edgeAt(&line.Joints[joint-1], true), p.edgeAt(&line.Joints[joint], false)
	ends := p.Board.Partition.Edges[in]
	v := ends.V0
	if o := p.Board.Partition.Edges[out]; v != o.V0 && v != o.V1 {
		v = ends.V1
	}
	ss := p.sectorsAt(v, p.edgesAt[v])
	n := len(ss)
	at := slices.IndexFunc(ss, func(s sector) bool { return s.edge == out })
	right := map[int32]bool{}
	for k := 1; k <= n; k++ {
		s := &ss[(at-k+n)%n]
		right[int32(s.piece)] = true
		if s.edge == in {
			break
		}
	}
	return right
}

// besideEnd lists the pieces on the right of a line at one of its ends.
func (p *Model) besideEnd(line *layout.Line, last bool) map[int32]bool {
	lj := &line.Joints[0]
	if last {
		lj = &line.Joints[len(line.Joints)-1]
	}
	edge := p.edgeAt(lj, last)
	nodes := p.Mesh.Edges[edge].Nodes
	place := line.From
	if last {
		place = line.To
	}
	v := nodes[0]
	if q, r := p.Mesh.Nodes[v], p.Mesh.Nodes[nodes[len(nodes)-1]]; math.Hypot(r[0]-place[0], r[1]-place[1]) < math.Hypot(q[0]-place[0], q[1]-place[1]) {
		v = nodes[len(nodes)-1]
	}
	ss := p.sectorsAt(int(v), p.edgesAt[v])
	n := len(ss)
	at := 0
	for i := range ss {
		if ss[i].edge == edge {
			at = i
		}
	}
	// Seen from the start the right side lies clockwise of the line, seen from the
	// end counter-clockwise; sector i lies counter-clockwise of the edge it begins with.
	out := map[int32]bool{}
	for k := 0; k < n; k++ {
		i := at + k
		if !last {
			i = at - 1 - k + n
		}
		s := &ss[((i%n)+n)%n]
		if s.piece < 0 {
			break
		}
		out[int32(s.piece)] = true
	}
	return out
}

// Stiffness is S of (1) over the unknowns of all places, N/mm: number 2i is the
// jump along the normal at place i, 2i+1 that along the line.
func (l *CrackFaces) Stiffness(ctx context.Context, line *layout.Line) (*mat.SymDense, error) {
	var w *condensing
	err := Within(ctx, "stiffness of lines", func(ctx context.Context) error {
		w = l.condense(line)
		return w.solve(ctx)
	})
	if err != nil {
		return nil, err
	}
	return w.s, nil
}

// LineLoad is what the two sides of a line exert on each other under one case.
type LineLoad struct {
	N, T         []float64 // per place, N: work done by the traction on a unit jump there
	SideN, SideT []float64 // per side, MPa·mm: the traction's integral along it
}

// Load gathers the forces on the joints of the line, one list a joint as Forces
// gives them (MPa·mm; MPa/mm·mm in bending: then the load is that of a height of 1 mm).
func (l *CrackFaces) Load(line *layout.Line, joints [][]Traction) LineLoad {
	out := LineLoad{N: make([]float64, len(l.Place)), T: make([]float64, len(l.Place)),
		SideN: make([]float64, len(l.Joint)), SideT: make([]float64, len(l.Joint))}
	total := make([][2]float64, len(l.nodes)) // of the right side, along x and y
	first, side := 0, 0
	for k, lj := range line.Joints {
		f := joints[k]
		last := len(f) - 1
		get := func(i int) Traction {
			if lj.Reversed {
				return f[last-i]
			}
			return f[i]
		}
		for i := range f {
			nd := &l.nodes[first+i]
			n, d := nd.n, nd.t
			if i == 0 { // the axes of this joint's own arm
				n, d = l.nodes[first+1].n, l.nodes[first+1].t
			}
			for a := range 2 {
				total[first+i][a] += get(i).N*n[a] + get(i).T*d[a]
			}
		}
		// The traction near a node is its force over ∫φ, spread over the element sides
		// beside it as ∫φ is.
		for i := 0; i+2 <= last; i += 2 {
			a, b := l.nodes[first+i].at, l.nodes[first+i+2].at
			before, after := l.share(first, first+last, first+i), l.share(first, first+last, first+i+2)
			for side+1 < len(l.Joint) && l.Joint[side] == k && (a+b)/2 > l.Place[2*side+2] {
				side++
			}
			x, m, y := get(i), get(i+1), get(i+2)
			h := b - a
			out.SideN[side] += x.N*h/before + m.N + y.N*h/after
			out.SideT[side] += x.T*h/before + m.T + y.T*h/after
		}
		first += last
		for side+1 < len(l.Joint) && l.Joint[side] == k {
			side++
		}
	}
	for c, terms := range l.basis {
		for _, t := range terms {
			f, ax := total[t.node], &l.axes[c]
			out.N[c] += l.p.H * t.share * (f[0]*ax[0][0] + f[1]*ax[0][1])
			out.T[c] += l.p.H * t.share * (f[0]*ax[1][0] + f[1]*ax[1][1])
		}
	}
	return out
}

// share is the length of the element sides of one joint (nodes first to last) at
// an end node of theirs.
func (l *CrackFaces) share(first, last, i int) float64 {
	sum := 0.0
	if i > first {
		sum += l.nodes[i].at - l.nodes[i-2].at
	}
	if i < last {
		sum += l.nodes[i+2].at - l.nodes[i].at
	}
	return sum
}
