package fault_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/fault"
)

func TestNearestOffersWhatWasMeant(t *testing.T) {
	known := []string{"black-walnut", "black-cherry", "sugar-maple", "walnut-oil"}
	assert.Equal(t, []string{"black-walnut"}, fault.Nearest("black-walnit", known, 1))
	assert.Equal(t, "black-walnut", fault.Nearest("Black Wlanut", known, 3)[0], "swap of neighbours, case and space")
	assert.Empty(t, fault.Nearest("zzzzzzz", known, 3), "no wild suggestions")
	assert.Empty(t, fault.Nearest("", known, 3))
	assert.Empty(t, fault.Nearest(strings.Repeat("a", 1<<20), known, 3), "bounded work for a huge word")
}

func TestNearestPutsTheNearestFirst(t *testing.T) {
	assert.Equal(t, []string{"width", "widths"}, fault.Nearest("widht", []string{"widths", "width", "height"}, 2))
}

func TestErrListIsNilWhenEmpty(t *testing.T) {
	var none fault.List
	assert.NoError(t, none.Err(), "a typed nil must not become an error")
	one := fault.List{{Rule: fault.Ragged, Pointer: "/rows", Detail: "rows differ"}}
	assert.EqualError(t, one.Err(), `rows differ at "/rows"`)
}
