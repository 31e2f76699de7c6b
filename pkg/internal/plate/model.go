package plate

import (
	"context"
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/sparse"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Wood is what the plate needs to know of one piece, in board axes.
//
// With e_L, e_R, e_T the free strains for one % MC along the fibres, along and
// across the radius (unit vectors L, R, T), and E = Σ e_i·i⊗i their tensor:
//
//	Unit  = mean over the thickness of E_xx, E_yy, 2·E_xy
//	Shear = mean over the thickness of 2·E_xz, 2·E_yz
//	Bend  = 12/h³·∫ z·(E_xx, E_yy, 2·E_xy) dz
//
// Shear is not nil where rings slant through a long-grain piece, Bend only where
// they curve there. An end-grain piece has neither.
type Wood struct {
	Q     [3][3]float64 // plane-stress stiffness at the mid-plane, MPa, xx yy xy
	G     [2][2]float64 // transverse shear stiffness, MPa, xz yz
	Unit  [3]float64    // free swelling per % MC, xx yy xy (engineering shear)
	Shear [2]float64    // free transverse shear per % MC, xz yz (engineering)
	Bend  [3]float64    // free curvature per % MC, 1/mm, xx yy xy (twice the twist)

	// At gives the wood at a place of the piece where it varies (rings curved
	// about a pith), nil where it does not. It must be safe for concurrent
	// calls; the At of what it returns is not looked at.
	At func(p layout.XY) Wood
}

// Options says how the equations are solved. The zero value is the fast solver
// on one core without bending.
type Options struct {
	Direct  bool          // the plain sparse factorisation instead of the one that knows repeats
	Bending bool          // prepare bending as well
	Workers int           // 0 means 1
	Cache   *sparse.Cache // kept between models: pieces that did not change are not done again
	Bend    *sparse.Cache // the same for bending
	Borrow  bool          // what is kept is used, and nothing added to it
	Late    bool          // membrane and bending are factorised when they are first asked
	Beside  int           // see sparse.Options
	Like    *Geometry     // of a board of the same outlines; nil makes it anew
	Shapes  *Geometry     // of a board with which elements of the same corners are shared; may be nil
}

// Model is a board with its stiffness factorised. It is safe for concurrent use.
type Model struct {
	*Geometry
	Board *layout.Board
	Woods []Wood // per piece
	H     float64

	materialPoints [][]materialPoint // per element; nil where the wood does not vary
	shearPoints    [][]shearPoint
	membrane       *system
	bending        *system // nil when the model was made without
}

// Geometry is what depends on the outlines of the pieces alone: a board of other woods, or
// with pieces turned where they lie, shares it. It is safe for concurrent use.
type Geometry struct {
	Mesh *mesh.Mesh

	shapes   []*shape
	edgesAt  [][]int // partition edges at each vertex
	aroundAt []int32 // elements round node i: aroundEl[aroundAt[i]:aroundAt[i+1]]
	aroundEl []int32
	areaFit  func() *areaFit         // made when it is first asked for
	traces   []atomic.Pointer[Trace] // per joint, likewise
}

// New factorises the stiffness of a board of constant thickness h [mm].
// It returns an error that names the piece when a piece's stiffness is not
// positive definite.
func New(ctx context.Context, b *layout.Board, m *mesh.Mesh, woods []Wood, opt Options) (*Model, error) {
	if len(woods) != len(b.Pieces) {
		return nil, fmt.Errorf("plate: %d woods for %d pieces", len(woods), len(b.Pieces))
	}
	for i := range woods {
		if !definite(woods[i].Q, woods[i].G) {
			return nil, fmt.Errorf("plate: the stiffness of piece %s is not positive definite", b.Pieces[i].ID)
		}
	}
	p := &Model{Geometry: opt.Like, Board: b, Woods: woods, H: b.Thickness}
	if p.Geometry == nil {
		p.Geometry = newGeometry(b, m, opt.Shapes)
	}
	err := p.prepare(ctx)
	if err != nil {
		return nil, err
	}
	p.membrane = p.system(false, opt)
	if opt.Bending {
		p.bending = p.system(true, opt)
	}
	if opt.Late {
		return p, nil
	}
	if err = p.membrane.prepare(ctx); err == nil && opt.Bending {
		err = p.bending.prepare(ctx)
	}
	if err != nil {
		return nil, err
	}
	return p, nil
}

// prepare works out all that does not depend on the answer. The error is that of the
// context.
func (p *Model) prepare(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	p.makePoints()
	return ctx.Err()
}

func newGeometry(b *layout.Board, m *mesh.Mesh, like *Geometry) *Geometry {
	g := &Geometry{Mesh: m, traces: make([]atomic.Pointer[Trace], len(b.Joints))}
	g.areaFit = sync.OnceValue(func() *areaFit { return g.newAreaFit(b) })
	g.makeShapes(like)
	g.linkNodes()
	g.findEdges(&b.Partition)
	return g
}

func definite(q [3][3]float64, g [2][2]float64) bool {
	d2 := q[0][0]*q[1][1] - q[0][1]*q[1][0]
	d3 := q[0][0]*(q[1][1]*q[2][2]-q[1][2]*q[2][1]) - q[0][1]*(q[1][0]*q[2][2]-q[1][2]*q[2][0]) + q[0][2]*(q[1][0]*q[2][1]-q[1][1]*q[2][0])
	return q[0][0] > 0 && d2 > 0 && d3 > 0 && g[0][0] > 0 && g[0][0]*g[1][1]-g[0][1]*g[1][0] > 0
}

// makeShapes works the shapes out, but for those that a like board has.
func (p *Geometry) makeShapes(like *Geometry) {
	known := map[corners]*shape{}
	if like != nil {
		like.eachShape(func(i int32, c *corners) { known[*c] = like.shapes[i] })
	}
	p.shapes = make([]*shape, p.Mesh.Shapes)
	p.eachShape(func(i int32, c *corners) {
		if p.shapes[i] = known[*c]; p.shapes[i] == nil {
			p.shapes[i] = newShape(c.at[:c.n])
		}
	})
}

// corners are those of an element, from the first.
type corners struct {
	n  int
	at [4]layout.XY
}

// eachShape gives the corners of the first element of every shape.
func (p *Geometry) eachShape(do func(i int32, c *corners)) {
	seen := make([]bool, p.Mesh.Shapes)
	for i := range p.Mesh.Elements {
		e := &p.Mesh.Elements[i]
		if seen[e.Shape] {
			continue
		}
		seen[e.Shape] = true
		c := corners{n: e.Corners()}
		o := p.Mesh.Nodes[e.Nodes[0]]
		for k := range c.n {
			q := p.Mesh.Nodes[e.Nodes[k]]
			c.at[k] = layout.XY{q[0] - o[0], q[1] - o[1]}
		}
		do(e.Shape, &c)
	}
}

// linkNodes finds the elements round every node.
func (p *Geometry) linkNodes() {
	p.aroundAt = make([]int32, len(p.Mesh.Nodes)+1)
	for i := range p.Mesh.Elements {
		el := &p.Mesh.Elements[i]
		for _, n := range el.Nodes[:el.N] {
			p.aroundAt[n+1]++
		}
	}
	for i := range p.Mesh.Nodes {
		p.aroundAt[i+1] += p.aroundAt[i]
	}
	p.aroundEl = make([]int32, p.aroundAt[len(p.Mesh.Nodes)])
	fill := append([]int32{}, p.aroundAt...)
	for i := range p.Mesh.Elements {
		el := &p.Mesh.Elements[i]
		for _, n := range el.Nodes[:el.N] {
			p.aroundEl[fill[n]] = int32(i)
			fill[n]++
		}
	}
}

func (p *Geometry) around(n int32) []int32 { return p.aroundEl[p.aroundAt[n]:p.aroundAt[n+1]] }

// Problem gives the linear system of the membrane (unknowns u, v a node) or of
// bending (w, φx, φy a node), for the solver or for an outside one.
func (p *Model) Problem(bending bool) (*sparse.Problem, sparse.Stiffness) {
	nodeDof := 2
	if bending {
		nodeDof = 3
	}
	pr := &sparse.Problem{NodeDof: nodeDof, Coord: make([][2]float64, len(p.Mesh.Nodes)), Elements: make([]sparse.Element, len(p.Mesh.Elements))}
	for i, n := range p.Mesh.Nodes {
		pr.Coord[i] = n
	}
	keys := make([]uint64, len(p.Woods))
	for i := range p.Woods {
		keys[i] = p.woodKey(i)
	}
	for i := range p.Mesh.Elements {
		e := &p.Mesh.Elements[i]
		key := mix(keys[e.Piece], p.shapes[e.Shape].print)
		if p.Woods[e.Piece].At != nil {
			key = mix(p.pointKey(i), p.shapes[e.Shape].print) // rings differ from element to element
		}
		pr.Elements[i] = sparse.Element{Nodes: e.Nodes[:e.N], Group: e.Cell, Key: key}
	}
	pr.Fixed = p.supports(bending)
	if bending {
		return pr, p.bendingStiffness
	}
	return pr, p.membraneStiffness
}

// Forget hands the memory of the factor of a mode on: little more is asked of it, or
// nothing. What is asked all the same is factorised again.
func (p *Model) Forget(mode Mode) {
	if s := p.systemOf(mode); s != nil {
		s.forget()
	}
}

// systemOf is the equations of a mode; nil when the model was made without them.
func (p *Model) systemOf(mode Mode) *system {
	if mode == Membrane {
		return p.membrane
	}
	return p.bending
}

// system is the equations of the membrane or of bending, nothing worked out yet.
func (p *Model) system(bending bool, opt Options) *system {
	if opt.Direct {
		return &system{factorise: func(ctx context.Context) (sparse.Factor, error) {
			pr, k := p.Problem(bending)
			return sparse.FactorDirect(ctx, pr, k)
		}}
	}
	o := sparse.Options{Workers: opt.Workers, Cache: opt.Cache, Borrow: opt.Borrow, Beside: opt.Beside, TrustKeys: true}
	if bending {
		o.Cache = opt.Bend
	}
	return &system{factorise: func(ctx context.Context) (sparse.Factor, error) {
		pr, k := p.Problem(bending)
		return sparse.FactorTree(ctx, pr, k, o)
	}, once: func(ctx context.Context, sides [][]float64, wanted []bool) error {
		pr, k := p.Problem(bending)
		return sparse.SolveOnce(ctx, pr, k, o, sides, wanted)
	}}
}

// fingerprint is a running mark of numbers.
type fingerprint uint64

func (f *fingerprint) put(v ...float64) {
	for _, x := range v {
		*f = fingerprint(mix(uint64(*f), math.Float64bits(x)))
	}
}

// woodKey is equal for pieces of equal stiffness, on any board.
func (p *Model) woodKey(i int) uint64 {
	var f fingerprint
	f.put(p.H)
	w := &p.Woods[i]
	for r := range w.Q {
		f.put(w.Q[r][:]...)
	}
	for r := range w.G {
		f.put(w.G[r][:]...)
	}
	return uint64(f)
}

// spotKey is the same for one element of varying wood: what its stiffness is
// made of, point by point.
func (p *Model) pointKey(e int) uint64 {
	var f fingerprint
	f.put(p.H)
	for g := range p.materialPoints[e] {
		for r := range p.materialPoints[e][g].q {
			f.put(p.materialPoints[e][g].q[r][:]...)
		}
	}
	for g := range p.shearPoints[e] {
		for r := range p.shearPoints[e][g].g {
			f.put(p.shearPoints[e][g].g[r][:]...)
		}
	}
	return uint64(f)
}

// mix joins two keys (the finaliser of splitmix64, Steele, Lea and Flood 2014).
func mix(a, b uint64) uint64 {
	z := a ^ (b + 0x9e3779b97f4a7c15 + a<<6 + a>>2)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// supports picks three corners of the board far from each other and holds just
// enough there to take away the rigid motions.
func (p *Model) supports(bending bool) []int {
	v := p.Board.Partition.Vertices
	far := func(score func(q layout.XY) float64) int {
		best := 0
		for i := range v {
			if score(v[i]) > score(v[best]) {
				best = i
			}
		}
		return best
	}
	a := far(func(q layout.XY) float64 { return -q[0] - q[1] })
	b := far(func(q layout.XY) float64 { return math.Hypot(q[0]-v[a][0], q[1]-v[a][1]) })
	c := far(func(q layout.XY) float64 {
		return math.Abs((v[b][0]-v[a][0])*(q[1]-v[a][1]) - (v[b][1]-v[a][1])*(q[0]-v[a][0]))
	})
	if bending {
		return []int{3 * a, 3 * b, 3 * c}
	}
	// Held at a both ways, and at b across the line from a to b as nearly as an axis allows.
	if math.Abs(v[b][0]-v[a][0]) >= math.Abs(v[b][1]-v[a][1]) {
		return []int{2 * a, 2*a + 1, 2*b + 1}
	}
	return []int{2 * a, 2*a + 1, 2 * b}
}

// Unknowns gives the number of unknowns of membrane and bending together.
func (p *Model) Unknowns() int {
	n := Membrane.dof()
	if p.bending != nil {
		n += Bending.dof()
	}
	return n * len(p.Mesh.Nodes)
}

// Stats gives the solver's own account of the membrane factorisation.
func (p *Model) Stats() sparse.Stats { return p.membrane.stats() }

// ShapeBytes is what the shapes of the elements take.
func (p *Geometry) ShapeBytes() (sum int64) {
	for _, s := range p.shapes {
		sum += s.bytes()
	}
	return sum
}

// Bytes is what the factor of a mode holds at present.
func (p *Model) Bytes(mode Mode) int64 {
	s := p.systemOf(mode)
	if s == nil {
		return 0
	}
	return s.stats().Bytes
}
