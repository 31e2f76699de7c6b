package sparse

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
)

// PointLoad is a load at one unknown.
type PointLoad struct {
	Unknown int32 // node times NodeDof plus direction
	Value   float64
}

// Gram implements Factor. With K = L·Lᵀ
//
//	BᵀK⁻¹B = YᵀY,  Y = L⁻¹B,
//
// so that one way through the tree is enough. A load passes only the clusters between
// its nodes and the root, and so do the products: near the leaves few loads meet. The
// loads go in eights, in the order given; neighbours share most of the way if they lie
// close to each other. Workers share out what meets in a cluster; the bits of the answer
// do not depend on them.
func (f *treeFactor) Gram(ctx context.Context, loads [][]PointLoad) (*mat.SymDense, error) {
	if err := checkLoads(f.n, loads); err != nil {
		return nil, err
	}
	g := &gram{f: f, eights: (len(loads) + 7) / 8}
	g.ld = 8 * g.eights
	defer g.pool.giveBack()
	g.sum = g.pool.take(g.ld * g.ld)
	clear(g.sum)
	g.climb(loads)
	if err := g.run(ctx); err != nil {
		return nil, err
	}
	out := mat.NewSymDense(len(loads), nil)
	for j := range loads {
		for i := j; i < len(loads); i++ {
			out.SetSym(j, i, -g.sum[i+j*g.ld]) // the kernel subtracts
		}
	}
	return out, nil
}

// gram is one call of Gram.
type gram struct {
	f       *treeFactor
	eights  int
	passes  []pass
	entries []entry
	sum     []float64 // −YᵀY, column by column, from the diagonal block down
	ld      int       // distance of its columns
	pool    slicePool
	at      []int32 // row in the present front of each unknown that is in it
	fronts  [][]float64
	handed  map[int32][]handed // by the place that takes it
}

// pass is an eight of loads that passes a place.
type pass struct{ place, eight int32 }

// entry is a load at an unknown that is eliminated in a place.
type entry struct {
	pass
	lane, unknown int32
	value         float64
}

// handed is what one place leaves to do on its boundary.
type handed struct {
	first  int // its boundary in plan.nodes
	count  int
	eights []int32
	rows   [][]float64 // per eight, eight sides in a row
}

// climb lists what passes where, in the order of the places.
func (g *gram) climb(loads [][]PointLoad) {
	w := g.f.plan.upward(g.f.n / g.f.dof)
	last := make([]int32, len(g.f.plan.places)) // eight that passed last, plus one
	for i, load := range loads {
		eight, lane := int32(i/8), int32(i%8)
		for _, p := range load {
			place := w.home[int(p.Unknown)/g.f.dof]
			if place < 0 {
				continue
			}
			g.entries = append(g.entries, entry{pass{place, eight}, lane, p.Unknown, p.Value})
			for q := place; q >= 0 && last[q] != eight+1; q = w.parent[q] {
				last[q] = eight + 1
				g.passes = append(g.passes, pass{q, eight})
			}
		}
	}
	// Eights come in order already.
	g.passes = byPlace(g.passes, len(last), func(p *pass) int32 { return p.place })
	g.entries = byPlace(g.entries, len(last), func(e *entry) int32 { return e.place })
}

// byPlace sorts by place what is listed, and leaves what shares a place in its order.
func byPlace[T any](list []T, places int, of func(*T) int32) []T {
	from := make([]int, places+1)
	for i := range list {
		from[of(&list[i])+1]++
	}
	for p := range places {
		from[p+1] += from[p]
	}
	out := make([]T, len(list))
	for i := range list {
		p := of(&list[i])
		out[from[p]] = list[i]
		from[p]++
	}
	return out
}

func (g *gram) run(ctx context.Context) error {
	g.at = make([]int32, g.f.n)
	g.fronts = make([][]float64, g.f.workers)
	g.handed = map[int32][]handed{}
	w := g.f.plan.upward(g.f.n / g.f.dof)
	for from := 0; from < len(g.passes); {
		if err := ctx.Err(); err != nil {
			return err
		}
		to := from + 1
		for to < len(g.passes) && g.passes[to].place == g.passes[from].place {
			to++
		}
		g.pass(g.passes[from:to], w.parent)
		from = to
	}
	return nil
}

// pass takes all loads that meet in one place through it.
func (g *gram) pass(meet []pass, parent []int32) {
	f, place := g.f, meet[0].place
	in := f.plan.places[place]
	p := f.plan.classes[in.class].pat
	dof := f.dof
	for i, node := range f.plan.nodes[in.first : in.first+p.interior+p.boundary] {
		row := i * dof
		if i >= p.interior {
			row = p.ne8 + (i-p.interior)*dof
		}
		for d := range dof {
			g.at[int(node)*dof+d] = int32(row + d)
		}
	}
	below := g.handed[place]
	delete(g.handed, place)
	out := handed{first: in.first + p.interior, count: p.boundary,
		eights: make([]int32, len(meet)), rows: make([][]float64, len(meet))}
	block := 8 * p.ne
	y := g.pool.take(block * len(meet))
	n := 0
	for n < len(g.entries) && g.entries[n].place == place {
		n++
	}
	mine := g.entries[:n]
	g.entries = g.entries[n:]
	for i := range meet {
		out.eights[i] = meet[i].eight
		if p.nr > 0 {
			out.rows[i] = g.pool.take(8 * p.nr)
		}
	}
	work := float64(len(meet)) * 8 * float64(p.ne) * float64(p.ne+2*p.nr)
	g.share(len(meet), work, func(worker, i int) {
		if len(g.fronts[worker]) < p.panels*64 {
			g.fronts[worker] = make([]float64, p.panels*64)
		}
		front := g.fronts[worker][:p.panels*64]
		clear(front)
		eight := meet[i].eight
		from, _ := slices.BinarySearchFunc(mine, eight, func(e entry, eight int32) int { return int(e.eight - eight) })
		for _, e := range mine[from:] {
			if e.eight != eight {
				break
			}
			front[8*g.at[e.unknown]+e.lane] += e.value
		}
		for k := range below {
			if j, ok := slices.BinarySearch(below[k].eights, eight); ok {
				g.take(front, &below[k], below[k].rows[j])
			}
		}
		for _, t := range p.fixed {
			clear(front[8*t : 8*t+8])
		}
		forward(p, f.l[in.class], front)
		copy(y[i*block:], front[:block])
		copy(out.rows[i], front[8*p.ne8:])
	})
	for k := range below {
		for _, rows := range below[k].rows {
			g.pool.put(rows)
		}
	}
	if p.nr > 0 {
		g.handed[parent[place]] = append(g.handed[parent[place]], out)
	}
	if p.ne > 0 {
		g.multiply(meet, y, block)
	}
	g.pool.put(y)
}

// take adds what a place below has left on its boundary.
func (g *gram) take(front []float64, below *handed, rows []float64) {
	dof := g.f.dof
	for i, node := range g.f.plan.nodes[below.first : below.first+below.count] {
		for d := range dof {
			to := front[8*g.at[int(node)*dof+d]:]
			to, from := to[:8:8], rows[8*(i*dof+d):8*(i*dof+d)+8]
			for s := range to {
				to[s] += from[s]
			}
		}
	}
}

// multiply subtracts YᵀY of the rows that one place has eliminated.
func (g *gram) multiply(meet []pass, y []float64, block int) {
	n := len(meet)
	work := float64(n) * float64(n+1) * 64 * float64(block/8)
	g.share(n, work, func(_, b int) {
		column := int(meet[b].eight) * 8 * g.ld
		for a := b; a < n; {
			run := 1
			for a+run < n && meet[a+run].eight == meet[a].eight+int32(run) {
				run++
			}
			sweepUpdate(g.sum[column+8*int(meet[a].eight):], g.ld, y[a*block:], block, run, y[b*block:], block/8)
			a += run
		}
	})
}

// shareWork is the number of multiplications from which on workers are worth their call.
const shareWork = 1e6

// share does n things, by all workers where there is enough to do.
func (g *gram) share(n int, work float64, do func(worker, i int)) {
	teams := min(g.f.workers, n)
	if work < shareWork {
		teams = 1
	}
	var group sync.WaitGroup
	for w := 1; w < teams; w++ {
		group.Go(func() {
			for i := w; i < n; i += teams {
				do(w, i)
			}
		})
	}
	for i := 0; i < n; i += max(1, teams) {
		do(0, i)
	}
	group.Wait()
}

// upward tells the way from any node to the root.
type upward struct {
	home   []int32 // by node, the place that eliminates it; −1 for none
	parent []int32 // by place, the next one on the way; −1 at the root
}

// upward works the ways out when they are first needed.
func (p *plan) upward(nodes int) *upward {
	p.upOnce.Do(func() {
		w := &upward{home: make([]int32, nodes), parent: make([]int32, len(p.places))}
		for i := range w.home {
			w.home[i] = -1
		}
		for q, in := range p.places {
			pat := p.classes[in.class].pat
			for _, n := range p.nodes[in.first : in.first+pat.interior] {
				w.home[n] = int32(q)
			}
		}
		for q, in := range p.places {
			pat := p.classes[in.class].pat
			w.parent[q] = -1
			for _, n := range p.nodes[in.first+pat.interior : in.first+pat.interior+pat.boundary] {
				if h := w.home[n]; w.parent[q] < 0 || h < w.parent[q] {
					w.parent[q] = h
				}
			}
		}
		p.up = w
	})
	return p.up
}

// Gram implements Factor.
func (f *directFactor) Gram(ctx context.Context, loads [][]PointLoad) (*mat.SymDense, error) {
	if err := checkLoads(f.full, loads); err != nil {
		return nil, err
	}
	out := mat.NewSymDense(len(loads), nil)
	x := [][]float64{make([]float64, f.full)}
	for j := range loads {
		clear(x[0])
		for _, p := range loads[j] {
			x[0][p.Unknown] += p.Value
		}
		if err := f.Solve(ctx, x, x); err != nil {
			return nil, err
		}
		for i := j; i < len(loads); i++ {
			sum := 0.0
			for _, p := range loads[i] {
				sum += p.Value * x[0][p.Unknown]
			}
			out.SetSym(j, i, sum)
		}
	}
	return out, nil
}

// checkLoads refuses none, unknowns out of range and values that are not finite.
func checkLoads(n int, loads [][]PointLoad) error {
	if len(loads) == 0 {
		return fmt.Errorf("sparse: no loads")
	}
	for r := range loads {
		for _, p := range loads[r] {
			if p.Unknown < 0 || int(p.Unknown) >= n {
				return fmt.Errorf("sparse: load %d acts at unknown %d, which is not one of 0 to %d", r, p.Unknown, n-1)
			}
			if !finite(p.Value) {
				return fmt.Errorf("sparse: load %d holds %g at unknown %d", r, p.Value, p.Unknown)
			}
		}
	}
	return nil
}
