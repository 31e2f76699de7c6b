package plan

import (
	"context"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/safety"
	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/window"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Plan is how one board is made, in the order of the work. Lengths are mm, times as
// their names say.
type Plan struct {
	Name       string           `json:"name"`
	Units      string           `json:"units"` // of the texts: "mm" or "in", as the board file or as asked; numbers below stay mm
	Verdict    verdict.Word     `json:"verdict"`
	Headline   string           `json:"headline"` // of the check, in one sentence
	Warning    string           `json:"warning"`  // when the design is to be mended first; "" otherwise
	Width      float64          `json:"width"`
	Height     float64          `json:"height"`
	Thickness  float64          `json:"thickness"`
	Shop       Room             `json:"shop"`
	Home       string           `json:"home"`
	Stock      Stock            `json:"stock"`
	CutList    CutList          `json:"cut_list"`
	GlueUps    GlueUps          `json:"glue_ups"`
	Flattening Flattening       `json:"flattening"`
	Surface    Surface          `json:"surface"`
	Card       Card             `json:"card"`
	Calendar   Calendar         `json:"calendar"`
	Notes      []string         `json:"notes"`
	Cautions   []safety.Caution `json:"cautions"`
	Defer      string           `json:"defer"`
}

// mostHeld bounds what a plan holds of solved boards, bytes.
const mostHeld = 1 << 30

// Make works out the plan of a board file in a shop, checked under conditions.
//
// Errors: a fault.List for the file, for the shop (pointers below "/shop") or for
// the conditions; the context's own when time ran out.
func Make(ctx context.Context, f *layout.File, s Shop, c check.Conditions) (*Plan, error) {
	b, faults := f.Board()
	if len(faults) > 0 {
		return nil, faults
	}
	if err := s.Faults(b).At("/shop").Err(); err != nil {
		return nil, err
	}
	home, err := c.ClimateOf(b)
	if err != nil {
		return nil, err
	}
	shop, err := s.air(b, home)
	if err != nil {
		return nil, fault.At(err, "/shop")
	}
	c.Remember()
	c.NoCauses, c.NoChance, c.NoCracks, c.Series = true, true, true, 0 // of the report its verdict, its headline and its mishaps are told
	drawn, err := c.Draw(ctx, f, b)
	if err != nil {
		return nil, err
	}
	f, b = drawn.Typical.File, drawn.Typical.Board
	session := check.NewSession(mostHeld) // the same board is asked about several times
	report, err := drawn.Report(ctx, c, session.Board)
	if err != nil {
		return nil, err
	}
	air, spread, err := window.Care(ctx, session, drawn, c)
	if err != nil {
		return nil, err
	}
	p := &Plan{Name: b.Name, Units: s.units(b), Verdict: report.Verdict, Headline: report.Headline, Width: b.Width, Height: b.Height, Thickness: b.Thickness,
		Shop: shop, Home: home.Name, Notes: append([]string{}, b.Assumed...), Defer: safety.Defer}
	if report.Rings != nil {
		p.Notes = append(p.Notes, report.Rings.Text)
	}
	if p.Verdict == verdict.Doubtful || p.Verdict == verdict.Fails {
		p.Warning = "Mend the design before wood is bought: this board, built as well as this plan, is " + map[verdict.Word]string{verdict.Doubtful: "doubtful.", verdict.Fails: "expected to fail."}[p.Verdict]
	}
	m := maker{ctx: ctx, b: b, f: f, shop: shop, home: home, s: &s, c: c, session: session, report: report, bears: air, spread: spread}
	for _, step := range []func(*Plan) error{m.flattening, m.cutList, m.stock, m.glueUps, m.surface, m.card, m.calendar} {
		if err := step(p); err != nil {
			return nil, err
		}
	}
	p.Notes = append(p.Notes, m.w.notes...)
	var woods []*wood.Species
	for _, key := range sortedStock(b) {
		woods = append(woods, m.w.species(key))
	}
	p.Cautions = safety.For(woods...)
	return p, nil
}

// Figures lists every figure that went into the plan, section by section.
func (p *Plan) Figures() []Figure {
	return slices.Concat(p.Stock.Figures, p.CutList.Figures, p.GlueUps.Figures, p.Flattening.Figures, p.Surface.Figures, p.Card.Figures, p.Calendar.Figures)
}

// maker is a plan under way.
type maker struct {
	ctx     context.Context
	b       *layout.Board
	f       *layout.File
	shop    Room
	home    moisture.Climate
	s       *Shop
	c       check.Conditions
	session *check.Session
	report  *check.Report
	bears   window.HumidityWindow
	spread  []window.SpreadWindow
	w       *work
	kept    Room // the air that the stock, and the work between glue-ups, is kept in
}

func (m *maker) ledger() *ledger { return &ledger{given: m.s.given()} }

// air is a room for package moisture.
func (r Room) air() moisture.Room {
	return moisture.Room{Humidity: r.Humidity, Temperature: r.Temperature}
}

// sortedStock lists the keys of the stock that the board uses.
func sortedStock(b *layout.Board) []string {
	var keys []string
	for i := range b.Pieces {
		if k := b.Pieces[i].Stock; !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	return keys
}

// bounded is a time [h], nil for one longer than is followed.
func bounded(hours float64) *float64 {
	if math.IsInf(hours, 1) {
		return nil
	}
	return &hours
}
