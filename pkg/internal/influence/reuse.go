package influence

import (
	"context"
	"reflect"
	"slices"
	"sync"

	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
)

// For gives the model of another board when all that was worked out holds for it as
// well: the same pieces in the same places, glued the same way at the same moistures.
// They may differ in name, home, finish and exposures, which come after the solution.
// It gives nil when something has to be worked out anew. Errors: those of Prepare.
func (m *Model) For(ctx context.Context, b *layout.Board, o Options) (*Model, error) {
	if !m.SolvedAs(o) || !sameBuild(m.Board, b) {
		return nil, nil
	}
	p, err := translate(ctx, b, o.Events)
	if err != nil || !reflect.DeepEqual(p.past, m.past) || !reflect.DeepEqual(p.wet, m.wet) {
		return nil, err
	}
	m.shares.Lock()
	out := *m
	m.shares.Unlock()
	out.shares, out.Parts = &sync.Mutex{}, *p
	return &out, nil
}

// SolvedAs tells whether a model was solved under such options, whatever it may take.
func (m *Model) SolvedAs(o Options) bool {
	s := &m.solved
	return s.Bending == o.Bending && s.Refine == o.Refine && s.Coarsest == o.Coarsest && s.Joints == o.Joints
}

// sameBuild compares all of two boards but what they meet later.
func sameBuild(a, b *layout.Board) bool {
	x, y := *a, *b
	for _, v := range []*layout.Board{&x, &y} {
		v.FinishBottom, v.Stands = "", ""
		v.Name, v.Units, v.Finish, v.Ends, v.Home, v.Exposures, v.Notices, v.Assumed = "", "", "", "", layout.Home{}, nil, nil, nil
		v.GlueUp.Humidity, v.GlueUp.Temperature = 0, 0 // of the moistures at gluing, which are told piece by piece
		v.Stock = nil                                  // the same
	}
	x.Renewed = y.Renewed
	return reflect.DeepEqual(&x, &y)
}

// Keep makes the model keep the splits it lays through the wood, for judging again
// under other moistures. It keeps the last few.
func (m *Model) Keep() { m.laid = &laidPaths{} }

// laidPaths are splits that were laid and solved. It may be shared.
type laidPaths struct {
	mu    sync.Mutex
	paths []*PathMoment // nothing judged yet
	keys  []pathKey
	swung []*survey // under the swings; nil before they were made
}

// surveys are those under the swings that are kept.
func (l *laidPaths) surveys() []*survey {
	if l == nil {
		return nil
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	return slices.Clone(l.swung)
}

// putSurveys keeps the first of some, those under the swings.
func (l *laidPaths) putSurveys(of []*survey) {
	if l == nil {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.swung = slices.Clone(of[:swings])
}

// pathKey is all that a split depends on.
type pathKey struct {
	piece int
	at    layout.XY
	along [2]float64
}

// mostLaid is how many splits are kept: those of all swings, and some.
const mostLaid = 16

// find gives a split that was laid at a place, nil when none was.
func (l *laidPaths) find(p *place) *PathMoment {
	if l == nil {
		return nil
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	i := slices.Index(l.keys, pathKey{p.piece, p.At, p.Along})
	if i < 0 {
		return nil
	}
	path := *l.paths[i]
	return &path
}

func (l *laidPaths) put(p *place, path *PathMoment) {
	if l == nil || path == nil {
		return
	}
	kept := *path
	l.mu.Lock()
	defer l.mu.Unlock()
	l.keys, l.paths = slices.Insert(l.keys, 0, pathKey{p.piece, p.At, p.Along}), slices.Insert(l.paths, 0, &kept)
	if n := min(mostLaid, len(l.keys)); n < len(l.keys) {
		l.keys, l.paths = l.keys[:n], slices.Delete(l.paths, n, len(l.paths))
	}
}

// elementBytes is what a mesh and a plate take for an element beside the factor.
const elementBytes = 1 << 10

// Bytes is what the model holds at present, about; more after it was judged.
func (m *Model) Bytes() int64 {
	sum := int64(len(m.Mesh.Elements))*elementBytes + m.Plate.ShapeBytes() + m.Plate.Bytes(plate.Membrane) + m.Plate.Bytes(plate.Bending)
	for _, mode := range m.units {
		for _, x := range mode {
			sum += 8 * int64(len(x))
		}
	}
	for j := range m.Joints {
		sum += pullBytes * int64(len(m.Joints[j].Membrane)+len(m.Joints[j].Bending)+len(m.Joints[j].Warp))
	}
	for _, l := range m.Lines {
		sum += l.Crack.Bytes()
	}
	if m.laid != nil {
		m.laid.mu.Lock()
		defer m.laid.mu.Unlock()
		for _, p := range m.laid.paths {
			sum += p.m.Bytes()
		}
	}
	return sum
}
