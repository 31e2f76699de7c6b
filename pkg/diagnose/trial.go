package diagnose

import (
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Kinds of explanation.
const (
	ByExposure     = "exposure"
	BySeason       = "season"
	ByGluing       = "gluing"
	ByBond         = "bond"
	ByConstruction = "construction"
)

// scene is what happens to a board: a season, or an event.
type scene struct {
	key, text string
	kind      string
	prior     float64
	event     *moisture.Event // nil: settled in the home's one month
	home      layout.Home
	start     int  // month (1 to 12) of the event's first hour when it lives from the seasons, else 0
	settled   int  // month of a settled season, else 0
	fromGlue  bool // hours count from gluing
	ages      [4]float64
}

// variant is the board as told, or as it may really have been glued.
type variant struct {
	key, text string
	kind      string
	prior     float64
	board     *layout.Board
	told      bool // nothing changed
}

// still is a home that is always in one month's air.
func still(r moisture.Room) layout.Home {
	h := layout.Home{Months: make([]moisture.Room, 12)}
	for i := range h.Months {
		h.Months[i] = r
	}
	return h
}

func monthName(m int) string { return time.Month(m).String() }

// settledScenes are the two seasons a board settles into.
func settledScenes(home moisture.Climate) []scene {
	dry, damp, low, high := home.Extremes()
	season := func(key, word string, m int, mc float64) scene {
		return scene{key: key, kind: BySeason, prior: judged("prior-usual"), home: still(home.Months[m]), settled: m + 1, ages: spread("with-the-year"),
			text: fmt.Sprintf("the %s season at home: settled at %.1f %% MC in %s", word, mc, monthName(m+1))}
	}
	return []scene{season("dry-season", "dry", dry, low), season("damp-season", "damp", damp, high)}
}

// shopWork are the exposures of the shop, which never see the home.
var shopWork = map[string]bool{"raise-grain": true, "finish-soak": true}

// everyday are the exposures a board meets without anybody's fault.
var everyday = map[string]bool{"year-at-home": true, "first-heating-season": true, "wash-one-face": true, "damp-spell": true, "dry-spell": true}

// eventScenes are the exposures of the catalogue, one for each face they may
// concern. month (1 to 12) is when settled events happen.
func eventScenes(b *layout.Board, home moisture.Climate, month int) []scene {
	var out []scene
	for _, e := range moisture.Exposures() {
		if e.Use == moisture.Ordinary {
			continue // a year with spells and washing: each is looked at by itself
		}
		s := scene{key: e.Key, kind: ByExposure, prior: judged("prior-neglect"), text: strings.ToLower(e.Name[:1]) + e.Name[1:], fromGlue: e.FromGlueUp, ages: spread("any-time")}
		if everyday[e.Key] {
			s.prior = judged("prior-usual")
		}
		values, faces := map[string]float64{}, []string{""}
		days, after := 365.0, 0.0 // in the seasons from their first month; at home after something else
		for _, v := range e.Values {
			switch v.Name {
			case "start_month":
				s.start = int(v.Default)
			case "days":
				days = v.Default
			case "after_days":
				after = v.Default
			case "month":
				values["month"] = float64(month) // of the other home, for a move; here all months are alike
			case "face":
				faces = v.Allowed
			}
		}
		switch {
		case shopWork[e.Key]:
			s.home = still(b.GlueUp)
		case s.start > 0:
			s.home = through(home, s.start, days)
		case after > 0:
			s.home = through(home, month, after)
		default:
			s.home = still(home.Months[month-1])
		}
		for _, f := range faces {
			one := s
			one.event = &moisture.Event{Name: e.Key, Values: values}
			if f != "" {
				one.key, one.text = e.Key+"/"+f, s.text+", "+f+" face"
				one.event.Words = map[string]string{"face": f}
			}
			out = append(out, one)
		}
	}
	return out
}

// through is the home's year with the months an event does not reach replaced by
// its first, so that the end states belong to the event. Air runs in straight
// lines between the middles of the months: the halves of the first and of the last
// month lean on the months before and after, which are kept.
func through(home moisture.Climate, start int, days float64) layout.Home {
	months := int(math.Ceil(days / 30.5))
	h := still(home.Months[start-1])
	for k := -1; k <= min(months, 12); k++ {
		m := (start + 11 + k) % 12
		h.Months[m] = home.Months[m]
	}
	return h
}

// gluingVariants are the ways in which the board may have been glued otherwise
// than told.
func gluingVariants(f *layout.File, b *layout.Board, seen place) []variant {
	var out []variant
	add := func(key, text, kind string, prior float64, c *layout.Board, err error) {
		if err == nil { // a moisture beyond 0 to 30 % is no explanation
			out = append(out, variant{key: key, text: text, kind: kind, prior: prior, board: c})
		}
	}
	gluingError := judged("gluing-error")
	signs := [2]struct {
		word string
		by   float64
	}{{"wetter", gluingError}, {"drier", -gluingError}}
	for _, s := range signs {
		c, err := shifted(f, b, s.by, func(*layout.Piece) bool { return true })
		add("all-"+s.word, fmt.Sprintf("all wood was %g %% %s than told when it was glued", gluingError, s.word), ByGluing, judged("prior-misjudged"), c, err)
	}
	stocks := stocksOf(b)
	for _, k := range stocks {
		if len(stocks) == 1 {
			break
		}
		for _, s := range signs {
			c, err := shifted(f, b, s.by, func(p *layout.Piece) bool { return p.Stock == k })
			add("stock-"+s.word+"/"+k, fmt.Sprintf("stock %s (%s) was %g %% %s than told when it was glued, the rest as told", k, common(b.Stock[k].Species), gluingError, s.word), ByGluing, judged("prior-misjudged"), c, err)
		}
	}
	if borders(b) {
		for _, s := range signs {
			c, err := shifted(f, b, s.by, func(p *layout.Piece) bool { return p.Border >= 0 })
			add("border-"+s.word, fmt.Sprintf("the border was %g %% %s than told when it was glued on", gluingError, s.word), ByGluing, judged("prior-misjudged"), c, err)
		}
	}
	if seen.everywhere {
		return out
	}
	for _, i := range neighbours(b, seen) {
		p := &b.Pieces[i]
		if !p.Grain.Up || p.Pith != nil || p.RingUnknown {
			continue
		}
		turned := f.Clone()
		turned.Change(p.ID, layout.Override{Ring: layout.RingAt(layout.Axis(p.RingAngle + 90))})
		c, faults := turned.Board()
		add("turned/"+p.ID, fmt.Sprintf("block %s was set with its rings a quarter turn from what is told", p.ID), ByGluing, judged("prior-turned"), c, faults.Err())
	}
	return out
}

// neighbours are the pieces at the seen place, at most four.
func neighbours(b *layout.Board, seen place) []int {
	var out []int
	add := func(i int) {
		for _, k := range out {
			if k == i {
				return
			}
		}
		if len(out) < 4 {
			out = append(out, i)
		}
	}
	for _, i := range seen.pieces {
		add(i)
	}
	for _, j := range seen.joints {
		add(b.Joints[j].A)
		add(b.Joints[j].B)
	}
	return out
}

// shifted changes the moisture at gluing of some pieces.
func shifted(f *layout.File, b *layout.Board, by float64, which func(*layout.Piece) bool) (*layout.Board, error) {
	c := f.Clone()
	for i := range b.Pieces {
		if p := &b.Pieces[i]; which(p) {
			mc := p.Moisture + by
			c.Change(p.ID, layout.Override{Moisture: &mc})
		}
	}
	other, faults := c.Board()
	return other, faults.Err()
}

// stocksOf lists the stocks a board uses, in the order of its pieces.
func stocksOf(b *layout.Board) []string {
	return b.Distinct(func(p *layout.Piece) string { return p.Stock })
}

func common(species string) string {
	s, err := wood.Find(species)
	if err != nil {
		return species
	}
	return strings.ToLower(s.CommonName)
}

func borders(b *layout.Board) bool {
	for i := range b.Pieces {
		if b.Pieces[i].Border >= 0 {
			return true
		}
	}
	return false
}

// yielding is the board with every long-grain border turned to end grain, which
// moves along its length as the field does; nil when there is none.
func yielding(f *layout.File) *layout.Board {
	c, any := f.Clone(), false
	for i := range c.Borders {
		if e := &c.Borders[i]; e.Grain != "up" {
			e.Grain, any = "up", true
		}
	}
	if !any {
		return nil
	}
	b, faults := c.Board()
	if len(faults) > 0 {
		return nil
	}
	return b
}

// extreme is the month (1 to 12) of an end state of the scene's own home.
func (s *scene) extreme(state string) int {
	low, high := 0, 0
	var mc [12]float64
	for i, r := range s.home.Months {
		mc[i], _ = moisture.EMC(r.Temperature, r.Humidity) // package check has refused an air that cannot be
		if mc[i] < mc[low] {
			low = i
		}
		if mc[i] > mc[high] {
			high = i
		}
	}
	switch state {
	case "driest-month":
		return low + 1
	case "dampest-month":
		return high + 1
	}
	return 0
}
