package fault

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A fault is found in a list, alone, and behind another error; its place grows
// from the front; what is no fault passes.
func TestAtKeepsThePlaceWithinTheArgument(t *testing.T) {
	f := Fault{Rule: OutOfRange, Pointer: "/humidity", Detail: "too damp"}
	for _, err := range []error{f, List{f}, fmt.Errorf("there: %w", f), fmt.Errorf("there: %w", List{f, f})} {
		for _, g := range Of(At(At(err, "/1"), "/air")) {
			assert.Equal(t, "/air/1/humidity", g.Pointer)
		}
		var one Fault
		require.ErrorAs(t, err, &one)
		assert.Equal(t, f, one)
	}
	other := errors.New("disk")
	assert.Same(t, other, At(other, "/x"))
	assert.NoError(t, At(nil, "/x"))
	assert.Nil(t, Of(nil))
	assert.Equal(t, "/humidity", f.Pointer, "the argument is not touched")
}

func TestRange(t *testing.T) {
	for _, v := range []float64{0, 30, 12.5} {
		assert.Empty(t, Range("/mc", "moisture", v, 0, 30, "% MC"))
	}
	for _, v := range []float64{-1e-9, 30.1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		l := Range("/mc", "moisture", v, 0, 30, "% MC")
		require.Len(t, l, 1)
		assert.Equal(t, OutOfRange, l[0].Rule)
		assert.Equal(t, "0 to 30 % MC", l[0].Allowed)
	}
}

func TestLookup(t *testing.T) {
	list := []string{"pva", "epoxy"}
	same := func(s *string) string { return *s }
	got, err := Lookup("glue", "epoxy", list, same)
	require.NoError(t, err)
	assert.Equal(t, "epoxy", got)
	_, err = Lookup("glue", "epoxi", list, same)
	l := Of(err)
	require.Len(t, l, 1)
	assert.Equal(t, []string{"epoxy"}, l[0].Nearest)
	assert.Equal(t, "pva, epoxy", l[0].Allowed)
	_, err = Lookup("glue", strings.Repeat("é", 100), list, same)
	assert.LessOrEqual(t, len(Of(err)[0].Found), 84)
}
