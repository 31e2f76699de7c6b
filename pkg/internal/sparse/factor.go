package sparse

import (
	"context"
	"fmt"
	"time"

	"gonum.org/v1/gonum/mat"
)

// Factor is a Cholesky factorisation. It never changes after it was made, so
// several goroutines may solve with one Factor at once.
type Factor interface {
	// N is the number of unknowns, the fixed ones included.
	N() int
	// Solve writes to dst[r] the answer for rhs[r], each of length N. Entries
	// of rhs at fixed unknowns are not read as loads; the answer is zero there.
	// dst and rhs may be the same slices. The matrix is symmetric, so adjoint
	// problems are solved by Solve as well. An entry that is not finite is an
	// error, and so is a context that has ended.
	Solve(ctx context.Context, dst, rhs [][]float64) error
	// Gram gives BᵀK⁻¹B for loads that act at a few unknowns each: entry (i, j) is the
	// work of load i on the displacement that load j brings about. What acts at fixed
	// unknowns is left out. No load, an unknown out of range, a value that is not finite
	// and a context that has ended are errors.
	Gram(ctx context.Context, loads [][]PointLoad) (*mat.SymDense, error)
	Stats() Stats
	// Release hands the memory of the factor on. Nothing may be asked of it afterwards.
	Release()
}

// Stats tells what a factorisation was made of and what it cost.
type Stats struct {
	Unknowns int   // free unknowns
	NonZeros int64 // entries of L as if nothing were shared
	Stored   int64 // entries of L that are kept; less than NonZeros where parts repeat
	Flops    int64 // multiplications and additions done to factorise

	Clusters int // clusters of elements in the tree; 0 for FactorDirect
	Distinct int // clusters that differ from each other
	Reused   int // of those, how many came from the cache
	Elements int // stiffness matrices asked for

	Bytes int64 // memory the factor holds

	// Condition is the square of largest over smallest diagonal entry of L: a
	// lower bound of the condition number in the 2-norm.
	Condition float64

	Order   time.Duration // checks, order of elimination, symbolic work
	Gather  time.Duration // element stiffness
	Numeric time.Duration // elimination
}

func checkSides(n int, dst, rhs [][]float64) error {
	if len(dst) != len(rhs) {
		return fmt.Errorf("sparse: %d right-hand sides and room for %d answers", len(rhs), len(dst))
	}
	for r := range rhs {
		if len(rhs[r]) != n || len(dst[r]) != n {
			return fmt.Errorf("sparse: right-hand side %d has length %d and its answer %d: needed %d", r, len(rhs[r]), len(dst[r]), n)
		}
		for i, v := range rhs[r] {
			if !finite(v) {
				return fmt.Errorf("sparse: right-hand side %d holds %g at unknown %d", r, v, i)
			}
		}
	}
	return nil
}
