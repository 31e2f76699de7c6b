package check

import (
	"context"
	"github.com/tanrad/tanrad/pkg/derive"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// derivation opens the numbers of the joint that a word means. Errors: a fault at
// "/explain" for a word that means none.
func (m reporter) derivation(ctx context.Context, j *influence.Judged, word string) (*derive.Derivation, error) {
	joint, err := derive.Find(m.Model, j, word)
	if err != nil {
		return nil, fault.At(err, "/explain")
	}
	return derive.Joint(ctx, m.Model, j, joint)
}
