package influence

import (
	"math"

	"github.com/tanrad/tanrad/pkg/verdict"
)

// Asked of the glue itself, whatever pulls at it.
const (
	ByWater = "water" // longer in water than its class is tested for
	ByHeat  = "heat"  // hotter than it stays hard
	ByNever = "never" // by something that no class is tested for
)

// Bonding is what a history asks of the glue.
type Bonding struct {
	Figure float64 // over what its class is known to bear; 1 is the limit
	By     string  // "" when nothing is asked
	Time   int     // index of the worst time in the history
	After  float64 // h from which the limit is passed; infinite when it is not
}

// bonding follows water and heat at the faces. Where nobody can promise that a
// board lives, the limit is passed from the start.
func (m *Model) bonding(c *Course) Bonding {
	b := Bonding{After: math.Inf(1)}
	if len(m.Joints) == 0 {
		return b
	}
	ask := func(figure float64, by string, i int) {
		if verdict.Worse(figure, b.Figure) {
			b.Figure, b.By, b.Time = figure, by, i
		}
		if figure >= verdict.FromFails {
			b.After = math.Min(b.After, c.Times[i])
		}
	}
	for i := range c.Times {
		wet := c.wet(i)
		ask(m.Adhesive.Soaked(math.Max(wet[0], wet[1])), ByWater, i)
		p := &c.phases[c.phase[i]]
		ask(m.Adhesive.Heated(math.Max(p.Top.Room.Temperature, p.Bottom.Room.Temperature)), ByHeat, i)
	}
	if c.Shown.Never != "" {
		b.Figure, b.By, b.After = math.Max(b.Figure, verdict.FromFails), ByNever, 0
	}
	return b
}
