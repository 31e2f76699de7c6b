package answer

import (
	"strconv"

	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// small bounds the bodies of questions about one piece or one pair.
var small = strictjson.Limits{Bytes: 64 << 10, Depth: 8, Values: 200}

// ReadMovement takes a movement.Request from JSON, strictly. The cut may be a
// word or a ring angle. The error is a fault.List.
func ReadMovement(src []byte) (movement.Request, error) {
	doc, err := strictjson.Parse(src, small)
	if err != nil {
		return movement.Request{}, err
	}
	var q movement.Request
	o := doc.Root().Object("species", "size", "dimension", "cut", "form", "from_mc", "to_mc", "from", "to")
	q.Species, _ = o.Need("species").Text(100)
	q.Size, _ = o.Need("size").Number(strictjson.Above(0, movement.MaxSize, "mm"))
	q.Dimension, _ = o.Get("dimension").Word(movement.Width, movement.Thickness, movement.Length)
	q.Form, _ = o.Get("form").Word(movement.Total, movement.Coefficient)
	if cut := o.Get("cut"); cut.Kind() == strictjson.Number {
		angle, _ := cut.Number(strictjson.Between(0, 90, "degrees"))
		q.Cut = strconv.FormatFloat(angle, 'g', -1, 64)
	} else if word, ok := cut.Text(30); ok {
		q.Cut = word
	}
	q.FromMC, q.ToMC = readMC(o.Get("from_mc")), readMC(o.Get("to_mc"))
	q.From, q.To = readRoom(o.Get("from")), readRoom(o.Get("to"))
	return q, doc.Err()
}

func readMC(v strictjson.Value) *float64 {
	if mc, ok := v.Number(strictjson.Between(0, movement.MaxMoisture, "% MC")); ok {
		return &mc
	}
	return nil
}

func readRoom(v strictjson.Value) *moisture.Room {
	if !v.Here() {
		return nil
	}
	o := v.Object("humidity", "temperature")
	rh, _ := o.Need("humidity").Number(strictjson.Between(0, moisture.MaxHumidity, "%"))
	t, _ := o.Need("temperature").Number(strictjson.Between(moisture.MinTemperature, moisture.MaxTemperature, "°C"))
	return &moisture.Room{Humidity: rh, Temperature: t}
}

// Move answers a movement body.
func Move(src []byte) (movement.Result, error) {
	q, err := ReadMovement(src)
	if err != nil {
		return movement.Result{}, err
	}
	return movement.Change(q)
}
