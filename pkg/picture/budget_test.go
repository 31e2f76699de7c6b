package picture_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/picture"
)

// The order of work needs no solving and is drawn however little of it is allowed.
func TestTheOrderOfWorkIsNotSolved(t *testing.T) {
	b := boardtest.Lay(t, boardtest.File(t, "build-sails.json"))
	little := check.Conditions{Budget: 1, NoHistories: true}
	_, err := picture.Draw(context.Background(), b, little, picture.Options{View: picture.ViewSlices})
	require.NoError(t, err)
	_, err = picture.Draw(context.Background(), b, little, picture.Options{})
	require.Error(t, err, "this one is")
}
