package arrange

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// Step is something done otherwise in the making of a build than its file tells: one
// action of a maker. Sticks turned for themselves are Turns.
type Step struct {
	Kind   string `json:"kind"`
	Place  string `json:"place"`  // "A.1 and A.3", "slice 2", "border 1"
	How    string `json:"how"`    // "change places", "laid end for end", …
	Before string `json:"before"` // the glue-up before which it is done, by id; "panels" for all of them
}

// Kinds of steps.
const (
	SwapSticks = "swap-sticks" // two sticks of a panel change places
	SwapSlices = "swap-slices" // two rows of the field do
	TurnSlice  = "turn-slice"  // a slice is laid otherwise
	BorderFace = "border-face" // another face of a border strip goes inwards
	GlueOrder  = "glue-order"  // the sides of a border go on in another order
	Wait       = "wait"        // a rest between two glue-ups is longer, shorter, or left out
)

// Text is the step in a sentence without its stop.
func (s *Step) Text() string {
	if s.Kind == Wait {
		return s.How + " " + s.Place
	}
	return s.Place + ": " + s.How
}

// steps lists what is done otherwise, in the order of the work.
func (w *work) steps(told *layout.File) []Step {
	var out []Step
	gaps := gapsOf(told)
	wait := func(before func(id string) bool) {
		for _, i := range slices.Sorted(maps.Keys(w.rests)) {
			if was := *gaps[i].at(told); before(gaps[i].before) && !sameRest(was, w.rests[i]) {
				out = append(out, Step{Wait, "before " + gaps[i].what, waitText(was, w.rests[i]), gaps[i].before})
			}
		}
	}
	wait(func(id string) bool { return id == "panels" })
	for _, key := range slices.Sorted(maps.Keys(w.sticks)) {
		for _, p := range exchanges(w.sticks[key]) {
			out = append(out, Step{SwapSticks, fmt.Sprintf("%s.%d and %s.%d", key, p[0]+1, key, p[1]+1), "change places", "panel." + key})
		}
	}
	wait(func(id string) bool { return id == "field" })
	if w.rows != nil {
		rows := told.Field.Build.Rows()
		for _, p := range exchanges(w.rows) {
			out = append(out, Step{SwapSlices, fmt.Sprintf("slices %d and %d", nth(rows, p[0]), nth(rows, p[1])), "change places", "field"})
		}
		for i, from := range w.rows {
			if was := turnOf(rows[from].Turn); was != w.lies[i] {
				out = append(out, Step{TurnSlice, fmt.Sprintf("slice %d", nth(rows, i)), lieWords[w.lies[i]] + " instead of " + strings.TrimPrefix(lieWords[was], "laid "), "field"})
			}
		}
	}
	if w.second != "" && w.second != told.Field.Slices.Turn {
		out = append(out, Step{TurnSlice, "every second slice", lieWords[w.second] + " instead of " + strings.TrimPrefix(lieWords[told.Field.Slices.Turn], "laid "), "field"})
	}
	for i := range told.Borders {
		id := fmt.Sprintf("b%d", i+1)
		wait(func(before string) bool { return before == id })
		place := fmt.Sprintf("border %d", i+1)
		if face, ok := w.faces[i]; ok && face != turnOf(told.Borders[i].Turn) {
			out = append(out, Step{BorderFace, place, faceText(turnOf(told.Borders[i].Turn), face), id})
		}
		if w.sides[i] {
			sides := otherFirst(told.Borders[i].Sides)
			out = append(out, Step{GlueOrder, place, "glue on " + strings.Join(sides, ", then ") + ", instead of " + strings.Join(told.Borders[i].Sides, ", then "), id})
		}
	}
	return out
}

// nth counts the slices down to a row: sticks that are laid in are none.
func nth(rows []layout.SliceOf, row int) (n int) {
	for _, r := range rows[:row+1] {
		if r.Panel != "" {
			n++
		}
	}
	return n
}

// exchanges takes an order apart into pairs that change places, one after the other.
func exchanges(order []int) (pairs [][2]int) {
	o := slices.Clone(order)
	now := counting(len(o))
	for i := range o {
		if now[i] == o[i] {
			continue
		}
		k := slices.Index(now, o[i])
		now[i], now[k] = now[k], now[i]
		pairs = append(pairs, [2]int{i, k})
	}
	return pairs
}

// lieWords tell how a slice is laid.
var lieWords = map[string]string{"none": "laid as it was sawn", "end-for-end": "laid end for end", "over": "laid over", "both": "laid over and end for end"}

// faceText tells another face of a border strip.
func faceText(was, face string) string {
	over := func(turn string) bool { return turn == "over" || turn == "end-for-end" }
	switch {
	case face == around:
		return "its strips turned about their length, so that the other edge goes inwards"
	case face == quarter:
		return "its strips rolled a quarter turn, so that the face goes inwards instead of the edge"
	case over(was) == over(face):
		return "its slices " + lieWords[face] + ", the same face inwards"
	}
	return "its slices " + lieWords[face] + ", so that the other face goes inwards"
}

// waitText tells another rest.
func waitText(was, now *layout.Rest) string {
	days := func(r *layout.Rest) float64 {
		if r == nil {
			return 0
		}
		return r.Days
	}
	text := "do not wait"
	if d := days(now); d > 0 {
		text = "wait " + quantity.Count(int(quantity.Whole(d)), "day")
		if now.Air != nil {
			text += fmt.Sprintf(" in air of %.0f %% humidity at %.0f °C", now.Air.Humidity, now.Air.Temperature)
		}
	}
	switch d := days(was); {
	case d > 0 && days(now) > 0:
		text += fmt.Sprintf(", not %g,", d)
	case d > 0:
		text += fmt.Sprintf(" the %s", quantity.Count(int(quantity.Whole(d)), "day"))
	}
	return text
}

// StepSorts counts steps sort by sort: "2 pairs of sticks to change places".
func StepSorts(steps []Step) []string {
	var out []string
	for _, k := range []struct{ kind, one, many string }{
		{SwapSticks, "1 pair of sticks changes places", "%d pairs of sticks change places"},
		{SwapSlices, "1 pair of slices changes places", "%d pairs of slices change places"},
		{TurnSlice, "1 slice is laid otherwise", "%d slices are laid otherwise"},
		{BorderFace, "1 border shows another face inwards", "%d borders show another face inwards"},
		{GlueOrder, "1 border goes on in another order", "%d borders go on in another order"},
		{Wait, "1 wait is another", "%d waits are others"}} {
		n := 0
		for i := range steps {
			if steps[i].Kind == k.kind {
				n++
			}
		}
		switch {
		case n == 1:
			out = append(out, k.one)
		case n > 1:
			out = append(out, fmt.Sprintf(k.many, n))
		}
	}
	return out
}
