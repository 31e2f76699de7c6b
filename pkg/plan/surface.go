package plan

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// Surface is what is done to the faces once they are flat.
type Surface struct {
	Grits     []int    `json:"grits"`
	Soak      float64  `json:"soak_minutes"` // until the face has drunk the water that raises its grain
	Dry       float64  `json:"dry_hours"`    // until it is dry again
	Times     int      `json:"times"`
	Finish    string   `json:"finish"`
	Kind      string   `json:"kind"` // "none", "oil", "drying-oil", "film"
	Coats     int      `json:"coats"`
	Grams     float64  `json:"grams"`          // of finish for the first coat, both faces and edges
	Drink     *float64 `json:"uptake_minutes"` // until the slowest wood has drunk the first coat; nil for a film
	Between   float64  `json:"between_hours"`
	Cure      float64  `json:"cure_days"`  // until food may lie on it
	WaterRise float64  `json:"water_rise"` // % MC that all glue brought into the board
	Rest      *float64 `json:"rest_days"`  // until the board, bare in the air that the work is kept in, has lost it to half a per cent
	Text      []string `json:"text"`
	Rule      string   `json:"rule"`
	Figures   []Figure `json:"figures"`
}

// surface works out sanding, raising, finishing and rest.
func (m *maker) surface(p *Plan) error {
	l := m.ledger()
	f, err := moisture.FindFinish(m.b.Finish)
	if err != nil {
		return err
	}
	s := &p.Surface
	*s = Surface{Grits: []int{}, Times: int(l.use("raise-times")), Finish: f.Name, Kind: f.Liquid, Coats: f.Coats, Text: []string{}}
	for i := 1; ; i++ {
		g, more := figures()[fmt.Sprint("grit-", i)]
		if !more {
			break
		}
		s.Grits = append(s.Grits, int(g.Value))
		l.note(g)
	}
	if err := m.raise(l, s); err != nil {
		return err
	}
	if err := m.coats(l, s); err != nil {
		return err
	}
	if err := m.rest(l, s); err != nil {
		return err
	}
	s.Text = append(s.Text, fmt.Sprintf("After %d wet both faces alike, wait %s, wipe, stand the board on edge; sand with the same grit once it is dry, %s later. So %s.", s.Grits[len(s.Grits)-2], quantity.Count(int(math.Max(1, math.Ceil(s.Soak))), "minute"), quantity.Count(int(math.Ceil(s.Dry)), "hour"), quantity.Count(s.Times, "time")))
	s.Rule = "soak: t = (W/A)², slowest wood; drying: both faces wetted so, then in the air that the work is kept in, by diffusion until the face is within 1 % of before; oil: the same with A of water times ρ√(γ/η) (Washburn); water rise = water of the glue between rows and round borders over the dry mass of the board; rest: until no layer is further than 0.5 % from balance, a strip that lies being open at its sides too"
	s.Figures = l.told()
	return nil
}

// late tells that the glue of a joint is still wet when the board is put together: that
// of sticks and panels has left while they rested, or is sawn off.
func (w *work) late(j int) bool {
	joint := &w.b.Joints[j]
	if w.b.Build != nil {
		kind := w.b.GlueUps[joint.GlueUp].Kind
		return kind == layout.StageField || kind == layout.StageBorder
	}
	p, q := &w.b.Pieces[joint.A], &w.b.Pieces[joint.B]
	switch {
	case p.Border >= 0 || q.Border >= 0 || w.pieced || p.Row != q.Row:
		return true
	case p.Col == q.Col: // the parts of a tile
		return false
	}
	return len(w.panels) == 0
}

// columns are the kinds of wood that meet the faces, one for each stock and grain.
func (m *maker) columns() []moisture.Column {
	var out []moisture.Column
	type kind struct {
		species string
		up      bool
		thick   float64
	}
	seen := map[kind]bool{}
	for i := range m.b.Pieces {
		p := &m.b.Pieces[i]
		thick := m.b.Thickness
		if !p.Grain.Up { // a narrow strip that lies exchanges sideways as well
			_, _, wide := rectangle(p.Outline, &p.Grain.Angle)
			thick = math.Max(moisture.MinThickness, 1/math.Sqrt(1/(thick*thick)+1/(wide*wide)))
		}
		k := kind{p.Species, p.Grain.Up, math.Round(10 * thick)}
		if seen[k] {
			continue
		}
		seen[k] = true
		out = append(out, moisture.Column{Species: m.w.species(p.Stock), Along: p.Grain.Up, Thickness: thick, M0: m.kept.Balance})
	}
	return out
}

// raise works out how long a wetted face takes to drink and to dry.
func (m *maker) raise(l *ledger, s *Surface) error {
	water, within := l.use("spray"), l.use("raised-dry")
	const longest = 72.0 // h
	for _, c := range m.columns() {
		seconds, err := c.DrinkTime(water, 1)
		if err != nil {
			return err
		}
		s.Soak = math.Max(s.Soak, seconds/60)
		wet := moisture.Face{Kind: moisture.Water, Room: m.kept.air(), Supply: water}
		dry := moisture.Face{Kind: moisture.Air, Room: m.kept.air()}
		minutes := math.Min(math.Max(seconds/60, 0.5), 10) // then it is wiped off
		phases := []moisture.Phase{{Hours: minutes / 60, Top: wet, Bottom: wet}, {Hours: longest, Top: dry, Bottom: dry}}
		h, err := moisture.Simulate(m.ctx, c, phases, moisture.Options{})
		if err != nil {
			return err
		}
		s.Dry = math.Max(s.Dry, fallen(h, c.M0+within)-minutes/60)
	}
	s.Soak = math.Min(s.Soak, 10)
	return nil
}

// fallen is the hour at which the top face has come down to a moisture [% MC] for good.
func fallen(h *moisture.History, to float64) float64 {
	for i := len(h.Times) - 1; i > 0; i-- {
		if h.Top[i-1] > to {
			if h.Top[i] > to {
				return h.Times[i]
			}
			return h.Times[i-1] + (h.Top[i-1]-to)/(h.Top[i-1]-h.Top[i])*(h.Times[i]-h.Times[i-1])
		}
	}
	return 0
}

// coats works out uptake, coats and curing of the finish.
func (m *maker) coats(l *ledger, s *Surface) error {
	coat := l.use("oil-coat")
	viscosity := 0.0
	switch s.Kind {
	case "none":
		s.Coats = 0
		s.Text = append(s.Text, "The file names no finish: bare wood takes up water fast and moves with every washing.")
		return nil
	case "film":
		s.Between, s.Cure = l.use("drying-coat-h"), l.use("film-cure-days")
		s.Text = append(s.Text, "A film is cut by knives and then lets water under it: for a board to serve on, not to cut on.")
		return nil
	case "drying-oil":
		s.Between, s.Cure, viscosity = l.use("drying-coat-h"), l.use("drying-cure-days"), l.use("drying-oil-viscosity")
		if s.Coats == 0 {
			s.Coats = int(l.use("oil-coats"))
		}
		s.Text = append(s.Text, "Wipe off what has not drawn in before it sets. Rags with drying oil catch fire by themselves: spread them out to dry, or drown them.")
	default:
		s.Between, s.Cure, viscosity = l.use("oil-rest-h"), l.use("oil-cure-days"), l.use("oil-viscosity")
		if s.Coats == 0 {
			s.Coats = int(l.use("oil-coats"))
		}
		s.Text = append(s.Text, "Flood both faces and the edges, let it draw in, wipe off; again until a face stays wet.")
	}
	slow := moisture.Penetration(l.use("oil-density"), l.use("oil-tension")/l.use("water-tension"), viscosity/l.use("water-viscosity"))
	longest := 0.0
	for _, c := range m.columns() {
		want := coat
		if !c.Along {
			want /= 3
		}
		seconds, err := c.DrinkTime(want, slow)
		if err != nil {
			return err
		}
		longest = math.Max(longest, seconds/60)
	}
	s.Drink = &longest
	for i := range m.b.Pieces {
		share := 1.0
		if !m.b.Pieces[i].Grain.Up {
			share = 1.0 / 3
		}
		s.Grams += 2 * share * coat * 1000 * m.b.Pieces[i].Area / 1e6
	}
	s.Grams += coat / 3 * 1000 * 2 * (m.b.Width + m.b.Height) * m.b.Thickness / 1e6
	return nil
}

// rest works out how long the glued board holds the water of the glue.
func (m *maker) rest(l *ledger, s *Surface) error {
	use, _ := adhesive.UseOf(m.b.Glue)
	var err error
	if s.WaterRise, err = influence.GlueWater(m.b, m.w.late, func(int) bool { return true }); err != nil {
		return err
	}
	longest := 0.0
	within := l.use("close-enough")
	for _, c := range m.columns() {
		c.M0 += s.WaterRise
		if c.M0 > moisture.MaxStart {
			c.M0 = moisture.MaxStart
		}
		h, err := moisture.Settle(m.ctx, c, m.kept.air(), within)
		if err != nil {
			return err
		}
		longest = math.Max(longest, h)
	}
	if s.Rest = bounded(longest / 24); s.Rest != nil && *s.Rest > 0 {
		s.Text = append(s.Text, fmt.Sprintf("The glue of rows and borders brings %.1f %% of moisture into the board; standing free in the air that the work is kept in it has come to rest after %s.", s.WaterRise, quantity.Count(int(quantity.Whole(*s.Rest)), "day")))
	}
	l.note(Figure{"glue-water", use.Water, "1", "share of the glue that is water for the wood", "Common practice of the trade, no source.", use.Status})
	return nil
}
