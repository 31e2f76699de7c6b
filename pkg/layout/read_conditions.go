package layout

import (
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/strict"
)

// What a file without glue_up and glue is taken to mean; both are noted in
// Board.Assumed.
const (
	defaultHumidity    = 45.0 // % RH
	defaultTemperature = 20.0 // °C
	defaultGlue        = "pva"
)

const (
	maxExposures     = 50
	maxExposureTerms = 20
)

func (r *reader) conditions(root *strict.Members) {
	b := r.board
	if g := root.Get("glue"); g.Here() {
		b.Glue = r.named(g, findGlue)
	} else {
		b.Glue = defaultGlue
		r.assume("glue: %s", defaultGlue)
	}
	if f := root.Get("finish"); f.Here() {
		b.Finish = r.named(f, findFinish)
	}
	if g := root.Get("glue_up"); g.Here() {
		b.GlueUp, _ = r.air(g)
	} else {
		b.GlueUp = moisture.Room{Humidity: defaultHumidity, Temperature: defaultTemperature}
		r.assume("glue_up: %g %% humidity and %g °C", defaultHumidity, defaultTemperature)
	}
	r.balance, _ = moisture.EMC(b.GlueUp.Temperature, b.GlueUp.Humidity) // a faulty room is told already
	if h := root.Get("home"); h.Here() {
		b.Home = r.home(h)
	}
	if e := root.Get("exposures"); e.Here() {
		items, _ := e.List(0, maxExposures)
		for _, item := range items {
			b.Exposures = append(b.Exposures, r.exposure(item))
		}
	}
}

// air takes an object with humidity and temperature.
func (r *reader) air(v strict.Value) (moisture.Room, bool) {
	m := v.Object("humidity", "temperature")
	h, ok1 := m.Need("humidity").Number(strict.Between(0, moisture.MaxHumidity, "% relative humidity"))
	t, ok2 := m.Need("temperature").Number(strict.Between(moisture.MinTemperature, moisture.MaxTemperature, "°C"))
	return moisture.Room{Humidity: h, Temperature: t}, ok1 && ok2
}

// home takes the name of a climate, or twelve months.
func (r *reader) home(v strict.Value) Home {
	if v.Kind() == strict.String {
		return Home{Name: r.named(v, findClimate)}
	}
	if v.Kind() != strict.Object {
		v.Fault(fault.WrongType, "a home is a name or an object with months", "a name, or {\"months\": […]}")
		return Home{}
	}
	items, _ := v.Object("months").Need("months").List(12, 12)
	var h Home
	for _, item := range items {
		room, _ := r.air(item)
		h.Months = append(h.Months, room)
	}
	return h
}

// exposure takes a name and any further numbers and words; what they mean is
// for package moisture to say.
func (r *reader) exposure(v strict.Value) moisture.Event {
	e := moisture.Event{Values: map[string]float64{}, Words: map[string]string{}}
	members, ok := v.AnyObject(1, maxExposureTerms)
	if !ok {
		return e
	}
	named := false
	for _, m := range members {
		switch {
		case m.Key() == "name":
			e.Name, _ = m.Text(100)
			named = true
		case m.Kind() == strict.Number:
			e.Values[m.Key()], _ = m.Number(strict.Between(-1e9, 1e9, ""))
		case m.Kind() == strict.String:
			e.Words[m.Key()], _ = m.Text(100)
		default:
			m.Fault(fault.WrongType, "an exposure takes numbers and words", "a number or text")
		}
	}
	if !named {
		r.doc.Add(fault.Fault{
			Rule: fault.MissingKey, Pointer: v.Pointer() + "/name", Detail: "the exposure has no name",
			Found: "nothing", Fix: `give "name"`,
		})
	}
	return e
}
