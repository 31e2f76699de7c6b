package pair

import (
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/notice"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Grain is the direction of the fibres of a piece against the joint.
type Grain string

// The three directions.
const (
	Up     Grain = "up"     // fibres along z: an end-grain block
	Along  Grain = "along"  // fibres in the face, along the joint: an edge joint
	Across Grain = "across" // fibres in the face, square to the joint: end grain glued
)

// Grains lists the words a reader may use.
var Grains = []string{string(Up), string(Along), string(Across)}

// Defaults and limits of a request.
const (
	DefaultWidth     = 40.0 // mm across the joint
	DefaultThickness = 40.0 // mm
	DefaultMoisture  = 8.0  // % MC, the mean of heated interiors (Wood Handbook ch. 13)
	MaxMoisture      = 30.0 // % MC, nominal fibre saturation
	MinLength        = layout.Narrow
	MaxLength        = 5000.0 // mm, of the joint
	MaxWidth         = 1200.0 // mm, of a strip across the joint
)

// Piece is one side of the joint.
type Piece struct {
	Species   string   `json:"species"`            // any name package wood finds
	RingAngle float64  `json:"ring_angle"`         // degrees, to wood.MaxAngle either way
	Grain     Grain    `json:"grain"`              // "" is up
	Width     float64  `json:"width"`              // mm across the joint; 0 is DefaultWidth
	Moisture  *float64 `json:"moisture,omitempty"` // % MC when glued; nil is the request's From
}

// Request is one question. From and To are % MC before and after; an air stands
// for the moisture that is in balance with it.
type Request struct {
	A, B       Piece
	From, To   float64
	FromAir    *moisture.Room // when given, From follows from it
	ToAir      *moisture.Room // likewise To
	changed    bool           // To was told as a change
	Length     float64        // mm, length of the joint; 0 means long: the stress far from the ends
	Thickness  float64        // mm, for the step at the joint; 0 is DefaultThickness
	Season     bool           // the change takes months: stress relaxes as a season leaves it
	Inches     bool           // sentences tell lengths in inches; figures stay mm
	Derivation bool           // list the steps with their numbers
}

// Change tells the moisture after as a change [% MC] of that before. The error is a
// fault.List at "/moisture/change" or "/moisture/from", or that of an air that cannot be.
func (q *Request) Change(by float64) error {
	before := q.From
	if q.FromAir != nil {
		var err error
		if before, err = q.FromAir.EMC(); err != nil {
			return err
		}
	}
	if l := fault.Range("/moisture/from", "moisture before", before, 0, MaxMoisture, "% MC"); len(l) > 0 {
		return l
	}
	q.To, q.changed = before+by, true
	return fault.Range("/moisture/change", "change of moisture", by, -before, MaxMoisture-before, "% MC").Err()
}

// check fills the defaults of q and lists what is out of range, with pointers
// as Read would give them. NaN and infinities fail every comparison.
func (q *Request) check() fault.List {
	var faults fault.List
	faults = q.A.check(faults, "/a")
	faults = q.B.check(faults, "/b")
	for _, end := range []struct {
		key, what string
		mc        *float64
		air       *moisture.Room
	}{{"from", "moisture before", &q.From, q.FromAir}, {"to", "moisture after", &q.To, q.ToAir}} {
		if end.air == nil {
			faults = append(faults, fault.Range("/moisture/"+end.key, end.what, *end.mc, 0, MaxMoisture, "% MC")...)
			continue
		}
		var err error
		if *end.mc, err = end.air.EMC(); err != nil {
			faults = append(faults, fault.Of(fault.At(err, "/moisture/air/"+end.key))...)
		}
	}
	if q.Length != 0 {
		faults = append(faults, fault.Range("/length", "length", q.Length, MinLength, MaxLength, "mm")...)
	}
	if q.Thickness == 0 {
		q.Thickness = DefaultThickness
	}
	return append(faults, fault.Range("/thickness", "thickness", q.Thickness, layout.MinThickness, layout.MaxThickness, "mm")...)
}

func (p *Piece) check(faults fault.List, at string) fault.List {
	if p.Grain == "" {
		p.Grain = Up
	}
	if p.Grain != Up && p.Grain != Along && p.Grain != Across {
		faults = append(faults, fault.Fault{Rule: fault.NotOneOf, Pointer: at + "/grain",
			Detail: "unknown grain direction", Found: string(p.Grain), Allowed: "up, along, across"})
	}
	if p.Width == 0 {
		p.Width = DefaultWidth
	}
	faults = append(faults, fault.Range(at+"/width", "width", p.Width, MinLength, MaxWidth, "mm")...)
	faults = append(faults, fault.Range(at+"/ring_angle", "ring angle", p.RingAngle, -wood.MaxAngle, wood.MaxAngle, "degrees")...)
	if p.Moisture != nil {
		faults = append(faults, fault.Range(at+"/moisture", "moisture", *p.Moisture, 0, MaxMoisture, "% MC")...)
	}
	return faults
}

func (q *Request) fromOf(p *Piece) float64 {
	if p.Moisture != nil {
		return *p.Moisture
	}
	return q.From
}

// notices asks about what is possible but hardly meant, and tells which woods
// ambiguous names were taken for.
func (q *Request) notices(a, b *side) notice.List {
	var l notice.List
	for _, p := range []struct {
		at   string
		asks *Piece
		side *side
	}{{"/a", &q.A, a}, {"/b", &q.B, b}} {
		if p.side.told != "" {
			l.Add(notice.Notice{Pointer: p.at + "/species", Found: p.asks.Species, Likely: p.side.species.ID, Text: p.side.told + "."})
		}
		l.Look(notice.Block, p.asks.Width, p.at+"/width")
		if p.asks.Moisture != nil {
			l.Look(notice.Moisture, *p.asks.Moisture, p.at+"/moisture")
		}
	}
	l.Look(notice.Thickness, q.Thickness, "/thickness")
	if q.Length > 0 {
		l.Look(notice.Size, q.Length, "/length")
	}
	for _, air := range []struct {
		key string
		*moisture.Room
	}{{"from", q.FromAir}, {"to", q.ToAir}} {
		if air.Room != nil {
			l.Look(notice.Humidity, air.Humidity, "/moisture/air/"+air.key+"/humidity")
			l.Look(notice.Temperature, air.Temperature, "/moisture/air/"+air.key+"/temperature")
		}
	}
	if q.FromAir == nil && (q.A.Moisture == nil || q.B.Moisture == nil) {
		l.Look(notice.Moisture, q.From, "/moisture/mc/from")
	}
	switch {
	case q.ToAir != nil:
	case q.changed:
		l.Look(notice.Wood, q.To, "/moisture/change")
	default:
		l.Look(notice.Wood, q.To, "/moisture/mc/to")
	}
	return l
}
