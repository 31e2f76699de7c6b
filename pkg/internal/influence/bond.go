package influence

import (
	"math"

	"github.com/tanrad/tanrad/pkg/moisture"
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
	Wet    float64 // h, the longest that water stood on a face
	Hot    float64 // °C, the hottest air at a face
}

// atGlue is the air at a face where glue lines are.
func (c *LoadHistory) atGlue(f *moisture.Face) moisture.Room {
	if c.off && f.Beside != nil {
		return *f.Beside
	}
	return f.Room
}

// bonding follows water and heat at the faces. Where nobody can promise that a
// board lives, the limit is passed from the start.
func (m *Model) bonding(c *LoadHistory) Bonding {
	b := Bonding{After: math.Inf(1)}
	if len(m.Joints) == 0 {
		return b
	}
	ask := func(figure float64, by string, i int) {
		if verdict.Worse(figure, b.Figure) {
			b.Figure, b.By, b.Time = figure, by, i
		}
		if figure >= verdict.FromFails {
			b.After = min(b.After, c.Times[i])
		}
	}
	for i := range c.Times {
		sides, p := c.wet(i), &c.phases[c.phase[i]]
		wet, hot := max(sides[0], sides[1]), max(c.atGlue(&p.Top).Temperature, c.atGlue(&p.Bottom).Temperature)
		b.Wet, b.Hot = max(b.Wet, wet), max(b.Hot, hot)
		ask(m.Adhesive.Soaked(wet), ByWater, i)
		ask(m.Adhesive.Heated(hot), ByHeat, i)
	}
	if c.Shown.Never != "" {
		b.Figure, b.By, b.After = max(b.Figure, verdict.FromFails), ByNever, 0
	}
	return b
}
