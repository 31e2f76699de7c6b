package plate

import (
	"context"
	"sync"

	"github.com/tanrad/tanrad/pkg/internal/sparse"
)

// system is the equations of the membrane or of bending: factorised when they are first
// asked, and again when they are asked after their factor was let go of. It is safe for
// concurrent use.
type system struct {
	factorise func(context.Context) (sparse.Factor, error)
	once      func(ctx context.Context, sides [][]float64, wanted []bool) error // see sparse.SolveOnce; nil for the plain solver

	mu sync.RWMutex // held for reading while somebody solves
	f  sparse.Factor
}

// prepare makes the factor where there is none. Errors: those of the factorisation, and
// the context's.
func (s *system) prepare(ctx context.Context) (err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.f == nil {
		err = Within(ctx, "factorise", func(ctx context.Context) (err error) {
			s.f, err = s.factorise(ctx)
			return err
		})
	}
	return err
}

// use gives the factor to whoever asks something of it. Errors: those of prepare, and of
// the use.
func (s *system) use(ctx context.Context, do func(sparse.Factor) error) error {
	s.mu.RLock()
	for s.f == nil {
		s.mu.RUnlock()
		if err := s.prepare(ctx); err != nil {
			return err
		}
		s.mu.RLock()
	}
	defer s.mu.RUnlock()
	return do(s.f)
}

// solveOnce solves in place, at the nodes wanted. Where no factor is held, none is left.
// Errors: those of use.
func (s *system) solveOnce(ctx context.Context, sides [][]float64, wanted []bool) error {
	s.mu.RLock()
	held := s.f != nil
	s.mu.RUnlock()
	if held || s.once == nil {
		return s.use(ctx, func(f sparse.Factor) error { return f.Solve(ctx, sides, sides) })
	}
	return Within(ctx, "factorise and solve at once", func(ctx context.Context) error { return s.once(ctx, sides, wanted) })
}

// forget hands the memory of the factor on.
func (s *system) forget() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.f != nil {
		s.f.Release()
		s.f = nil
	}
}

// stats is the solver's own account of the factor, nothing where none is held.
func (s *system) stats() (out sparse.Stats) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	if s.f != nil {
		out = s.f.Stats()
	}
	return out
}
