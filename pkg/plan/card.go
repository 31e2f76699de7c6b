package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Card is what goes to the customer with the board, in the units of the plan's texts.
type Card struct {
	Title     string   `json:"title"`
	Size      string   `json:"size"`
	Woods     []string `json:"woods"`
	Glue      string   `json:"glue"`
	Finish    string   `json:"finish"`
	Low       float64  `json:"humidity_low"`  // % at 20 °C, changing over a season, within which it holds
	High      float64  `json:"humidity_high"` // %
	Air       string   `json:"air"`
	Never     []Never  `json:"never"`    // mishaps this board does not survive, worst first
	Forgives  []string `json:"forgives"` // mishaps it holds through
	Daily     string   `json:"daily"`
	Oil       string   `json:"oil"`
	OilDays   float64  `json:"oil_days"` // 0 for a finish that is not renewed so
	Cups      string   `json:"cups"`
	Hairline  string   `json:"hairline"`
	Allergens string   `json:"allergens"`
	Food      string   `json:"food"`
	Rule      string   `json:"rule"`
	Figures   []Figure `json:"figures"`
}

// Never is one mishap of the board's own table.
type Never struct {
	Event       string       `json:"event"`
	Text        string       `json:"text"`
	Verdict     verdict.Word `json:"verdict"`
	Index       float64      `json:"index"`       // of the way that gives the word, over its limit
	Utilisation float64      `json:"utilisation"` // of cracks
	Bends       bool         `json:"bends"`       // it comes out of flat by more than boards may
}

// warnings say in the words of a kitchen what each mishap asks not to do. A mishap
// that is not here is told by its own name.
var warnings = map[string]string{
	"wash-one-face":       "Wash both sides alike; never leave water standing on one.",
	"wet-cloth":           "Do not leave a wet cloth lying on it.",
	"flat-on-wet-counter": "Do not leave it lying in a puddle.",
	"flat-on-dry-counter": "Do not store it lying flat: stand it on edge.",
	"sink-soak":           "Never leave it in the sink.",
	"dishwasher":          "Never in the dishwasher.",
	"near-heat":           "Keep it away from stove and radiator.",
	"hot-pan":             "No hot pans on it.",
}

// card fills the care card from the windows of the board and its table of mishaps.
func (m *maker) card(p *Plan) error {
	l := m.ledger()
	c := &p.Card
	c.Title, c.Finish = m.b.Name, p.Surface.Finish
	if len(p.GlueUps.GlueUps) > 0 {
		c.Glue = p.GlueUps.Glue
	}
	if c.Title == "" {
		c.Title = "Board"
	}
	c.Size = m.size(m.b.Width) + " × " + m.size(m.b.Height) + " × " + m.size(m.b.Thickness)
	var woods []*wood.Species
	for _, key := range sortedStock(m.b) {
		s := m.w.species(key)
		woods = append(woods, s)
		if !slices.Contains(c.Woods, s.CommonName) {
			c.Woods = append(c.Woods, s.CommonName)
		}
	}
	m.window(c)
	c.Never, c.Forgives = []Never{}, []string{}
	for _, e := range m.mishaps() {
		text, known := warnings[e.Event]
		if !known {
			text = e.Text
		}
		if e.Verdict == verdict.Holds && e.Flatness < verdict.FromFails {
			c.Forgives = append(c.Forgives, e.Event)
			continue
		}
		c.Never = append(c.Never, Never{e.Event, text, e.Verdict, e.Index, e.Utilisation, e.Flatness >= verdict.FromFails})
	}
	if len(c.Never)+len(c.Forgives) == 0 {
		m.w.notes = append(m.w.notes, "No mishap was followed, so the care card lists none: ask with the standard exposures.")
	}
	c.Daily = "Wash it with warm water and a little soap, both sides, dry it at once and stand it on edge with air on both faces. No soaking and no dishwasher: what a board bears once it does not bear often."
	m.oiling(l, c, &p.Surface)
	var err error
	if c.Cups, err = m.cups(); err != nil {
		return err
	}
	c.Hairline = "A hairline along a joint or from an edge means the wood has dried out or has been soaked. Stop using it wet, oil it, and let it stand for a month: if it closes, it was the season; if it stays open or grows, ask the maker: food and water get into it."
	for _, caution := range safety.For(woods...) {
		switch {
		case caution.Topic == "allergens" && caution.Source != "" && strings.Contains(caution.Text, ":"):
			woods, _, _ := strings.Cut(caution.Text, ". ") // what follows is for whoever saws it
			c.Allergens = join(c.Allergens, woods+". Whoever reacts to one of these woods should not use this board.")
		case caution.Topic == "food contact" && c.Food == "":
			c.Food = "For food. Keep raw meat and vegetables on sides or boards of their own."
		}
	}
	if c.Allergens == "" {
		c.Allergens = "No wood in it is on the lists of woods that sensitise people known to this program; anybody may still react."
	}
	if p.Surface.Kind != "none" && p.Surface.Cure > 0 {
		c.Food += " Not before " + quantity.Count(int(quantity.Whole(p.Surface.Cure)), "day") + " after the last coat."
	}
	if strings.HasPrefix(p.Surface.Kind, "drying") { // oils that do not dry are mineral oils and waxes
		c.Food += " Ask the maker which oil it was: nut oils can harm people with allergies."
	}
	c.Rule = "air: settled, changing over a season, utilisation below the limit of tight, at 20 °C; never: mishaps of the board's own check that it does not hold through or that bend it beyond what lies flat; days to come back: nine tenths of the response of the wood that makes most of it, from 35 to 55 % humidity under its finish"
	c.Figures = l.told()
	return nil
}

func join(a, b string) string {
	if a == "" {
		return b
	}
	return a + " " + b
}

// size tells a length in the units of the plan's texts.
func (m *maker) size(mm float64) string { return size(m.s.units(m.b), mm) }

// size tells a length in mm or inches, mm to a tenth.
func size(units string, mm float64) string {
	if units == "in" {
		return quantity.FormatInches(mm)
	}
	return fmt.Sprintf("%g mm", math.Round(10*mm)/10)
}

// window is the air within which the board holds.
func (m *maker) window(c *Card) {
	h := m.bears
	c.Low, c.High = h.Low, h.High
	switch {
	case h.None:
		c.Low, c.High = 0, 0
		c.Air = "In no steady air is this board safely within its limits: keep the air as even as you can."
	case h.OpenLow && h.OpenHigh:
		c.Air = "The air of any room will do, as long as it changes slowly."
	case h.OpenLow:
		c.Air = fmt.Sprintf("Best below %.0f %% humidity.", h.High)
	case h.OpenHigh:
		c.Air = fmt.Sprintf("Best above %.0f %% humidity.", h.Low)
	default:
		c.Air = fmt.Sprintf("It is at home between %.0f and %.0f %% humidity.", math.Ceil(h.Low), math.Floor(h.High))
	}
}

// mishaps lists what the check tells beside the verdict, worst first.
func (m *maker) mishaps() []check.Exposure {
	var out []check.Exposure
	for _, e := range m.report.Exposures {
		kind, err := moisture.FindExposure(e.Event)
		if err == nil && kind.Use == moisture.Mishap && !kind.FromGlueUp { // those from glue-up are the maker's, not the customer's
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b check.Exposure) int { // by the word first: warping and glue that gives way have no figure of cracks
		return cmp.Or(b.Verdict.Severity()-a.Verdict.Severity(), cmp.Compare(verdict.Rank(b.Utilisation), verdict.Rank(a.Utilisation)))
	})
	return out
}

// oiling tells when to oil again.
func (m *maker) oiling(l *ledger, c *Card, s *Surface) {
	switch s.Kind {
	case "oil":
		c.OilDays = l.use("oil-again")
		c.Oil = fmt.Sprintf("Oil it about every %.0f days, and whenever it looks dull or water no longer beads: both faces and the edges, wipe off after a few hours.", c.OilDays)
	case "drying-oil":
		c.OilDays = 6 * l.use("oil-again")
		c.Oil = fmt.Sprintf("Renew the oil about every %.0f days, thinly, and give it %.0f days to cure before food.", c.OilDays, l.use("drying-cure-days"))
	case "film":
		c.Oil = "Its film is not oiled. When it is cut through or dull, bring it back to be sanded and coated."
	default:
		c.Oil = "It has no finish: oil it before use, or expect it to move with every washing."
	}
}

// cups tells what to do with a board that has cupped, and how long it takes: nine
// tenths of the response of the wood that makes most of it, under its finish.
func (m *maker) cups() (string, error) {
	type kind struct {
		stock string
		up    bool
	}
	area, most := map[kind]float64{}, kind{}
	for i := range m.b.Pieces {
		p := &m.b.Pieces[i]
		k := kind{p.Stock, p.Grain.Up}
		if area[k] += p.Area; area[k] > area[most] {
			most = k
		}
	}
	const dry, damp, warm = 35, 55, 20 // % and °C: what a kitchen does
	c := moisture.Column{Species: m.w.species(most.stock), Along: most.up, Thickness: m.b.Thickness, Finish: m.b.Finish, Beneath: m.b.FinishBottom, Renewed: m.b.Renewed}
	_, ninety, err := moisture.ResponseTimes(m.ctx, c, dry, damp, warm)
	if err != nil {
		return "", err
	}
	text := "One side is damper than the other. Stand it on edge, free on both sides; do not press it flat."
	switch {
	case math.IsInf(ninety, 1):
		return text + " It comes back slowly.", nil
	case ninety < 48:
		return text + fmt.Sprintf(" It takes about %.0f hours.", math.Ceil(ninety)), nil
	}
	return text + fmt.Sprintf(" It takes up to %.0f days to come back.", quantity.Whole(ninety/24)), nil
}
