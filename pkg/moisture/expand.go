package moisture

import (
	"fmt"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Expand turns an event into phases in its setting. The error is a fault.List
// as Event.Check gives it, and of what the setting cannot bring.
func Expand(ev Event, in Setting) ([]Phase, error) {
	e, l := ev.fill()
	if len(l) > 0 {
		return nil, l
	}
	phasesOf, ok := expanders[e.Key]
	if !ok {
		return nil, fault.List{{Rule: fault.MissingData, Pointer: "/name", Detail: "this exposure has no phases", Found: e.Key}}
	}
	if l = e.beyondAir(in); len(l) > 0 {
		return nil, l
	}
	e.fromGlueUp(in)
	if _, told := ev.Words["rest"]; in.Flat && !told && e.words["rest"] != "" {
		e.words["rest"] = "lying"
	}
	return phasesOf(e, in), nil
}

// TextIn is what an exposure does, as it goes in a setting with its phases there.
func (e Exposure) TextIn(ev Event, in Setting, phases []Phase) string {
	text := e.Text
	wet := func(p Phase) bool { return p.Top.wet() }
	if f, l := ev.fill(); len(l) == 0 && e.Use == Ordinary && !f.rinsed(in) && !slices.ContainsFunc(phases, wet) {
		text += fmt.Sprintf(" At %.0f kg it is not carried to a sink: it is wiped, and what a wrung cloth leaves is gone in minutes and not followed.", in.Mass)
	}
	lies := func(p Phase) bool { return p.Bottom.Kind == OnDryCounter }
	if in.Flat && e.Key != liesByItself && slices.ContainsFunc(phases, lies) {
		text += " At home it lies flat on a tight top."
	}
	return text
}

// liesByItself is the exposure whose own text says that the board lies flat.
const liesByItself = "flat-on-dry-counter"

// fromGlueUp fills in the air of the glue-up where nothing else is said.
func (e filled) fromGlueUp(in Setting) {
	for _, v := range e.Values {
		if _, given := e.given[v.Name]; given || v.DefaultOf != ofGlueUp {
			continue
		}
		if e.numbers[v.Name] = in.Shop.Humidity; v.Unit == "°C" {
			e.numbers[v.Name] = in.Shop.Temperature
		}
	}
}

// Values by which an event shifts the humidity of the home.
const (
	changeOfAir   = "humidity_change"
	changeOfSpell = "spell_change"
)

// beyondAir lists a change of humidity asked for that leads out of what air can
// hold. The default is not asked for: it goes as far as the air of the home lets it.
func (e filled) beyondAir(in Setting) fault.List {
	if change, ok := e.given[changeOfAir]; ok {
		if h := e.room(in).Humidity; h+change < 0 || h+change > MaxHumidity {
			return fault.List{{Rule: fault.OutOfRange, Pointer: "/" + changeOfAir, Detail: fmt.Sprintf("the air of the home has %.4g %% humidity in that month", h),
				Found: fmt.Sprintf("%g %%", change), Allowed: fmt.Sprintf("%g to %g %%", -math.Floor(h), math.Floor(MaxHumidity-h))}}
		}
	}
	if change, ok := e.given[changeOfSpell]; ok {
		spells := e.spells(in)
		dry, damp := spells[0].month.Humidity, spells[1].month.Humidity
		if most := math.Floor(min(dry, MaxHumidity-damp)); change > most {
			return fault.List{{Rule: fault.OutOfRange, Pointer: "/" + changeOfSpell, Detail: fmt.Sprintf("the air of the home has %.4g %% humidity in its driest month and %.4g %% in its dampest", dry, damp),
				Found: fmt.Sprintf("%g %%", change), Allowed: fmt.Sprintf("0 to %g %%", most)}}
		}
	}
	return nil
}

// shifted is air whose humidity is moved as far as air lets it.
func (r Room) shifted(change float64) Room {
	return Room{Humidity: min(MaxHumidity, max(0, r.Humidity+change)), Temperature: r.Temperature}
}

// StartMoisture returns the moisture [% MC] with which a piece enters an event:
// that at glue-up, or that in balance with the home's air of the event's month.
// The error is a fault.List as Event.Check gives it.
func StartMoisture(ev Event, in Setting, glued float64) (float64, error) {
	e, l := ev.fill()
	if len(l) > 0 {
		return 0, l
	}
	if e.FromGlueUp {
		return glued, nil
	}
	r := e.room(in)
	return equilibrium(r.Temperature, r.Humidity), nil
}

const hoursPerMonth = HoursPerYear / 12

// month is the index of the event's month, 0 for January; value 0 stands for
// the home's driest.
func (e filled) month(in Setting) int {
	if m := int(e.numbers["month"]); m > 0 {
		return m - 1
	}
	driest, _, _, _ := in.Home.Extremes()
	return driest
}

// room is the air of the home in the event's month.
func (e filled) room(in Setting) Room { return in.Home.Months[e.month(in)] }

// both is a phase with the same surrounding on both faces.
func both(name string, hours float64, f Face) Phase {
	return Phase{Name: name, Hours: hours, Top: f, Bottom: f}
}

// atHome is a phase in the air of the home, on both faces, or on the upper alone where
// the board lies flat.
func (in Setting) atHome(name string, hours float64, f Face) Phase {
	p := both(name, hours, f)
	if in.Flat {
		p.Bottom.Kind = OnDryCounter
	}
	return p
}

func air(r Room) Face { return Face{Kind: Air, Room: r} }

// seasons is a face in a home's air from the start of a month (0 is January).
func seasons(y *Year, month float64) Face {
	return Face{Kind: Air, Year: y, Start: month * hoursPerMonth}
}

// oneFace puts f on the face the event names and other on the opposite one.
func (e filled) oneFace(name string, hours float64, f, other Face) Phase {
	if e.words["face"] == "bottom" {
		return Phase{Name: name, Hours: hours, Top: other, Bottom: f}
	}
	return Phase{Name: name, Hours: hours, Top: f, Bottom: other}
}

// withEnds gives a phase of wetting the ends that the event tells: wet from the same
// water, or in the air of the room.
func (e filled) withEnds(p Phase, wet Face) Phase {
	ends := wet
	if e.words["ends"] == "dry" {
		ends = air(wet.Room)
	}
	p.Ends = &ends
	return p
}

// resting is what the face not concerned meets.
func (e filled) resting(r Room) Face {
	if e.words["rest"] == "lying" {
		return Face{Kind: OnDryCounter, Room: r}
	}
	return air(r)
}

// expanders hold the phases of every kind of event.
var expanders = map[string]func(filled, Setting) []Phase{
	"year-at-home": func(e filled, in Setting) []Phase {
		return []Phase{in.atHome("at home", e.numbers["years"]*HoursPerYear, seasons(&in.Home.Months, e.numbers["start_month"]-1))}
	},
	"ordinary-use":         ordinaryUse,
	"first-heating-season": shopThenHome,
	"damp-shop":            shopThenHome,
	"sea-freight": func(e filled, in Setting) []Phase {
		return []Phase{
			both("at sea", 24*e.numbers["days"], air(Room{Humidity: e.numbers["humidity"], Temperature: e.numbers["temperature"]})),
			in.atHome("unpacked in the home", 24*e.numbers["after_days"], seasons(&in.Home.Months, float64(e.month(in))+0.5)),
		}
	},
	"move-house": func(e filled, in Setting) []Phase {
		to, err := FindClimate(e.words["to"])
		if err != nil {
			panic("moisture: word was checked before: " + err.Error())
		}
		way := Room{Humidity: e.numbers["travel_humidity"], Temperature: e.numbers["travel_temperature"]}
		arrival := float64(e.month(in)) + 0.5 + 24*e.numbers["travel_days"]/hoursPerMonth
		return []Phase{
			both("on the way", 24*e.numbers["travel_days"], air(way)),
			in.atHome("in the other home", 24*e.numbers["after_days"], seasons(&to.Months, arrival)),
		}
	},
	"wash-one-face": func(e filled, in Setting) []Phase {
		r := e.room(in)
		film := Face{Kind: Water, Room: r, Supply: e.numbers["water"]}
		var p []Phase
		for i := range int(e.numbers["times"]) {
			p = append(p,
				e.withEnds(e.oneFace(fmt.Sprintf("wet, time %d", i+1), e.numbers["minutes"]/60, film, e.resting(r)), film),
				e.oneFace(fmt.Sprintf("drying, time %d", i+1), e.numbers["dry_hours"], air(r), e.resting(r)))
		}
		return p
	},
	"wet-cloth": func(e filled, in Setting) []Phase {
		r := e.room(in)
		cloth := Face{Kind: Water, Room: r, Supply: e.numbers["water"]}
		return []Phase{
			e.withEnds(e.oneFace("under the cloth", e.numbers["hours"], cloth, e.resting(r)), cloth),
			both("drying", e.numbers["dry_hours"], air(r)),
		}
	},
	"flat-on-wet-counter": func(e filled, in Setting) []Phase {
		r := e.room(in)
		puddle := Face{Kind: OnWetCounter, Room: r, Supply: e.numbers["water"]}
		return []Phase{
			e.withEnds(Phase{Name: "on the wet counter", Hours: e.numbers["hours"], Top: air(r), Bottom: puddle}, Face{Kind: Water, Room: r, Supply: puddle.Supply}),
			both("set up to dry", e.numbers["dry_hours"], air(r)),
		}
	},
	"flat-on-dry-counter": func(e filled, in Setting) []Phase {
		r := e.room(in)
		changed := r.shifted(e.numbers[changeOfAir])
		return []Phase{
			{Name: "lying flat", Hours: 24 * e.numbers["days"], Top: air(changed), Bottom: Face{Kind: OnDryCounter, Room: changed}},
			both("set up", 24*e.numbers["after_days"], air(changed)),
		}
	},
	"sink-soak": func(e filled, in Setting) []Phase {
		r := e.room(in)
		return []Phase{
			both("under water", e.numbers["minutes"]/60, Face{Kind: Water, Room: r}),
			both("drying", e.numbers["dry_hours"], air(r)),
		}
	},
	"dishwasher": func(e filled, in Setting) []Phase {
		r, t := e.room(in), e.numbers["temperature"]
		return []Phase{
			both("washed", e.numbers["minutes"]/60, Face{Kind: Water, Room: r.Warmed(t)}),
			both("hot drying", e.numbers["heat_minutes"]/60, air(r.Warmed(t))),
			both("in the kitchen", e.numbers["dry_hours"], air(r)),
		}
	},
	"near-heat": func(e filled, in Setting) []Phase {
		r := e.room(in)
		return []Phase{
			e.oneFace("near the heat", e.numbers["hours"], air(r.Warmed(e.numbers["temperature"])), air(r)),
			both("away from it", e.numbers["after_hours"], air(r)),
		}
	},
	"hot-pan": func(e filled, in Setting) []Phase {
		r := e.room(in)
		hot := air(r.Warmed(e.numbers["temperature"]))
		hot.Beside = &r
		return []Phase{
			e.oneFace("under the pan", e.numbers["minutes"]/60, hot, e.resting(r)),
			e.oneFace("after it", e.numbers["after_hours"], air(r), e.resting(r)),
		}
	},
	"raise-grain": func(e filled, in Setting) []Phase {
		var p []Phase
		for i := range int(e.numbers["times"]) {
			p = append(p,
				both(fmt.Sprintf("wetted, grit %d", i+1), e.numbers["minutes"]/60, Face{Kind: Water, Room: in.Shop}),
				both(fmt.Sprintf("drying, grit %d", i+1), e.numbers["dry_hours"], air(in.Shop)))
		}
		return p
	},
	"finish-soak": func(e filled, in Setting) []Phase {
		return []Phase{
			both("in the oil", e.numbers["hours"], Face{Kind: Sealed, Room: in.Shop}),
			both("curing", 24*e.numbers["after_days"], air(in.Shop)),
		}
	},
	"damp-spell": spell,
	"dry-spell":  spell,
}

// shopThenHome is some time in a shop's air, and the home from a month on.
func shopThenHome(e filled, in Setting) []Phase {
	shop := Room{Humidity: e.numbers["shop_humidity"], Temperature: e.numbers["shop_temperature"]}
	return []Phase{
		both("in the shop", 24*e.numbers["shop_days"], air(shop)),
		in.atHome("at home, heating on", 24*e.numbers["days"], seasons(&in.Home.Months, e.numbers["start_month"]-1)),
	}
}

// spell is some days of other air, and the home's air after them.
func spell(e filled, in Setting) []Phase {
	r := e.room(in)
	return []Phase{
		in.atHome("the spell", 24*e.numbers["days"], air(Room{Humidity: e.numbers["humidity"], Temperature: r.Temperature})),
		in.atHome("after it", 24*e.numbers["after_days"], air(r)),
	}
}
