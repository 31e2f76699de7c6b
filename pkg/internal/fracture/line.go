package fracture

import (
	"context"
	"math"
	"sync"

	"gonum.org/v1/gonum/mat"

	"github.com/tanrad/tanrad/pkg/joint"
)

// Line is a straight path of a crack: what the wood and glue along it bear, what
// its two sides exert on each other under each case of load, and how stiffly the
// board resists their parting.
//
// Place holds the ends and middles of its sides, in mm from its start; the jump
// between the crack faces is a parabola over each side. The two ends stay together
// where Shut says so. A path may turn once: there its two unknowns are the jumps along
// the normals of both arms. A line may be asked from several goroutines.
type Line struct {
	Place     []float64 // end, middle, end, …
	Joint     []int     // per side, number of a joint of the line
	Back      []float64 // per side end, mm: how far before it a tip there acts; nil for nowhere
	Shut      [2]bool
	Corner    int         // side end where the path turns, 0 where it is straight: only stretches round it are tried
	Least     [2]float64  // mm, at either end: a crack from there counts from this length on
	Thickness float64     // mm
	Anywhere  bool        // cracks start at the ends of all sides, not of joints only
	Tough     []Toughness // per joint
	Membrane  []Load      // per case
	Bending   []Load      // per case, at a height of 1 mm above the mid-plane
	// Stiffness gives the force on a unit jump, N/mm: unknown 2i is the jump along
	// the normal at place i, 2i+1 that along the line. It is asked for once,
	// and again after Forget.
	Stiffness func(context.Context) (*mat.SymDense, error)

	mu     sync.Mutex // guards what follows: it is worked out when first needed
	s      *mat.SymDense
	starts []start
	grow   [][2]float64 // running length-weighted sums of the two energies over the sides
	room   scratch
}

// scratch is memory that one moment after another uses.
type scratch struct {
	demands []float64
	tips    [2][]tip // of the best start so far, and of the one that is tried
}

// zeros gives n zeros.
func (r *scratch) zeros(n int) []float64 {
	if cap(r.demands) < n {
		r.demands = make([]float64, n)
		return r.demands
	}
	clear(r.demands[:n])
	return r.demands[:n]
}

// tipsFor gives n tips that know nothing, in one of the two places.
func (r *scratch) tipsFor(place, n int) []tip {
	if cap(r.tips[place]) < n {
		r.tips[place] = make([]tip, n)
	}
	t := r.tips[place][:n]
	clear(t)
	return t
}

// Load is one unit of one case.
type Load struct {
	N, T         []float64 // per place, N: work of the traction on a unit jump there
	SideN, SideT []float64 // per side, MPa·mm
}

// Toughness is the energy a crack needs, N/mm (kJ/m²), see Energy.
type Toughness struct {
	Open, Slide float64
	Exponent    float64
}

// Energy is the mixed-mode law
//
//	G_c = G_I + (G_II − G_I)·s^m                                          (4)
//
// with s the share of the energy that sliding sets free (Benzeggagh and Kenane
// 1996, from memory). N/mm; s has no unit.
func (t Toughness) Energy(s float64) float64 {
	return t.Open + (t.Slide-t.Open)*math.Pow(s, t.Exponent)
}

// slope is dG_c/ds.
func (t Toughness) slope(s float64) float64 {
	if s <= 0 {
		return 0
	}
	return (t.Slide - t.Open) * t.Exponent * math.Pow(s, t.Exponent-1)
}

// Parts is the number of parts of a joint that are judged apart: the wood on the
// left, the bond to it, the bond to the wood on the right, that wood.
const Parts = 4

// State is one moment.
type State struct {
	Membrane, Bending []float64                  // amounts of the cases
	Own               *Load                      // tractions that no case brings, even over the thickness; may be nil
	Height            []float64                  // mm above the mid-plane, the levels at which stress is judged
	Criteria          [][][Parts]joint.Criterion // per level, per joint of the line: what the parts bear
}

// Governs says what holds the crack back where v is found.
type Governs string

// The sides of the criterion.
const (
	Strength Governs = "strength" // stress suffices no further
	Energy   Governs = "energy"   // energy does not suffice sooner
	Both     Governs = "both"     // a longer crack lacks stress, a shorter one energy
)

// Result is the coupled criterion of one line in one state.
type Result struct {
	V        float64 // load over the load at which a crack starts and runs
	From, To float64 // mm along the line: the stretch that opens
	Start    float64 // mm: the end of the stretch it starts from
	Stress   float64 // mean stress over strength on that stretch
	Energy   float64 // √(G/G_c)
	Release  float64 // G, N/mm
	Needed   float64 // G_c, N/mm
	Sliding  float64 // share of the energy that sliding sets free
	Governs  Governs
	Part     int  // 0 … Parts−1, of the mean stress
	Level    int  // number in State.Height
	Joint    int  // joint of the line that bears most of the stretch's stress
	Opens    bool // more of the mean stress is opening than sliding
	// Slopes of V by the amounts of the cases.
	ByMembrane, ByBending []float64
}

// prepare works out once what no state changes.
func (l *Line) prepare() {
	if l.starts != nil {
		return
	}
	l.grow = make([][2]float64, len(l.Joint)+1)
	for i, j := range l.Joint {
		h := l.length(i, i+1)
		l.grow[i+1] = [2]float64{l.grow[i][0] + h*l.Tough[j].Open, l.grow[i][1] + h*l.Tough[j].Slide}
	}
	n := len(l.Joint)
	for i := 0; i <= n; i++ {
		if i > 0 && i < n && l.Joint[i-1] == l.Joint[i] && !l.Anywhere {
			continue
		}
		if i < n {
			l.starts = append(l.starts, start{at: i, step: 1})
		}
		if i > 0 {
			l.starts = append(l.starts, start{at: i, step: -1})
		}
	}
}

// length is that of the stretch between two side ends, mm.
func (l *Line) length(i, j int) float64 { return math.Abs(l.Place[2*j] - l.Place[2*i]) }

// toughness is the mean over a stretch between two side ends.
func (l *Line) toughness(i, j int) Toughness {
	if i > j {
		i, j = j, i
	}
	a := l.length(i, j)
	return Toughness{(l.grow[j][0] - l.grow[i][0]) / a, (l.grow[j][1] - l.grow[i][1]) / a, l.Tough[l.Joint[i]].Exponent}
}

// counts says that a crack from a start to a tip [mm] is long enough to count, and goes
// round the corner of a path that turns: straight ones are the business of its lines.
func (l *Line) counts(s *start, tip float64) bool {
	if l.Corner > 0 && !((s.at < l.Corner && tip > l.Place[2*l.Corner]) || (s.at > l.Corner && tip < l.Place[2*l.Corner])) {
		return false
	}
	least := 0.0
	switch s.at {
	case 0:
		least = l.Least[0]
	case len(l.Joint):
		least = l.Least[1]
	}
	return math.Abs(tip-l.Place[2*s.at]) >= least
}

// tipAt is the place of the tip when k sides are opened from a start, mm.
func (l *Line) tipAt(s *start, k int) float64 {
	end := s.at + k*s.step
	return l.Place[2*end] - float64(s.step)*l.back(end)
}

// back is how far before a side end a tip there acts: nothing where the crack comes
// out at the rim.
func (l *Line) back(end int) float64 {
	n := len(l.Joint)
	if l.Back == nil || end == 0 && !l.Shut[0] || end == n && !l.Shut[1] {
		return 0
	}
	return l.Back[end]
}

// area is what opens between a start and its tip, mm².
func (l *Line) area(s *start, k int) float64 {
	return (math.Abs(l.tipAt(s, k)-l.Place[2*s.at]) - l.back(s.at)) * l.Thickness
}

// normal tells whether an unknown is a jump along the normal, which cannot be below 0.
func (l *Line) normal(unknown int) bool {
	return unknown%2 == 0 || l.Corner > 0 && unknown == 4*l.Corner+1
}

// start is a place from which cracks of growing length are tried. The unknowns
// of a longer crack are those of a shorter one and some more, so one Cholesky
// factor, grown row by row, serves all lengths.
type start struct {
	at, step int
	unknowns []int     // in the order they open
	count    []int     // unknowns open when the tip is k sides away
	ends     []end     // the tips k sides away, from the first on
	chol     []float64 // rows of the factor, packed
	rows     int
	touched  [2][]bool // per layer of the last moment: what of its first or longest crack was free
	stuck    bool      // opened further, a part of the board would float
}

// end is where a tip lies and what opening as far as that asks.
type end struct {
	at     float64 // mm along the line
	side   int     // on which it lies
	share  float64 // of that side, from its start
	area   float64 // mm²
	tough  Toughness
	counts bool // such a stretch counts
}

// open lists the unknowns of a start: everything between its end and the tip,
// and the place at the rim where it begins or ends; and all its tips.
func (l *Line) open(s *start) {
	if s.count != nil {
		return
	}
	n := len(l.Joint)
	add := func(place int) { s.unknowns = append(s.unknowns, 2*place, 2*place+1) }
	if s.at == 0 && !l.Shut[0] || s.at == n && !l.Shut[1] {
		add(2 * s.at)
	}
	s.count = []int{0}
	for i := s.at; i+s.step >= 0 && i+s.step <= n; i += s.step {
		add(2*i + s.step)
		s.count = append(s.count, len(s.unknowns))
		add(2 * (i + s.step))
	}
	rim := 0
	if s.step > 0 {
		rim = n
	}
	if last := len(s.count) - 1; rim == 0 && !l.Shut[0] || rim == n && !l.Shut[1] {
		s.count[last] = len(s.unknowns)
	} else {
		s.unknowns = s.unknowns[:s.count[last]]
	}
	s.ends = make([]end, len(s.count))
	for k := 1; k < len(s.count); k++ {
		e := end{at: l.tipAt(s, k), side: s.at + k - 1, area: l.area(s, k), tough: l.toughness(s.at, s.at+k*s.step)}
		if s.step < 0 {
			e.side = s.at - k
		}
		a, b := l.Place[2*e.side], l.Place[2*e.side+2]
		e.share, e.counts = (e.at-a)/(b-a), l.counts(s, e.at)
		s.ends[k] = e
	}
}

// pivotLeast is the share of a diagonal entry that must be left: less, and what
// has opened hangs by nothing.
const pivotLeast = 1e-8

// factor grows the Cholesky factor to the first n unknowns; it tells how many it
// holds. The error is that of the context: the rows that are done stay.
func (l *Line) factor(ctx context.Context, s *start, n int) (int, error) {
	for s.rows < n && !s.stuck {
		if s.rows%64 == 0 && ctx.Err() != nil {
			return 0, ctx.Err()
		}
		chol, ok := l.grown(s.chol, s.unknowns, s.rows)
		if !ok {
			s.stuck = true
			break
		}
		s.chol = chol
		s.rows++
	}
	return min(n, s.rows), nil
}

// grown adds row r to the packed Cholesky factor of the stiffness of some unknowns; not
// ok when what has opened hangs by nothing.
func (l *Line) grown(chol []float64, unknowns []int, r int) ([]float64, bool) {
	raw := l.s.RawSymmetric()
	of := unknowns[r]
	from := len(chol)
	chol = append(chol, make([]float64, r+1)...)
	row := chol[from:]
	at := 0
	whole := raw.Data[of*raw.Stride+of]
	d := whole
	for c, u := range unknowns[:r] {
		lc := chol[at : at+c+1]
		v := (raw.Data[min(of, u)*raw.Stride+max(of, u)] - dot(row[:c], lc)) / lc[c]
		row[c] = v
		d -= v * v
		at += c + 1
	}
	row[r] = math.Sqrt(d)
	return chol, d > pivotLeast*whole
}

// forward gives y = L⁻¹f for the first n unknowns.
func (s *start) forward(f []float64, n int) []float64 { return forward(s.chol, s.unknowns[:n], f) }

// backward gives L⁻ᵀy.
func (s *start) backward(y []float64) []float64 { return backward(s.chol, y) }

// forward gives y = L⁻¹f of a packed factor of some unknowns.
func forward(chol []float64, unknowns []int, f []float64) []float64 {
	y := make([]float64, len(unknowns))
	at := 0
	for r, u := range unknowns {
		y[r] = (f[u] - dot(y[:r], chol[at:])) / chol[at+r]
		at += r + 1
	}
	return y
}

// backward gives L⁻ᵀy of a packed factor.
func backward(chol, y []float64) []float64 {
	x := append([]float64{}, y...)
	for r := len(x) - 1; r >= 0; r-- {
		at := r * (r + 1) / 2
		v := x[r] / chol[at+r]
		x[r] = v
		for c, k := range chol[at : at+r] {
			x[c] -= k * v
		}
	}
	return x
}

// dot is Σ a·b over the length of a, in four sums that do not wait for each other.
func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	for len(a) >= 4 && len(b) >= 4 {
		s0 += a[0] * b[0]
		s1 += a[1] * b[1]
		s2 += a[2] * b[2]
		s3 += a[3] * b[3]
		a, b = a[4:], b[4:]
	}
	for i, v := range a {
		s0 += v * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}

// Forget lets go of what can be worked out again: the stiffness and its factors.
func (l *Line) Forget() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.s = nil
	for i := range l.starts {
		l.starts[i].chol, l.starts[i].rows, l.starts[i].stuck = nil, 0, false
	}
}

// Bytes is what the line holds at present, about.
func (l *Line) Bytes() int64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	n := 0
	if l.s != nil {
		k := l.s.SymmetricDim()
		n += k * k
	}
	for i := range l.starts {
		n += cap(l.starts[i].chol)
	}
	for _, cases := range [][]Load{l.Membrane, l.Bending} {
		for i := range cases {
			n += len(cases[i].N) + len(cases[i].T) + len(cases[i].SideN) + len(cases[i].SideT)
		}
	}
	return 8 * int64(n)
}
