package movement

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/notice"
)

// Dimensions of a piece that can be asked for.
const (
	Width     = "width"     // across the fibres, in the face
	Thickness = "thickness" // across the fibres, through the face
	Length    = "length"    // along the fibres
)

// Forms of the shrinkage law.
const (
	Total       = "total"       // Eq. 13-3, any range below fibre saturation
	Coefficient = "coefficient" // Eq. 13-2, small changes within 6 to 14 % MC
)

// MaxSize is the largest size that is taken, mm. No board is longer; a larger
// number is a slip of units.
const MaxSize = 1e5

// MaxMoisture is the largest moisture content taken, % MC: about what the
// lightest wood holds with every cavity full of water.
const MaxMoisture = 300

// Request asks for the change of one dimension of one piece. The zero value of
// Dimension is the width, of Cut flat-sawn, of Form the total-shrinkage form.
type Request struct {
	Species   string  `json:"species"`             // id, common, trade or scientific name
	Size      float64 `json:"size"`                // mm, measured at the first moisture
	Dimension string  `json:"dimension,omitempty"` // "width", "thickness" or "length"
	Cut       string  `json:"cut,omitempty"`       // "flat-sawn", "rift", "quarter-sawn" or a ring angle in degrees, 0 to 90
	Form      string  `json:"form,omitempty"`      // "total" or "coefficient"

	// Each end is given either as a moisture content [% MC] or as the air
	// the piece is in balance with.
	FromMC *float64       `json:"from_mc,omitempty"`
	ToMC   *float64       `json:"to_mc,omitempty"`
	From   *moisture.Room `json:"from,omitempty"`
	To     *moisture.Room `json:"to,omitempty"`
}

// cuts are the words for ring angles. Rift is the trade's name for rings at
// 30 to 60°; its middle is taken.
var cuts = map[string]float64{"": 0, "flat-sawn": 0, "plain-sawn": 0, "rift": 45, "rift-sawn": 45, "quarter-sawn": 90}

// RingAngle turns the word or number of a cut into degrees, 0 to 90. The error
// is a fault without a place.
func RingAngle(cut string) (float64, error) {
	key := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(cut)), " ", "-")
	if a, ok := cuts[key]; ok {
		return a, nil
	}
	a, err := strconv.ParseFloat(strings.TrimSuffix(key, "°"), 64)
	f := fault.Fault{
		Found: cut, Detail: "not a cut",
		Allowed: "flat-sawn, rift, quarter-sawn, or the ring angle in degrees from 0 (flat-sawn) to 90 (quarter-sawn)",
	}
	switch {
	case err != nil:
		f.Rule = fault.NotOneOf
		return 0, fault.List{f}
	case !(a >= 0 && a <= 90):
		f.Rule, f.Detail = fault.OutOfRange, "ring angle of the cut is outside its range"
		return 0, fault.List{f}
	}
	return a, nil
}

// faults collects everything wrong with the request but the name of the wood.
func (r Request) faults() fault.List {
	var l fault.List
	if !(r.Size > 0 && r.Size <= MaxSize) {
		l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: "/size", Detail: "size is outside its range",
			Found: fmt.Sprintf("%g mm", r.Size), Allowed: fmt.Sprintf("above 0, up to %g mm", float64(MaxSize))})
	}
	l = oneOf(l, "/dimension", r.Dimension, "", Width, Thickness, Length)
	l = oneOf(l, "/form", r.Form, "", Total, Coefficient)
	l = end(l, "from", r.FromMC, r.From)
	return end(l, "to", r.ToMC, r.To)
}

// notices asks about what is possible but hardly meant, the ends being from and
// to % MC and the wood saturated at fsp % MC.
func (r Request) notices(from, to, fsp float64) notice.List {
	var l notice.List
	l.Look(notice.Size, r.Size, "/size")
	for _, end := range []struct {
		pointer string
		mc      *float64
		room    *moisture.Room
	}{{"/from", r.FromMC, r.From}, {"/to", r.ToMC, r.To}} {
		if end.mc != nil {
			l.Look(notice.Wood, *end.mc, end.pointer+"_mc")
		}
		if end.room != nil {
			l.Look(notice.Humidity, end.room.Humidity, end.pointer+"/humidity")
			l.Look(notice.Temperature, end.room.Temperature, end.pointer+"/temperature")
		}
	}
	if r.FromMC != nil && r.ToMC != nil && from >= fsp && to >= fsp && from != to {
		n := notice.Notice{Pointer: "/from_mc", Found: fmt.Sprintf("%g and %g %% MC", from, to)}
		n.Text = fmt.Sprintf("Above fibre saturation (%g %% MC in this wood) nothing moves. Did you mean a humidity of the air?", fsp)
		if from <= 100 && to <= 100 {
			n.Likely = fmt.Sprintf("%grh and %grh", from, to)
		}
		l.Add(n)
	}
	return l
}

func oneOf(l fault.List, pointer, found string, words ...string) fault.List {
	for _, w := range words {
		if found == w {
			return l
		}
	}
	return append(l, fault.Fault{Rule: fault.NotOneOf, Pointer: pointer, Detail: "not a known word", Found: found,
		Allowed: strings.Join(words[1:], ", ")})
}

// end checks one end of the change: exactly one of moisture and air.
func end(l fault.List, key string, mc *float64, room *moisture.Room) fault.List {
	both := fmt.Sprintf("exactly one of %s_mc and %s", key, key)
	switch {
	case mc == nil && room == nil:
		return append(l, fault.Fault{Rule: fault.MissingKey, Pointer: "/" + key + "_mc", Detail: "no moisture given", Allowed: both})
	case mc != nil && room != nil:
		return append(l, fault.Fault{Rule: fault.NotAllowed, Pointer: "/" + key, Detail: "moisture given twice", Allowed: both})
	case room != nil:
		return append(l, room.Faults("/"+key)...)
	}
	return append(l, fault.Range("/"+key+"_mc", "moisture content", *mc, 0, MaxMoisture, "%")...)
}
