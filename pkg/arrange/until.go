package arrange

import (
	"context"
	"time"
)

// Until is context.WithDeadline, but for that who looks at it looks at the context it came
// from as well: a service has long work stand aside at its looks, for what somebody waits
// for, and a search that looked at a deadline of its own alone did not.
func Until(ctx context.Context, end time.Time) (context.Context, context.CancelFunc) {
	until, cancel := context.WithDeadline(ctx, end)
	return &looked{until, ctx}, cancel
}

type looked struct {
	context.Context
	from context.Context
}

func (l *looked) Err() error {
	if err := l.from.Err(); err != nil {
		return err
	}
	return l.Context.Err()
}
