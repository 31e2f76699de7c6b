package api

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// Bounds of a job.
const (
	mostVariants = 10_000
	mostAxes     = 12
	mostValues   = 1000
)

// jobSpec is a job as it is kept for workers.
type jobSpec struct {
	Kind       string            `json:"kind"`       // one of longKinds, or "sweep"
	Parameters url.Values        `json:"parameters"` // as of the route of the kind
	Fields     []string          `json:"fields,omitempty"`
	Board      json.RawMessage   `json:"board,omitempty"`
	Boards     []json.RawMessage `json:"boards,omitempty"`
	Axes       []axis            `json:"axes,omitempty"`
}

// axis is one thing that a sweep varies: what stands at places of the board file,
// or a parameter; or the board is drawn at random, see draws.go.
type axis struct {
	At        []string          `json:"at,omitempty"`
	Parameter string            `json:"parameter,omitempty"`
	Values    []json.RawMessage `json:"values,omitempty"`
	Draws     int               `json:"draws,omitempty"`
	Seed      uint64            `json:"seed,omitempty"`
	Scatter   []scatter         `json:"scatter,omitempty"`
}

// count is how many variants an axis has.
func (a *axis) count() int { return max(len(a.Values), a.Draws) }

const kindSweep = "sweep"

// units is how many questions a job is made of.
func (j *jobSpec) units() int {
	if j.Kind != kindSweep {
		return 1
	}
	n := max(1, len(j.Boards))
	for i := range j.Axes {
		n *= j.Axes[i].count()
	}
	return n
}

// asked is the kind of question every unit asks.
func (j *jobSpec) asked() string {
	if j.Kind == kindSweep {
		return "check"
	}
	return j.Kind
}

// variant gives the board and the parameters of one unit: the last axis turns
// fastest, the boards slowest.
func (j *jobSpec) variant(unit int) (board []byte, parameters url.Values, err error) {
	parameters = url.Values{}
	for k, v := range j.Parameters {
		parameters[k] = v
	}
	if j.Kind != kindSweep {
		return j.Board, parameters, nil
	}
	choice, which := j.choices(unit)
	board = j.Board
	if len(j.Boards) > 0 {
		board = j.Boards[which]
	}
	var tree any
	var rings []uint64 // seeds of what is drawn
	for i := range j.Axes {
		a := &j.Axes[i]
		if a.Parameter != "" {
			parameters[a.Parameter] = []string{asText(a.Values[choice[i]])}
			continue
		}
		if tree == nil {
			if tree, err = decode(board); err != nil {
				return nil, nil, err
			}
		}
		if a.Draws > 0 {
			values, seed := a.drawn(choice[i])
			rings = append(rings, seed)
			for k, v := range values {
				if tree, err = setAll(tree, a.Scatter[k].At, v); err != nil {
					return nil, nil, err
				}
			}
			continue
		}
		v, err := decode(a.Values[choice[i]])
		if err != nil {
			return nil, nil, err
		}
		if tree, err = setAll(tree, a.At, v); err != nil {
			return nil, nil, err
		}
	}
	if tree != nil {
		board, err = json.Marshal(tree)
	}
	for _, seed := range rings {
		board = answer.DrawRings(board, seed)
	}
	return board, parameters, err
}

// setAll puts a value at every place. The error is a fault at the one that is not there.
func setAll(tree any, places []string, v any) (_ any, err error) {
	for _, at := range places {
		if tree, err = set(tree, at, v); err != nil {
			return nil, fault.List{{Rule: fault.WrongType, Pointer: at, Detail: "the board has no such place: " + err.Error(), Allowed: "a place that is there, or a key of an object that is"}}
		}
	}
	return tree, nil
}

// choices tells which value of every axis and which board a unit has.
func (j *jobSpec) choices(unit int) (values []int, board int) {
	values = make([]int, len(j.Axes))
	for i := len(j.Axes) - 1; i >= 0; i-- {
		n := j.Axes[i].count()
		values[i], unit = unit%n, unit/n
	}
	return values, unit
}

// blame gives faults of the board of a unit the place in the job that brought them
// there: the value of an axis, or the board.
func (j *jobSpec) blame(l fault.List, unit int) fault.List {
	values, which := j.choices(unit)
	out := make(fault.List, len(l))
	for k, f := range l {
		pointer := "/board" + f.Pointer
		if len(j.Boards) > 0 {
			pointer = "/boards/" + itoa(which) + f.Pointer
		}
		under := func(places []string, axis string) {
			for _, at := range places {
				if rest, below := strings.CutPrefix(f.Pointer, at); below && (rest == "" || rest[0] == '/') {
					pointer = axis + rest
				}
			}
		}
		for i, a := range j.Axes {
			under(a.At, "/axes/"+itoa(i)+"/values/"+itoa(values[i]))
			for n := range a.Scatter {
				under(a.Scatter[n].At, "/axes/"+itoa(i)+"/scatter/"+itoa(n))
			}
		}
		f.Pointer = pointer
		out[k] = f
	}
	return out
}

// decode reads JSON and keeps its numbers as they are written.
func decode(src []byte) (v any, err error) {
	d := json.NewDecoder(strings.NewReader(string(src)))
	d.UseNumber()
	return v, d.Decode(&v)
}

// asText is a value as it stands in a query.
func asText(v json.RawMessage) string {
	var s string
	if json.Unmarshal(v, &s) == nil {
		return s
	}
	return string(v)
}

// set puts a value at a JSON pointer; the last key of an object may be new.
func set(tree any, pointer string, v any) (any, error) {
	if pointer == "" {
		return v, nil
	}
	head, rest, deeper := strings.Cut(strings.TrimPrefix(pointer, "/"), "/")
	key := strings.NewReplacer("~1", "/", "~0", "~").Replace(head)
	below := ""
	if deeper {
		below = "/" + rest
	}
	switch t := tree.(type) {
	case map[string]any:
		inner, there := t[key]
		if !there && deeper {
			return nil, fmt.Errorf("there is nothing at /%s", head)
		}
		changed, err := set(inner, below, v)
		if err == nil {
			t[key] = changed
		}
		return t, err
	case []any:
		i, err := strconv.Atoi(key)
		if err != nil || i < 0 || i >= len(t) {
			return nil, fmt.Errorf("the list has no entry %s", head)
		}
		changed, err := set(t[i], below, v)
		if err == nil {
			t[i] = changed
		}
		return t, err
	}
	return nil, fmt.Errorf("there is nothing below /%s", head)
}

// readJob takes a job from a body. Faults point into it.
func readJob(src []byte) (*jobSpec, error) {
	doc, err := strictjson.Parse(src, strictjson.Limits{})
	if err != nil {
		return nil, err
	}
	root := doc.Root().Object("kind", "parameters", "fields", "board", "boards", "axes")
	if root == nil {
		return nil, doc.Err()
	}
	j := &jobSpec{Parameters: url.Values{}}
	kinds := []string{"check", "improve", "windows", "advice", "plan", kindSweep}
	if w, ok := root.Need("kind").Word(kinds...); ok {
		j.Kind = w
	}
	var body struct { // strict has read it as JSON; keys in other letters were refused by it
		Parameters map[string]json.RawMessage `json:"parameters"`
		Fields     []string                   `json:"fields"`
		Board      json.RawMessage            `json:"board"`
		Boards     []json.RawMessage          `json:"boards"`
		Axes       []axis                     `json:"axes"`
	}
	for _, part := range []struct {
		name string
		kind strictjson.Kind
		word string
	}{{"parameters", strictjson.Object, "an object"}, {"fields", strictjson.List, "a list of texts"}, {"board", strictjson.Object, "a board file"}, {"boards", strictjson.List, "a list of board files"}, {"axes", strictjson.List, "a list"}} {
		if v := root.Get(part.name); v.Here() && v.Kind() != part.kind {
			v.Fault(fault.WrongType, part.word+" is needed here", part.word)
		}
	}
	if v := root.Get("axes"); v.Here() && v.Kind() == strictjson.List {
		for _, a := range v.Children() {
			one := a.Object("at", "parameter", "values", "draws", "seed", "scatter")
			if one == nil {
				continue
			}
			if v := one.Get("scatter"); v.Here() && v.Kind() == strictjson.List {
				for _, s := range v.Children() {
					s.Object("at", "mean", "sd", "from", "to")
				}
			}
		}
	}
	if err := doc.Err(); err != nil {
		return nil, err
	}
	if err := json.Unmarshal(src, &body); err != nil {
		return nil, fault.List{{Rule: fault.WrongType, Detail: "the job has values of another type than its form", Allowed: "see the contract"}}
	}
	j.Fields, j.Board, j.Boards, j.Axes = body.Fields, body.Board, body.Boards, body.Axes
	var faults fault.List
	for name, raw := range body.Parameters {
		var list []json.RawMessage
		if json.Unmarshal(raw, &list) != nil {
			list = []json.RawMessage{raw}
		}
		for _, v := range list {
			j.Parameters[name] = append(j.Parameters[name], asText(v))
		}
	}
	sweep := j.Kind == kindSweep
	bad := func(rule fault.Rule, pointer, detail, found, allowed string) {
		faults = append(faults, fault.Fault{Rule: rule, Pointer: pointer, Detail: detail, Found: found, Allowed: allowed})
	}
	switch {
	case !sweep && j.Board == nil:
		bad(fault.MissingKey, "/board", "the key is missing", "", "a board file")
	case sweep && (j.Board == nil) == (len(j.Boards) == 0):
		bad(fault.MissingKey, "/board", "a sweep needs a board to vary or a list of boards", "", "board or boards, one of them")
	case sweep && len(j.Axes) == 0 && len(j.Boards) == 0:
		bad(fault.MissingKey, "/axes", "nothing is varied", "", "axes, or a list of boards")
	case !sweep && (len(j.Axes) > 0 || len(j.Boards) > 0):
		bad(fault.NotAllowed, "/axes", "only a sweep has variants", j.Kind, "kind sweep")
	}
	if len(j.Axes) > mostAxes {
		bad(fault.WrongLength, "/axes", "too many axes", itoa(len(j.Axes)), "at most "+itoa(mostAxes))
	}
	count := float64(max(1, len(j.Boards)))
	for i, a := range j.Axes {
		at := "/axes/" + itoa(i)
		places := func(of []string, at string) {
			for k, p := range of {
				if !strings.HasPrefix(p, "/") || len(p) > 200 {
					bad(fault.WrongType, at+"/at/"+itoa(k), "not a JSON pointer below the board", fault.Short(p), "as /stock/M/species")
				}
			}
		}
		if a.random() {
			wrong := j.drawFaults(&a, at)
			for k := range a.Scatter {
				places(a.Scatter[k].At, at+"/scatter/"+itoa(k))
			}
			if faults = append(faults, wrong...); len(wrong) == 0 {
				count *= float64(a.Draws)
			}
			continue
		}
		count *= float64(max(1, len(a.Values)))
		if (len(a.At) == 0) == (a.Parameter == "") {
			bad(fault.MissingKey, at, "an axis varies places of the board or a parameter, or draws at random", "", "at or parameter or draws, one of them")
		}
		places(a.At, at)
		if len(a.Values) == 0 || len(a.Values) > mostValues {
			bad(fault.WrongLength, at+"/values", "an axis has values", itoa(len(a.Values)), "1 to "+itoa(mostValues))
		}
	}
	if count > mostVariants {
		bad(fault.TooLarge, "/axes", "the sweep has too many variants", fmt.Sprintf("%.0f variants", count), "at most "+itoa(mostVariants))
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return j, j.try()
}

// mostTries is how many variants are read before a sweep is taken.
const mostTries = 200

// try reads the question of a job, and of a sweep one variant with every value of
// every axis and every board, as far as mostTries goes, so that what can be refused
// at once is. A fault that only meets later is the answer of its own unit.
func (j *jobSpec) try() error {
	tries := map[int]bool{0: true}
	step := 1
	for i := len(j.Axes) - 1; i >= 0; i-- {
		n := j.Axes[i].count()
		for k := range min(n, mostTries) {
			tries[k*step] = true
		}
		step *= n
	}
	for k := range j.Boards {
		tries[k*step] = true
	}
	for i, unit := range slices.Sorted(maps.Keys(tries)) {
		if i >= mostTries {
			break
		}
		board, parameters, err := j.variant(unit)
		if l := fault.Of(err); l != nil {
			return j.blame(l, unit)
		} else if err != nil {
			return err
		}
		r := readValues(parameters, longKinds[j.asked()].names...)
		read := longKinds[j.asked()].read(r, nil, nil)
		if len(r.faults) > 0 {
			return r.faults.At("/parameters")
		}
		if _, err := read(board); errors.As(err, new(answer.Parameters)) {
			return fault.Of(err).At("/parameters")
		} else if l := fault.Of(err); l != nil {
			return j.blame(l, unit)
		} else if err != nil {
			return err
		}
	}
	return nil
}
