package plan

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Stock is what to do with the wood before it is cut.
type Stock struct {
	Low      float64  `json:"low"`    // % MC, driest at home
	High     float64  `json:"high"`   // % MC, dampest at home
	Target   float64  `json:"target"` // % MC to glue at: the middle, within what the glue takes
	Air      float64  `json:"air"`    // % humidity at the shop's temperature that brings wood there
	InReach  bool     `json:"in_reach"`
	Advice   string   `json:"advice"`
	Points   int      `json:"points"` // places to measure for each wood, spread over all its planks
	Where    string   `json:"where"`
	Warmth   float64  `json:"temperature_correction"` // % MC that the meter shows too much in this shop
	Woods    []Arrive `json:"woods"`
	Weigh    string   `json:"weigh"`  // how to tell that sticks have settled; "" where none waits
	Spread   float64  `json:"spread"` // % MC: refuse planks of a lot that differ by more on arrival
	Refuse   string   `json:"refuse"`
	Glued    float64  `json:"glued_spread"` // % MC between pieces at gluing that this design bears
	AtGluing string   `json:"at_gluing"`
	Rule     string   `json:"rule"`
	Figures  []Figure `json:"figures"`
}

// Arrive is one wood on arrival.
type Arrive struct {
	Stock     string   `json:"stock"`
	Species   string   `json:"species"`
	Arrival   float64  `json:"arrival"`   // % MC as bought
	Thickness float64  `json:"thickness"` // mm, of its thickest rough stick
	Plank     *float64 `json:"plank_days"`
	Ripped    *float64 `json:"ripped_days"` // sticks open on four sides
	Weekly    float64  `json:"last_week"`   // g of each kg that its sticks still change by in the last week of those days; 0 where they do not wait
	Reading   *float64 `json:"reading"`     // % MC that a meter with the Douglas-fir scale shows in this shop at the target; nil without a published curve
	Note      string   `json:"note"`
	edge      *float64 // as Ripped, of the sticks that go into borders alone
}

// sure is how many standard deviations hold 95 % of means.
const sure = 1.96

// stock works out moistures and waits before the first cut.
func (m *maker) stock(p *Plan) error {
	l := m.ledger()
	s := &p.Stock
	_, _, s.Low, s.High = m.home.Extremes()
	glue, err := adhesive.Find(m.b.Glue)
	if err != nil {
		return err
	}
	s.Target = math.Min(glue.MCHigh, math.Max(glue.MCLow, (s.Low+s.High)/2))
	l.note(Figure{"glue-from", glue.MCLow, "% MC", "driest wood that " + glue.Name + " takes", "Common practice of the trade, no source.", glue.Status})
	l.note(Figure{"glue-to", glue.MCHigh, "% MC", "dampest wood that " + glue.Name + " takes", "Common practice of the trade, no source.", glue.Status})
	if s.Air, err = moisture.Humidity(m.shop.Temperature, s.Target); err != nil {
		return err
	}
	enough := l.use("close-enough")
	s.InReach = math.Abs(m.shop.Balance-s.Target) <= enough
	m.kept = m.shop
	s.Advice = fmt.Sprintf("The air of the shop brings wood to %.1f %%, the target is %.1f %%: leave it on sticks.", m.shop.Balance, s.Target)
	if !s.InReach {
		s.Advice = fmt.Sprintf("The air of the shop would bring wood to %.1f %%, and the target is %.1f %%: keep the stock, and the work between glue-ups, in air of %.0f %% humidity at %.0f °C. The days below are for that air.", m.shop.Balance, s.Target, s.Air, m.shop.Temperature)
		m.kept.Humidity, m.kept.Balance = s.Air, s.Target
	}
	scatter := math.Hypot(l.use("meter-sd"), l.use("between-boards-sd"))
	s.Points = int(math.Ceil(math.Pow(sure*scatter/enough, 2)))
	s.Where = fmt.Sprintf("pins along the grain, driven to %.0f %% of the thickness, %s or more from an end or in the middle of a shorter piece, spread over all planks of the wood", 100*l.use("meter-depth"), m.size(l.use("from-the-end")))
	s.Warmth = l.use("meter-temperature") * (m.shop.Temperature - l.use("meter-calibration"))
	for _, key := range sortedStock(m.b) {
		a, err := m.arrive(l, key, m.kept.air(), s)
		if err != nil {
			return err
		}
		s.Woods = append(s.Woods, a)
	}
	s.Weigh = weighing(s.Woods)
	shop, member := adhesive.Spreads()
	s.Spread = shop
	s.Refuse = fmt.Sprintf("Send back, or sort out, planks of a lot that read more than %g %% apart (what careful shops keep; the handbook allows %g within one member). Glue nothing above %g %%: %s does not take it, and it will move.", shop, member, glue.MCHigh, glue.Name)
	var damp []string
	for _, a := range s.Woods {
		if a.Arrival > glue.MCHigh {
			damp = append(damp, fmt.Sprintf("%s at %g %%", a.Stock, a.Arrival))
		}
	}
	if len(damp) > 0 {
		s.Refuse += fmt.Sprintf(" What arrives damper (%s) is counted here as kept, and settles first for the days above.", strings.Join(damp, ", "))
	}
	m.atGluing(s, shop)
	if len(m.w.gluings) == 0 {
		s.AtGluing = "Nothing is glued: the target is what it is milled at."
	}
	s.Rule = "target = middle of the home's driest and dampest month, within what the glue takes; points = (1.96·s/0.5)² with s from meter and boards together; days by diffusion until no layer is further than 0.5 % from balance, both faces open (planks), or as the product of what is left in the two sheets that make a stick (ripped, four sides open); reading = moisture at which Douglas-fir resists as much, and the correction for temperature"
	s.Figures = l.told()
	return nil
}

// atGluing tells how unlike sticks may be when they are glued: as far as nineteen boards in
// twenty of this design stay below doubtful, both while the differences even out within
// days and later in their home, and no further than careful shops let them be.
func (m *maker) atGluing(s *Stock, shop float64) {
	s.Glued = shop
	at, days, turns := "", math.Inf(1), 0.0
	for _, x := range m.spread {
		if x.Below != verdict.FromDoubtful {
			continue
		}
		if !x.Season {
			days, turns = x.Spread, x.Alternating
		}
		if x.Spread < s.Glued {
			s.Glued, at = x.Spread, x.Worst
		}
	}
	const alike = "Let them lie in one air until they lose no more weight: then they are nearer to each other than a meter sees."
	switch {
	case s.Glued <= 0:
		s.AtGluing = fmt.Sprintf("At gluing this design has nothing to spare for sticks of unlike moisture: it is doubtful in its home with all alike. For themselves, it would bear sticks within %.1f %% of each other. %s", math.Min(days, shop), alike)
	case at == "":
		s.AtGluing = fmt.Sprintf("At gluing sticks may be anywhere within %g %% of each other, as in careful shops: nineteen boards in twenty of this design bear that.", shop)
	default:
		s.AtGluing = fmt.Sprintf("At gluing sticks may be anywhere within %.1f %% of each other: of boards further apart more than one in twenty becomes doubtful, first at %s; careful shops keep within %g %%. %s", s.Glued, at, shop, alike)
	}
	if s.Glued > 0 && turns < s.Glued-0.05 { // by the one decimal that is told
		s.AtGluing += fmt.Sprintf(" If damp and dry ones take turns, as when one wood is damp and the other dry, keep them within %.1f %%.", turns)
	}
}

// arrive works out one wood.
func (m *maker) arrive(l *ledger, key string, air moisture.Room, s *Stock) (Arrive, error) {
	of := m.w.species(key)
	a := Arrive{Stock: key, Species: of.ID}
	var told bool
	if a.Arrival, told = m.s.Arrival[key]; !told {
		if a.Arrival, told = m.s.Arrival[""]; !told {
			a.Arrival = l.use("arrival")
		}
	}
	if told {
		l.note(Figure{"arrival-" + key, a.Arrival, "% MC", "stock " + key + " as bought", "Told by the shop.", "given"})
	}
	var wide float64
	a.Thickness, wide = m.thickest(key, func(*Stick) bool { return true })
	within := l.use("close-enough")
	hours, err := moisture.Settle(m.ctx, column(of, a.Thickness, a.Arrival), air, within)
	if err != nil {
		return a, err
	}
	a.Plank = bounded(hours / 24)
	if a.Ripped, a.Weekly, err = m.settling(of, a.Thickness, wide, a.Arrival, air, within); err != nil {
		return a, err
	}
	a.edge = a.Ripped
	if thick, wide := m.thickest(key, func(s *Stick) bool { return s.edge }); thick > 0 {
		if a.edge, _, err = m.settling(of, thick, wide, a.Arrival, air, within); err != nil {
			return a, err
		}
	}
	if r, ok := moisture.MeterReading(of, s.Target); ok {
		r += s.Warmth
		a.Reading = &r
		a.Note = "on the Douglas-fir scale (FPL-GTR-6, recalled); on a meter set to the wood, only the temperature counts"
	} else {
		a.Note = "no published curve here: set the meter to the wood by its maker's table"
	}
	return a, nil
}

// thickest is the rough section [mm] of the thickest of some sticks of a stock, the
// widest where several are as thick; 0 for none.
func (m *maker) thickest(key string, of func(*Stick) bool) (thick, wide float64) {
	for i := range m.w.sticks {
		t := &m.w.sticks[i]
		if t.Stock != key || !of(t) {
			continue
		}
		// the side of a rough stick that is sawn from the plank's thickness is the smaller
		thin, broad := math.Min(t.RoughThickness, t.RoughWidth), math.Max(t.RoughThickness, t.RoughWidth)
		if thin > thick || thin == thick && broad > wide {
			thick, wide = thin, broad
		}
	}
	return thick, wide
}

// column is wood of a thickness [mm] and a moisture [% MC], its fibres along its faces.
func column(of *wood.Species, thickness, from float64) moisture.Column {
	return moisture.Column{Species: of, Thickness: math.Max(moisture.MinThickness, thickness), M0: from}
}

// settling is how long a stick of a section [mm] and a moisture [% MC], open on four sides,
// takes to come within so much of balance with the air, days, nil for longer than is
// followed; and by how many grams of each kg it still changes in the last week of it.
func (m *maker) settling(of *wood.Species, thick, wide, from float64, air moisture.Room, within float64) (*float64, float64, error) {
	h, week, err := moisture.SettleStick(m.ctx, column(of, thick, from), math.Max(moisture.MinThickness, wide), air, within)
	if err != nil || math.IsInf(h, 1) {
		return nil, 0, err
	}
	d := h / 24
	return &d, 1000 * week / (100 + from), nil
}

// bundle is what a kitchen scale weighs, kg, to a gram.
const bundle = 5.0

// weighing tells a maker without a meter that good when sticks have settled: by weight. The
// last to change so much in a week tells for all.
func weighing(woods []Arrive) string {
	least, longest := math.Inf(1), 0.0
	for _, a := range woods {
		if a.Weekly > 0 && a.Ripped != nil {
			least, longest = math.Min(least, a.Weekly), math.Max(longest, *a.Ripped)
		}
	}
	if longest == 0 {
		return ""
	}
	return fmt.Sprintf("The days are for stock that arrives so far off, ripped and on stickers, all four sides in that air, until its middle too is within half a per cent; what is so near already need not wait, a plank takes longer, a closed pile longer still. The last of it shows on no meter: weigh %g kg of sticks once a week. They have settled when a week changes that by less than %.1f g.", bundle, bundle*least)
}
