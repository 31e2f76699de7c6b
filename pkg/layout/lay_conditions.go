package layout

import (
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// What a file without glue_up and glue is taken to mean; both are noted in
// Board.Assumed.
const (
	defaultHumidity    = 45.0 // % RH
	defaultTemperature = 20.0 // °C
	defaultGlue        = "pva"
)

func (r *layer) conditions() {
	b, f := r.board, r.file
	if f.Glue != "" {
		b.Glue = r.named("/glue", f.Glue, findGlue)
	} else {
		b.Glue = defaultGlue
		r.assume("glue: %s", defaultGlue)
	}
	if f.Finish != "" {
		b.Finish = r.finish("/finish", f.Finish)
	}
	b.Ends = b.Finish
	if f.Ends != "" {
		b.Ends = r.finish("/ends_finish", f.Ends)
	}
	if b.FinishBottom = b.Finish; f.FinishBottom != "" {
		b.FinishBottom = r.finish("/bottom_finish", f.FinishBottom)
	}
	r.renewal()
	if b.Stands = Free; f.Stands != "" && r.word("/stands", f.Stands, Free, OnFeet, Flat) {
		b.Stands = f.Stands
	}
	if f.GlueUp != nil {
		b.GlueUp = *f.GlueUp
		r.air("/glue_up", b.GlueUp)
	} else {
		b.GlueUp = moisture.Room{Humidity: defaultHumidity, Temperature: defaultTemperature}
		r.assume("glue_up: %g %% humidity and %g °C", defaultHumidity, defaultTemperature)
	}
	r.balance, _ = moisture.EMC(b.GlueUp.Temperature, b.GlueUp.Humidity) // a faulty room is told already
	r.home()
	r.exposures()
}

// renewal is how often the finish is renewed: of nothing, where there is none.
func (r *layer) renewal() {
	n, b := r.file.Renewed, r.board
	if n == nil {
		return
	}
	if !n.Never && !r.number("", "/finish_renewed", n.Months, strictjson.Between(moisture.LeastRenewal, moisture.MostRenewal, "months")) {
		return
	}
	bare := func(finish string) bool { return finish == "" || finish == "none" }
	if f := r.file; bare(f.Finish) && bare(f.FinishBottom) && bare(f.Ends) {
		r.add(fault.Fault{Rule: fault.NotAllowed, Pointer: "/finish_renewed", Detail: "there is no finish to renew", Found: renewalText(n), Allowed: "beside a finish", Fix: "tell the finish, or leave finish_renewed out"})
		return
	}
	b.Renewed = *n
}

// renewalText is a renewal as the file writes it.
func renewalText(n *moisture.Renewal) string {
	text, _ := n.MarshalJSON() // a word, or a finite number: it is in range
	return string(text)
}

func (r *layer) home() {
	h := r.file.Home
	switch {
	case h.Name != "" && h.Months != nil:
		r.fault(fault.NotAllowed, "/home", "a home is a climate or twelve months of its own, not both", "a name, or {\"months\": […]}")
	case h.Name != "":
		r.board.Home.Name = r.named("/home", h.Name, findClimate)
	case h.Months != nil:
		if len(h.Months) != 12 {
			r.fault(fault.WrongLength, "/home/months", "a year has twelve months", "exactly 12 elements")
		}
		for i, room := range h.Months {
			r.air(at("/home/months", i), room)
		}
		r.board.Home.Months = append([]moisture.Room(nil), h.Months...)
	}
}

func (r *layer) air(pointer string, room moisture.Room) {
	r.number(pointer, "/humidity", room.Humidity, strictjson.Between(0, moisture.MaxHumidity, "% relative humidity"))
	r.number(pointer, "/temperature", room.Temperature, strictjson.Between(moisture.MinTemperature, moisture.MaxTemperature, "°C"))
}

// exposures takes the events that the board will meet. Faults in them are those of
// the file, whether a question follows them or not; what their values may be is for
// package moisture to say.
func (r *layer) exposures() {
	if n := len(r.file.Exposures); n > maxExposures {
		r.fault(fault.WrongLength, "/exposures", "there are too many exposures", "0 to 50 elements")
		return
	}
	for i, e := range r.file.Clone().Exposures {
		if e.Name == "" {
			r.add(fault.Fault{Rule: fault.MissingKey, Pointer: at("/exposures", i) + "/name", Detail: "the exposure has no name", Found: "nothing", Fix: `give "name"`})
		} else {
			_, l := e.Several()
			for _, f := range l.At(at("/exposures", i)) {
				r.add(f)
			}
		}
		if e.Patch != nil {
			patch := e.Patch.Scaled(r.scale)
			e.Patch = &patch
		}
		r.board.Exposures = append(r.board.Exposures, e)
	}
}

// patches lists what keeps the wetted or heated part of a face from lying on the board,
// whose extent is known when it is laid.
func (b *Board) patches() (l fault.List) {
	for i, e := range b.Exposures {
		if e.Patch != nil {
			l = append(l, e.Patch.Within(b.Width, b.Height).At(at("/exposures", i)+"/patch")...)
		}
	}
	return l
}
