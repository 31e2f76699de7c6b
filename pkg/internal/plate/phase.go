package plate

import (
	"context"
	"runtime/pprof"
)

// Within runs a phase of a check under its name: go tool pprof -tags tells what each takes,
// of a phase within another the inner one. The error is that of the phase.
func Within(ctx context.Context, phase string, do func(context.Context) error) (err error) {
	pprof.Do(ctx, pprof.Labels("phase", phase), func(ctx context.Context) { err = do(ctx) })
	return err
}
