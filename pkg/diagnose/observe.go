package diagnose

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// The words of an observation.
const (
	InJoint = "joint"
	InWood  = "wood"
	OnFace  = "face"
	Through = "through"
	Top     = "top"
	Bottom  = "bottom"
)

// Observation is what was seen of an opened board. Everything may be left out;
// with neither Joint nor Piece it opened somewhere.
type Observation struct {
	Joint  string   `json:"joint,omitempty"`  // "r3c4|r3c5", told from either side
	Piece  string   `json:"piece,omitempty"`  // id of a piece, instead of a joint
	Where  string   `json:"where,omitempty"`  // InJoint or InWood
	Depth  string   `json:"depth,omitempty"`  // OnFace or Through
	Face   string   `json:"face,omitempty"`   // Top or Bottom
	Season string   `json:"season,omitempty"` // winter, spring, summer, autumn; northern half
	Month  int      `json:"month,omitempty"`  // 1 to 12, instead of a season
	Event  string   `json:"event,omitempty"`  // key of an exposure it followed
	Age    *float64 `json:"age,omitempty"`    // days from gluing to the crack
	Signs  []string `json:"signs,omitempty"`  // Cupped and so on
}

// seasons and the middle month of each.
var seasons = [4]string{"winter", "spring", "summer", "autumn"}
var middle = [4]int{1, 4, 7, 10}

// maxAge bounds the age of a board, days: two hundred years.
const maxAge = 73000

// Take reads an observation from a body; faults of its form go to the document.
// What its values may be is for Faults to say. Age is in days.
func Take(v strictjson.Value) Observation {
	var o Observation
	m := v.Object("joint", "piece", "where", "depth", "face", "season", "month", "event", "age", "signs")
	for _, t := range []struct {
		key  string
		into *string
	}{{"joint", &o.Joint}, {"piece", &o.Piece}, {"where", &o.Where}, {"depth", &o.Depth}, {"face", &o.Face}, {"season", &o.Season}, {"event", &o.Event}} {
		if m.Has(t.key) {
			*t.into, _ = m.Get(t.key).Text(200)
		}
	}
	if m.Has("signs") {
		items, _ := m.Get("signs").List(1, len(signWords))
		for _, item := range items {
			word, _ := item.Word(signWords...)
			o.Signs = append(o.Signs, word)
		}
	}
	if m.Has("month") {
		o.Month, _ = m.Get("month").Whole(1, 12) // 0 stands for a key left out
	}
	if m.Has("age") {
		if days, ok := m.Get("age").Number(strictjson.Between(-math.MaxFloat64, math.MaxFloat64, "")); ok {
			o.Age = &days
		}
	}
	return o
}

// place is where on the board it opened: the joints and pieces that count as
// seen. Everywhere is told when nothing narrower was.
type place struct {
	joints, pieces []int
	everywhere     bool
}

// Faults lists what is wrong with an observation by itself, whatever the board.
// Pointers are "/" and the name of a value.
func (o *Observation) Faults() (faults fault.List) {
	add := func(rule fault.Rule, key, detail, found, allowed string, nearest ...string) {
		faults = append(faults, fault.Fault{Rule: rule, Pointer: "/" + key, Detail: detail, Found: found, Allowed: allowed, Nearest: nearest})
	}
	word := func(key, found string, words ...string) {
		if found != "" && !slices.Contains(words, found) {
			add(fault.NotOneOf, key, "not a known word", found, strings.Join(words, ", "), fault.Nearest(found, words, 1)...)
		}
	}
	word("where", o.Where, InJoint, InWood)
	word("depth", o.Depth, OnFace, Through)
	word("face", o.Face, Top, Bottom)
	word("season", o.Season, seasons[:]...)
	if o.Month < 0 || o.Month > 12 {
		add(fault.OutOfRange, "month", "there is no such month", fmt.Sprint(o.Month), "1 to 12")
	}
	if o.Month != 0 && o.Season != "" {
		add(fault.NotAllowed, "month", "the month says the season", fmt.Sprint(o.Month), "one of month and season")
	}
	if o.Depth == Through && o.Face != "" {
		add(fault.NotAllowed, "face", "a crack through is on both faces", o.Face, "a face with depth face")
	}
	if o.Age != nil {
		faults = append(faults, fault.Range("/age", "age", *o.Age, 0, maxAge, "days")...)
	}
	if o.Event != "" {
		_, err := moisture.FindExposure(o.Event)
		faults = append(faults, fault.Of(fault.At(err, "/event"))...)
	}
	for i, sign := range o.Signs {
		key := fmt.Sprintf("signs/%d", i)
		word(key, sign, signWords...)
		if slices.Contains(o.Signs[:i], sign) {
			add(fault.RepeatedKey, key, "the sign stands there more than once", sign, "each once")
		}
		if sign == AfterWashing && o.Event != "" && !slices.Contains(washes, o.Event) {
			add(fault.NotAllowed, key, "the event that was told is no washing", o.Event, "after-washing alone, or with one of "+strings.Join(washes, ", "))
		}
	}
	if o.Joint != "" && o.Piece != "" {
		add(fault.NotAllowed, "piece", "a joint is told already", o.Piece, "one of joint and piece")
	}
	return faults
}

// check finds the place on a board, or lists what is wrong with the observation.
func (o *Observation) check(b *layout.Board) (place, fault.List) {
	faults := o.Faults()
	p := o.find(b, func(key, detail, found string, known []string) {
		faults = append(faults, fault.Fault{Rule: fault.UnknownName, Pointer: "/" + key, Detail: detail, Found: found, Allowed: "an id of this board", Nearest: fault.Nearest(found, known, 3)})
	})
	return p, faults
}

func idsOf[T any](list []T, id func(*T) string) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = id(&list[i])
	}
	return out
}

func (o *Observation) find(b *layout.Board, unknown func(key, detail, found string, known []string)) (p place) {
	switch {
	case o.Joint != "":
		jt, ok := b.Joint(o.Joint)
		if !ok {
			unknown("joint", "this board has no such joint", o.Joint, idsOf(b.Joints, func(j *layout.Joint) string { return j.ID }))
			return p
		}
		o.Joint = jt.ID
		if o.Where == InWood {
			p.pieces = []int{jt.A, jt.B}
			return p
		}
		for j := range b.Joints {
			if b.Joints[j].ID == jt.ID {
				p.joints = []int{j}
			}
		}
	case o.Piece != "":
		i, ok := b.PieceByID(o.Piece)
		if !ok {
			unknown("piece", "this board has no such piece", o.Piece, idsOf(b.Pieces, func(p *layout.Piece) string { return p.ID }))
			return p
		}
		if o.Where != InJoint {
			p.pieces = []int{i}
		}
		if o.Where != InWood {
			for j := range b.Joints {
				if b.Joints[j].A == i || b.Joints[j].B == i {
					p.joints = append(p.joints, j)
				}
			}
		}
	default:
		p.everywhere = true
		for j := range b.Joints {
			if o.Where != InWood {
				p.joints = append(p.joints, j)
			}
		}
		for i := range b.Pieces {
			if o.Where != InJoint {
				p.pieces = append(p.pieces, i)
			}
		}
	}
	return p
}

// month gives the month of the observation, the middle one of a season, 0 when
// none was told.
func (o *Observation) month() int {
	for i, s := range seasons {
		if s == o.Season {
			return middle[i]
		}
	}
	return o.Month
}
