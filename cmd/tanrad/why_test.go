package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// --why tells formulas with their numbers and the printed works; a name that the
// board has not is a fault of the flag with its neighbours.
func TestCheckWhy(t *testing.T) {
	r := run(t, twoByTwo, "check", "-", "--no-exposures", "--why", "r1c2")
	assert.Equal(t, 0, r.code, r.err)
	for _, want := range []string{"v = min(S, Q)", "Δ = ε_B − ε_A", "[WH190-EQ4-5]", "Forest Products Laboratory: Wood Handbook", "by hand and by the solver"} {
		assert.Contains(t, r.out, want)
	}
	assert.NotContains(t, r.out, "difference from the program's own is 1", "formulas give what the program has")

	r = run(t, twoByTwo, "check", "-", "--no-exposures", "--why", "r1c3")
	assert.Equal(t, exitInput, r.code)
	assert.Contains(t, r.err, "--why")
	assert.Contains(t, r.err, "r1c2")
}
