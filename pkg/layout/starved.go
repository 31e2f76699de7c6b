package layout

import (
	"fmt"
	"math"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// Starved is a stretch of a glue line that is known to hold less than it should: glue
// pressed out, soaked away or skinned over.
type Starved struct {
	Joint  string  `json:"joint"`            // "r1c1|r1c2", told from either side
	From   Length  `json:"from,omitempty"`   // from its left end, of an upright joint its lower one
	Length Length  `json:"length,omitempty"` // 0 is to its other end
	Keeps  float64 `json:"keeps"`            // share of the bond's strength that is there
}

// Of a starved stretch: the shortest, mm, the least share that is kept, and how many there
// may be.
const (
	leastStarved = 3.0
	leastKept    = 0.01
	maxStarved   = 1000
)

// StarvedPart is a starved stretch laid out.
type StarvedPart struct {
	Joint    string // id
	From, To XY     // mm
	Keeps    float64
}

// Length of the stretch, mm.
func (s *StarvedPart) Length() float64 { return math.Hypot(s.To[0]-s.From[0], s.To[1]-s.From[1]) }

// Along is how far a place lies along the stretch, mm from its start; ok is false of one
// that lies off its joint.
func (s *StarvedPart) Along(p XY) (at float64, ok bool) {
	l := s.Length()
	t := [2]float64{(s.To[0] - s.From[0]) / l, (s.To[1] - s.From[1]) / l}
	x, y := p[0]-s.From[0], p[1]-s.From[1]
	return x*t[0] + y*t[1], math.Abs(x*t[1]-y*t[0]) < Snap
}

func (p *parser) starved(v strictjson.Value) Starved {
	m := v.Object("joint", "from", "length", "keeps")
	s := Starved{Joint: p.text(m.Need("joint"), maxName), Keeps: p.number(m.Need("keeps"))}
	if m.Has("from") {
		s.From = p.length(m.Get("from"))
	}
	if m.Has("length") {
		s.Length = p.length(m.Get("length"))
	}
	return s
}

// starve lays out the starved stretches of a board whose joints are known.
func (r *layer) starve() (l fault.List) {
	b := r.board
	for i, s := range r.file.Starved {
		here := at("/starved", i)
		add := func(key, detail, found, allowed string, nearest ...string) {
			l = append(l, fault.Fault{Rule: fault.OutOfRange, Pointer: here + key, Detail: detail, Found: found, Allowed: allowed, Nearest: nearest})
		}
		jt := b.jointCalled(s.Joint)
		if jt == nil {
			ids := make([]string, len(b.Joints))
			for k := range b.Joints {
				ids[k] = b.Joints[k].ID
			}
			l = append(l, fault.Fault{Rule: fault.UnknownName, Pointer: here + "/joint", Detail: "the board has no such joint", Found: s.Joint, Allowed: "ids of joints, as a report names them", Nearest: fault.Nearest(s.Joint, ids, 3)})
			continue
		}
		if in := strictjson.Between(leastKept, 1, ""); !in.Contains(s.Keeps) {
			add("/keeps", "the number is outside its range", strictjson.Decimal(s.Keeps), in.String())
			continue
		}
		from, length := float64(s.From)*r.scale, float64(s.Length)*r.scale
		if !(from >= 0 && from <= jt.Length-leastStarved) {
			add("/from", "the stretch does not begin on its joint", r.shown(from), fmt.Sprintf("%s to %s", r.shown(0), r.shown(jt.Length-leastStarved)))
			continue
		}
		if length == 0 {
			length = jt.Length - from
		}
		if !(length >= leastStarved && length <= jt.Length-from+Snap) {
			add("/length", "the stretch does not end on its joint, or is too short to tell", r.shown(length), fmt.Sprintf("%s to %s", r.shown(leastStarved), r.shown(jt.Length-from)))
			continue
		}
		a, z := jt.From, jt.To
		if z[0] < a[0]-Snap || z[0] < a[0]+Snap && z[1] < a[1] {
			a, z = z, a
		}
		place := func(d float64) XY {
			d /= jt.Length
			return XY{a[0] + d*(z[0]-a[0]), a[1] + d*(z[1]-a[1])}
		}
		b.Starved = append(b.Starved, StarvedPart{Joint: jt.ID, From: place(from), To: place(min(from+length, jt.Length)), Keeps: s.Keeps})
	}
	return l
}

// jointCalled is the joint of an id, told from either side; nil for none.
func (b *Board) jointCalled(id string) *Joint {
	other := ""
	if x, y, ok := strings.Cut(id, "|"); ok {
		other = y + "|" + x
	}
	for k := range b.Joints {
		if jt := &b.Joints[k]; jt.ID == id || jt.ID == other {
			return jt
		}
	}
	return nil
}
