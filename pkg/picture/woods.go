package picture

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/draw"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/wood"
)

// mostWoods is how many woods one picture shows.
const mostWoods = 60

// Woods draws how far woods move between two airs, that which moves least first. more are
// woods of the list that the caller left out. Errors: those of moisture.Room.EMC, at
// "/from" and "/to"; of draw for a list without woods.
func Woods(list []*wood.Species, from, to moisture.Room, more int) ([]byte, error) {
	before, err := from.EMC()
	if err != nil {
		return nil, fault.At(err, "/from")
	}
	after, err := to.EMC()
	if err != nil {
		return nil, fault.At(err, "/to")
	}
	var bars []draw.MovementBar
	for _, s := range list {
		if !s.ShrinkR.Known || !s.ShrinkT.Known {
			continue
		}
		_, r, t := s.Swelling(min(before, after), max(before, after))
		bars = append(bars, draw.MovementBar{Name: s.CommonName, Radial: 100 * r, Tangential: 100 * t, Weak: s.Disputed || weak(s.ShrinkR) || weak(s.ShrinkT)})
	}
	slices.SortStableFunc(bars, func(a, b draw.MovementBar) int {
		switch {
		case a.Tangential < b.Tangential:
			return -1
		case a.Tangential > b.Tangential:
			return 1
		}
		return 0
	})
	if len(bars) > mostWoods {
		more += len(bars) - mostWoods
		bars = bars[:mostWoods]
	}
	return draw.Movement(bars, draw.MovementOptions{Title: "How far woods move", More: more,
		Subtitle: fmt.Sprintf("From %.0f to %.0f %% humidity at %.0f °C: %.1f to %.1f %% moisture.", from.Humidity, to.Humidity, to.Temperature, before, after)})
}

func weak(v wood.Value) bool { return v.Status == wood.Estimated || v.Status == wood.Memory }

// Pair draws a pair of woods and how near it comes to giving. inches tells lengths so.
func Pair(r *pair.Result, inches bool) ([]byte, error) {
	over := r.Length
	if over == 0 {
		over = pair.DefaultTold(inches)
	}
	small := func(mm float64) string { return fmt.Sprintf("%.2f mm", mm) }
	whole := func(mm float64) string { return fmt.Sprintf("%.0f mm", mm) }
	if inches {
		small = func(mm float64) string { return fmt.Sprintf("%.3f in", quantity.Inches(mm)) }
		whole = quantity.FormatInches
	}
	a, b := strings.ToLower(r.A.CommonName), strings.ToLower(r.B.CommonName)
	goes := fmt.Sprintf("%.1f to %.1f %% moisture", r.A.From, r.A.To)
	if other := fmt.Sprintf("%.1f to %.1f %% moisture", r.B.From, r.B.To); other != goes {
		goes = fmt.Sprintf("%s and %s", goes, other)
	}
	p := draw.PairPicture{Title: strings.ToUpper(string(r.Verdict[:1])) + string(r.Verdict[1:]) + ": " + a + " and " + b, A: sideOf(&r.A), B: sideOf(&r.B), Length: over, Curvature: r.Bow.Curvature,
		Utilisation: verdict.Rank(r.Utilisation), Words: r.Words, Inches: inches,
		Subtitle: fmt.Sprintf("At most %d %% of what they bear, going from %s.", r.Words.Percent(r.Utilisation), goes),
		Notes: []string{
			fmt.Sprintf("Over %s of joint they would be %s apart.", whole(over), small(over*math.Abs(r.Mismatch.Along))),
			fmt.Sprintf("Glued and held straight, that makes %s in %s and %s in %s.", stress(r.Straight.StressA), a, stress(r.Straight.StressB), b),
			fmt.Sprintf("By themselves they bow by %s.", small(math.Abs(r.Bow.Rise)))}}
	for _, c := range r.Checks {
		p.Bars = append(p.Bars, draw.PairBar{Text: c.Text, Figure: verdict.Rank(c.Utilisation)})
	}
	return draw.Pair(p)
}

// stress is a stress along the joint in words.
func stress(mpa float64) string {
	if mpa < 0 {
		return fmt.Sprintf("%.1f MPa of pressure", -mpa)
	}
	return fmt.Sprintf("%.1f MPa of pull", mpa)
}

func sideOf(s *pair.Side) draw.PairSide {
	d := draw.PairSide{Name: s.CommonName, Width: s.Width, Up: s.Grain == pair.Up, Ring: s.RingAngle, Along: s.Along, Across: s.Normal, Shear: s.Shear}
	if s.Grain == pair.Across {
		d.Fibres = 90
	}
	if w, err := wood.Find(s.Species); err == nil {
		d.Colour = w.Colour
	}
	return d
}
