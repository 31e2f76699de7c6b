package pair

import (
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// limits of a request body: a few hundred bytes do, so anything big is a slip.
var limits = strictjson.Limits{Bytes: 64 << 10, Depth: 8, Values: 200}

// Read takes a request from JSON, strictly:
//
//	{"a": {"species": "sugar-maple", "ring_angle": 0, "grain": "up", "width": 40, "moisture": 7.5},
//	 "b": {"species": "black-walnut", "ring_angle": 90},
//	 "moisture": {"mc": {"from": 7.5, "to": 10.5}},
//	 "length": 40, "thickness": 38, "duration": "season", "derivation": true}
//
// moisture holds exactly one of mc (% MC before and after), change (% MC, from
// DefaultMoisture) and air (two states of air the wood comes in balance with).
// The error is a fault.List with one entry for each thing wrong.
func Read(src []byte) (Request, error) {
	doc, err := strictjson.Parse(src, limits)
	if err != nil {
		return Request{}, err
	}
	var q Request
	o := doc.Root().Object("a", "b", "moisture", "length", "thickness", "duration", "derivation")
	q.A = readPiece(o.Need("a"))
	q.B = readPiece(o.Need("b"))
	readMoisture(o.Need("moisture"), &q)
	q.Length, _ = o.Get("length").Number(strictjson.Between(MinLength, MaxLength, "mm"))
	q.Thickness, _ = o.Get("thickness").Number(strictjson.Between(layout.MinThickness, layout.MaxThickness, "mm"))
	if word, ok := o.Get("duration").Word("days", "season"); ok {
		q.Season = word == "season"
	}
	q.Derivation, _ = o.Get("derivation").Bool()
	return q, doc.Err()
}

func readPiece(v strictjson.Value) Piece {
	var p Piece
	o := v.Object("species", "ring_angle", "grain", "width", "moisture")
	p.Species, _ = o.Need("species").Text(100)
	p.RingAngle, _ = o.Need("ring_angle").Number(strictjson.Any)
	if word, ok := o.Get("grain").Word(Grains...); ok {
		p.Grain = Grain(word)
	}
	p.Width, _ = o.Get("width").Number(strictjson.Between(MinLength, MaxWidth, "mm"))
	if mc, ok := o.Get("moisture").Number(strictjson.Between(0, MaxMoisture, "% MC")); ok {
		p.Moisture = &mc
	}
	return p
}

func readMoisture(v strictjson.Value, q *Request) {
	o := v.Object("mc", "change", "air")
	key, one := o.OneOf("mc", "change", "air")
	mc := strictjson.Between(0, MaxMoisture, "% MC")
	switch key {
	case "mc":
		m := one.Object("from", "to")
		q.From, _ = m.Need("from").Number(mc)
		q.To, _ = m.Need("to").Number(mc)
	case "change":
		change, _ := one.Number(strictjson.Between(-DefaultMoisture, MaxMoisture-DefaultMoisture, "% MC"))
		q.From, q.To, q.changed = DefaultMoisture, DefaultMoisture+change, true
	case "air":
		m := one.Object("from", "to")
		q.FromAir, q.ToAir = readRoom(m.Need("from")), readRoom(m.Need("to"))
	}
}

// readRoom takes a state of air.
func readRoom(v strictjson.Value) *moisture.Room {
	o := v.Object("humidity", "temperature")
	room := &moisture.Room{}
	room.Humidity, _ = o.Need("humidity").Number(strictjson.Between(0, moisture.MaxHumidity, "%"))
	room.Temperature, _ = o.Need("temperature").Number(strictjson.Between(moisture.MinTemperature, moisture.MaxTemperature, "°C"))
	return room
}
