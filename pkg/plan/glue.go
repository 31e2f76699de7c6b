package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/source"
	"github.com/tanrad/tanrad/pkg/wood"
)

// GlueUps are the glue-ups in the order of the work.
type GlueUps struct {
	Glue     string   `json:"glue"`
	MCLow    float64  `json:"moisture_low"` // % MC of the wood that the glue takes
	MCHigh   float64  `json:"moisture_high"`
	Open     float64  `json:"open_minutes"` // in this shop, the short end of what is usual
	Clamped  float64  `json:"clamp_minutes"`
	Cure     float64  `json:"cure_hours"` // until the joint may be loaded or machined
	Spread   float64  `json:"spread"`     // g/m² on one face
	Total    float64  `json:"total_grams"`
	Area     float64  `json:"total_area"` // m²
	GlueUps  []GlueUp `json:"list"`
	Cautions []string `json:"cautions"`
	Rule     string   `json:"rule"`
	Figures  []Figure `json:"figures"`
}

// GlueUp is what is closed under one set of clamps.
type GlueUp struct {
	Name     string  `json:"name"`
	Kind     string  `json:"kind"`  // "stick", "panel", "row", "field", "border"
	Times    int     `json:"times"` // how often it is done
	Joints   int     `json:"joints"`
	Area     float64 `json:"area"`     // m², of all joints of one
	Grams    float64 `json:"grams"`    // of glue for one
	Minutes  float64 `json:"minutes"`  // to spread and close all joints at once
	Closable int     `json:"closable"` // joints that can be closed within the open time
	Parts    int     `json:"parts"`    // 1 in one go; else glue so many parts first, then join those
	Pressure float64 `json:"pressure"` // MPa, of the softer wood
	Softest  string  `json:"softest"`
	Force    float64 `json:"force"`      // kN on the largest joint
	Clamps   int     `json:"clamps"`     // behind stiff cauls: as many as make the force
	Bare     int     `json:"bare"`       // without cauls: no further apart than Apart
	Apart    float64 `json:"apart"`      // mm
	Reach    float64 `json:"reach"`      // mm between the jaws
	Wait     float64 `json:"wait_hours"` // after unclamping, before its faces are planed or sanded
	WaitFor  string  `json:"wait_for"`
	Text     string  `json:"text"`
}

// glueUps counts every glue-up.
func (m *maker) glueUps(p *Plan) error {
	l := m.ledger()
	class, err := adhesive.Find(m.b.Glue)
	if err != nil {
		return err
	}
	use, known := adhesive.UseOf(class.Key)
	if !known {
		return fmt.Errorf("plan: no row of data/adhesive_use.csv for %q", class.Key)
	}
	common := source.Text(use.Source)
	slower := adhesive.Slower(m.shop.Temperature, l.use("ten-degrees"))
	g := &p.GlueUps
	*g = GlueUps{Glue: class.Name, MCLow: class.MCLow, MCHigh: class.MCHigh, Open: use.OpenLo * slower, Clamped: use.ClampHi * slower, Cure: use.Cure * math.Max(1, slower), Spread: use.Spread, Cautions: []string{}}
	for _, f := range []Figure{
		{"open-time", use.OpenLo, "min", "short end of the open time at 20 °C", common, use.Status}, {"clamp-time", use.ClampHi, "min", "long end of the clamping time at 20 °C", common, use.Status},
		{"cure", use.Cure, "h", "until a joint may be loaded", common, use.Status}, {"spread", use.Spread, "g/m²", "glue on one face", common, use.Status},
		{"glue-water", use.Water, "1", "share of the glue that is water for the wood", common, use.Status}, {"glue-pressure", use.PressureShare, "1", "share of the handbook's pressure that this class wants", common, use.Status},
		{"coldest", use.Least, "°C", "coldest shop for this class", common, use.Status}} {
		l.note(f)
	}
	if m.shop.Temperature < use.Least {
		g.Cautions = append(g.Cautions, fmt.Sprintf("Too cold: %s wants %.0f °C or more, wood and glue included; the shop has %.0f °C.", class.Name, use.Least, m.shop.Temperature))
	}
	if d := p.Stock.Target; m.shop.Balance < class.MCLow || m.shop.Balance > class.MCHigh {
		g.Cautions = append(g.Cautions, fmt.Sprintf("Wood settled in this shop has %.1f %% MC, and %s wants %g to %g %%: condition it to %.1f %% first.", m.shop.Balance, class.Name, class.MCLow, class.MCHigh, d))
	}
	if use.Note != "" {
		g.Cautions = append(g.Cautions, strings.ToUpper(use.Note[:1])+use.Note[1:]+".")
	}
	for _, j := range m.w.gluings {
		one, err := m.glueUp(l, j, &use, g.Open)
		if err != nil {
			return err
		}
		g.GlueUps = append(g.GlueUps, one)
		g.Area += float64(one.Times) * one.Area
		g.Total += float64(one.Times) * one.Grams
	}
	if g.GlueUps == nil {
		g.GlueUps = []GlueUp{}
	}
	g.Rule = "glue = area × spread; minutes = area × pace + pieces to place + clamps to turn; open, clamping and curing times double for each 10 °C colder; pressure from 0.7 MPa at specific gravity 0.35 to 1.7 MPa at 0.75 for the softer wood; clamps = force / force of one behind stiff cauls; without, no further apart than twice the width of the outer piece; wait: until the lines, swollen by the water of the glue, stand proud by no more than shows (0.02 mm), or than glue fills where the faces are glued on (0.1 mm), by diffusion sideways and out of the faces and with what the wood beside them holds back"
	g.Figures = l.told()
	return nil
}

// glueUp counts one glue-up.
func (m *maker) glueUp(l *ledger, j joinery, use *adhesive.Use, open float64) (GlueUp, error) {
	u := GlueUp{Name: j.name, Kind: j.kind, Times: j.times, Joints: len(j.joints), Parts: 1, Reach: j.stack}
	largest, lightest := 0.0, math.Inf(1)
	for _, s := range j.joints {
		u.Area += s.area / 1e6
		largest = math.Max(largest, s.area)
		for _, key := range s.stocks {
			if g := m.w.gravity(key); g < lightest {
				lightest, u.Softest = g, m.w.species(key).CommonName
			}
		}
	}
	u.Grams = u.Area * use.Spread
	u.Pressure = use.PressureShare * pressure(lightest, l)
	u.Force = u.Pressure * largest / 1000
	u.Apart = 2 * j.outer * math.Tan(l.use("cone")*math.Pi/180)
	u.Clamps, u.Bare = clamps(u.Force, l.use("clamp"), 0, 1), clamps(u.Force, l.use("clamp"), j.run, u.Apart)
	each := u.Area/float64(u.Joints)*l.use("spread-pace") + l.use("place-pace")
	turning := float64(u.Clamps) * l.use("clamp-pace")
	u.Minutes = each*float64(u.Joints) + turning
	u.Closable = max(0, int((open-turning)/each+1e-9))
	switch {
	case u.Closable >= u.Joints:
		u.Text = fmt.Sprintf("in one go: %.0f of %.0f minutes of open time", math.Ceil(u.Minutes), math.Floor(open))
	case u.Closable == 0:
		u.Text = fmt.Sprintf("not even one joint closes within the %.0f minutes of open time: a slower glue, a warmer start or more hands", math.Floor(open))
	default:
		u.Parts = parts(u.Joints, u.Closable)
		closing := fmt.Sprintf("%d of %d joints close", u.Closable, u.Joints)
		if u.Closable == 1 {
			closing += "s"
		}
		u.Text = fmt.Sprintf("in parts: only %s within the %.0f minutes of open time; glue %d parts first, then join those", closing, math.Floor(open), u.Parts)
		if !j.along {
			u.Text = fmt.Sprintf("%s within the %.0f minutes of open time: side by side with a helper, or a slower glue", closing, math.Floor(open))
			u.Parts = 1
		}
	}
	return u, m.wait(l, j, use, &u)
}

// wait works out how long a glue-up rests before its faces are worked.
func (m *maker) wait(l *ledger, j joinery, use *adhesive.Use, u *GlueUp) error {
	switch {
	case j.ends:
		u.WaitFor = "curing alone: the water of the glue swells end grain sideways, hardly its height, so no line sinks"
		return nil
	case use.Water == 0:
		u.WaitFor = "curing alone: the glue brings no water"
		return nil
	case len(j.joints) == 0:
		return nil
	}
	limit, why := l.use("sunk-line"), "so that they do not sink after planing"
	if m.facesGlued(j) {
		limit, why = l.use("glued-gap"), "so that its faces, planed, still meet the next ones"
	}
	l.use("line-days") // printed beside what is worked out
	spacing := j.stack / float64(len(j.joints)+1)
	if j.border >= 0 { // the field stands on end and does not swell in height: the water evens out within the border
		spacing = 2 * m.b.Borders[j.border].Width
	}
	keys := slices.Clone(j.stocks)
	for _, s := range j.joints {
		keys = append(keys, s.stocks[:]...)
	}
	seen := map[*wood.Species]bool{}
	for _, key := range keys {
		of := m.w.species(key)
		if seen[of] {
			continue
		}
		seen[of] = true
		line := moisture.Line{Species: of, Thickness: j.thick, Spacing: math.Max(1, spacing), Water: use.Spread / 1000 * use.Water, Air: m.restAir(j)}
		h, err := line.Wait(m.ctx, limit)
		if err != nil {
			return err
		}
		if h > u.Wait {
			u.Wait = h
			u.WaitFor = fmt.Sprintf("the water of the glue to leave the lines of %s, %s", strings.ToLower(of.CommonName), why)
		}
	}
	return nil
}

// facesGlued tells whether what a glue-up makes is glued to others by its planed faces:
// sticks into panels, panels, sliced, into rows. Only what lies open shows a sunk line.
func (m *maker) facesGlued(j joinery) bool {
	after := slices.IndexFunc(m.w.gluings, func(o joinery) bool { return o.name == j.name }) + 1
	return (j.kind == "stick" || j.kind == "panel") && slices.ContainsFunc(m.w.gluings[after:], func(o joinery) bool { return o.kind == "panel" || o.kind == "field" || o.kind == "border" })
}

// restAir is the air that what a glue-up made rests in: the one that the file's own rest
// names, else the one that the plan keeps the work in.
func (m *maker) restAir(j joinery) moisture.Room {
	var rest *layout.Rest
	build := m.f.Field.Build
	switch next := j.border + 1; { // a border rests before the next one goes on, the field before the first
	case build != nil && j.kind == "stick":
		rest = build.StickRest
	case build != nil && j.kind == "panel":
		rest = build.Rest
	case (j.kind == "field" || j.kind == "border") && next < len(m.f.Borders):
		rest = m.f.Borders[next].Rest
	}
	if rest == nil || rest.Air == nil {
		return m.kept.air()
	}
	return *rest.Air
}

// pressure is the gluing pressure [MPa] for wood of a specific gravity (no unit): in
// a straight line between what the Wood Handbook, chapter 10, gives for light and for
// the densest woods.
func pressure(gravity float64, l *ledger) float64 {
	light, dense := l.use("pressure-light"), l.use("pressure-dense")
	from, to := l.use("gravity-light"), l.use("gravity-dense")
	return light + (dense-light)*math.Max(0, math.Min(1, (gravity-from)/(to-from)))
}

// clamps is how many clamps of some force [kN] make a force [kN] along a run [mm]
// without standing further apart than some mm.
func clamps(force, one, run, apart float64) int {
	return max(2, int(math.Ceil(force/one-1e-9)), int(math.Ceil(run/apart-1e-9)))
}

// parts is the least number of parts in which joints in a row are glued so that no
// glue-up has more than the closable ones; where even the last has too many, the parts
// are joined in parts again.
func parts(joints, closable int) int {
	for n := 2; n <= joints; n++ {
		if inner := joints - (n - 1); (inner+n-1)/n <= closable {
			return n
		}
	}
	return joints + 1
}
