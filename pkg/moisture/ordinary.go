package moisture

import (
	"math"
	"slices"
)

// homeSpell is a stretch of the year in which the air of the home stands off that
// of its month.
type homeSpell struct {
	name     string
	month    Room // its mean
	room     Room
	from, to float64 // h after the start
}

// spells are the dry and the damp spell of ordinary use, in the middle of the
// driest and of the dampest month. Where both months are one, or a home has no
// seasons, the damp spell comes half a year later.
func (e filled) spells(in Setting) [2]homeSpell {
	driest, dampest, _, _ := in.Home.Extremes()
	if driest == dampest {
		dampest = (driest + 6) % 12
	}
	length, change := 24*e.numbers["spell_days"], e.numbers[changeOfSpell]
	at := func(name string, month int, change float64) homeSpell {
		centre := math.Mod((float64(month)+0.5-e.numbers["start_month"]+1+12)*hoursPerMonth, HoursPerYear)
		r := in.Home.Months[month]
		return homeSpell{name, r, r.shifted(change), centre - length/2, centre + length/2}
	}
	return [2]homeSpell{at("in a dry spell", driest, -change), at("in a damp spell", dampest, change)}
}

const hoursPerWeek = 7 * 24.0

// rinsed says that the board is washed under water every week: one that somebody carries
// to a sink, or of which the event says how. A heavier one is wiped, and what a wrung cloth
// leaves on it is gone in minutes.
func (e filled) rinsed(in Setting) bool {
	_, water := e.given["wash_water"]
	_, minutes := e.given["wash_minutes"]
	return water || minutes || e.said["ends"] == "wet" || in.Mass <= e.numbers["carried"]
}

// ordinaryUse is a year at home with its two spells, and with the weekly washing of
// both faces in the weeks up to the end of each: after ten washes one is nearly
// like another, so that the others need not be followed.
func ordinaryUse(e filled, in Setting) []Phase {
	spells := e.spells(in)
	order := spells[:]
	slices.SortFunc(order, func(a, b homeSpell) int { return int(math.Copysign(1, a.from-b.from)) })
	var washes []float64 // h, rising
	wet := e.numbers["wash_minutes"] / 60
	for i := 0; wet > 0 && e.rinsed(in) && i < int(e.numbers["washes"]); i++ {
		for _, s := range order {
			t := s.to - (float64(i)+0.5)*hoursPerWeek
			near := func(other float64) bool { return math.Abs(other-t) < hoursPerWeek/2 }
			if t > 0 && !slices.ContainsFunc(washes, near) {
				washes = append(washes, t)
			}
		}
	}
	slices.Sort(washes)
	var p []Phase
	now := 0.0
	start := (e.numbers["start_month"] - 1) * hoursPerMonth
	until := func(t float64, name string, room *Room) {
		face := Face{Kind: Air, Year: &in.Home.Months, Start: start + now}
		if room != nil {
			face = air(*room)
		}
		if t > now {
			p, now = append(p, in.atHome(name, t-now, face)), t
		}
	}
	// stretch is one kind of air, broken by the washes that fall into it.
	stretch := func(to float64, name string, room *Room) {
		for len(washes) > 0 && washes[0] < to {
			until(washes[0], name, room)
			r := in.Home.Months.At(start + now)
			if room != nil {
				r = *room
			}
			film := Face{Kind: Water, Room: r, Supply: e.numbers["wash_water"]}
			p, now = append(p, e.withEnds(both("being washed", wet, film), film)), now+wet
			washes = washes[1:]
		}
		until(to, name, room)
	}
	for i := range order {
		stretch(order[i].from, "at home", nil)
		stretch(order[i].to, order[i].name, &order[i].room)
	}
	stretch(HoursPerYear, "at home", nil)
	return p
}
