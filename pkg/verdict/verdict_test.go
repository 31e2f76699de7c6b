package verdict

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWordsBeginWhereTheySay(t *testing.T) {
	for u, want := range map[float64]Word{0: Holds, 0.499: Holds, 0.5: Tight, 0.799: Tight, 0.8: Doubtful, 0.999: Doubtful, 1: Fails, 7: Fails} {
		assert.Equal(t, want, Of(u), "u %g", u)
	}
}
