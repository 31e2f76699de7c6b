package derive

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// Cause is a named share of what is asked of the worst joint.
type Cause struct {
	Kind, Name string
	Share      float64 // shares of one kind sum to 1
}

// Causes derives the shares of the worst joint's stress over strength; total (dimensionless)
// is what all pieces bring.
func Causes(m *influence.Model, j *influence.Judged, total float64, list []Cause, f Figure) (*Derivation, error) {
	at := &j.Worst
	d := jointOf(newBase(m, j, f.Of, at.State, at.Hour), at)
	d.d.Text = "What is asked of " + d.between()
	d.stress()
	all := d.solved("stress over strength at the level of the crack, as the sum of what every piece brings", "U", "1", total, []string{"TENSOR"},
		"adjoint of the plate: one solution gives what the free strain of every piece does there, each by what sets it apart from the mean of the board")
	for i, c := range list {
		d.part = parts[c.Kind]
		n := i + 1
		brings := given(fmt.Sprintf("u_%d", n), c.Share*total, "1", "solved: "+hows[c.Kind])
		d.holds(c.Name, fmt.Sprintf("a_%d = u_%d/U", n, n), "1", c.Share, nil, "", brings, all)
	}
	return d.done()
}

// parts and hows tell of every kind of cause what it lists and how its shares come.
var (
	parts = map[string]string{"mechanism": "by mechanism", "wood": "by wood", "piece": "by piece"}
	hows  = map[string]string{
		"mechanism": "what this step adds when the free strains are built up: the woods alone, their rings, their fibres, their moistures",
		"wood":      "what all its pieces bring",
		"piece":     "its own free strain, less the mean of the board, times the slope there",
	}
)
