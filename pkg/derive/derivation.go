package derive

import (
	"fmt"
	"math"
	"slices"

	"github.com/tanrad/tanrad/pkg/formula"
	"github.com/tanrad/tanrad/pkg/source"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Derivation is one chain of steps to a number of a report, from the air on.
type Derivation struct {
	Of         string            `json:"of"`   // joint id, or the word for what is derived
	Text       string            `json:"text"` // what is derived, in a sentence
	Steps      []Step            `json:"steps"`
	Compare    []Comparison      `json:"compare"`    // the sum by hand beside the solver
	Difference float64           `json:"difference"` // largest relative difference between a formula worked out from its printed inputs and the number of the program
	Sources    []source.Citation `json:"sources"`    // every work that a step names
}

// Step is one line.
type Step struct {
	ID      string   `json:"id"`             // symbol of its result, with a number behind it where another step has it
	Part    string   `json:"part,omitempty"` // of a derivation of several moments: which
	Name    string   `json:"name"`
	Formula string   `json:"formula,omitempty"` // left out where the number is solved or looked up
	MathML  string   `json:"mathml,omitempty"`
	Inputs  []Number `json:"inputs"`
	Result  Number   `json:"result"`
	Sources []string `json:"sources"` // keys, of the formula
	Note    string   `json:"note,omitempty"`
}

// Number is one number with its provenance.
type Number struct {
	Symbol string  `json:"symbol"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Step   string  `json:"step,omitempty"`   // the step whose result it is
	Source string  `json:"source,omitempty"` // key
	Status string  `json:"status,omitempty"`
	Note   string  `json:"note,omitempty"`
}

// Comparison is one number by hand and by the solver.
type Comparison struct {
	What   string  `json:"what"`
	Hand   float64 `json:"hand"`
	Solver float64 `json:"solver"`
	Unit   string  `json:"unit"`
	Why    string  `json:"why"` // what makes them differ
}

// work carries a derivation as it grows.
type work struct {
	d    *Derivation
	part string // of the steps that come
	err  error  // the first formula that could not be worked out
}

// step adds a step and gives its result as what follows takes it.
func (w *work) step(s Step) Number {
	s.ID, s.Part = s.Result.Symbol, w.part
	for n := 2; slices.ContainsFunc(w.d.Steps, func(o Step) bool { return o.ID == s.ID }); n++ {
		s.ID = fmt.Sprintf("%s.%d", s.Result.Symbol, n)
	}
	w.d.Steps = append(w.d.Steps, s)
	n := s.Result
	n.Step = s.ID
	return n
}

// fail keeps the first thing that went wrong.
func (w *work) fail(err error) {
	if w.err == nil {
		w.err = err
	}
}

// done is the derivation with the works that it names.
func (w *work) done() (*Derivation, error) {
	w.cite()
	return w.d, w.err
}

// reckon adds a step that is worked out from its inputs.
func (w *work) reckon(name, text, unit string, sources []string, in ...Number) Number {
	v, ok := w.value(text, in)
	if !ok {
		return Number{}
	}
	return w.add(name, text, unit, v, sources, "", in)
}

// holds adds a step whose number the program has: the formula is worked out from
// the inputs that are printed, and how far it is off is kept.
func (w *work) holds(name, text, unit string, is float64, sources []string, note string, in ...Number) Number {
	v, ok := w.value(text, in)
	if !ok {
		return Number{}
	}
	if off := math.Abs(v - is); off > 0 {
		w.d.Difference = math.Max(w.d.Difference, off/math.Max(roundOff, math.Max(math.Abs(is), math.Abs(v))))
	}
	return w.add(name, text, unit, is, sources, note, in)
}

// roundOff is below every number of a derivation that is not nothing: a cosine of 90°
// is 6e-17 in one form and 0 in the other.
const roundOff = 1e-6

func (w *work) value(text string, in []Number) (float64, bool) {
	f, err := formula.Parse(text)
	given := make(map[string]float64, len(in))
	for _, n := range in {
		given[n.Symbol] = n.Value
	}
	v := 0.0
	if err == nil {
		v, err = f.Value(given)
	}
	if err != nil {
		w.fail(fmt.Errorf("derive: %w", err))
	}
	return v, err == nil
}

// solved adds a number that no formula of one line gives.
func (w *work) solved(name, symbol, unit string, is float64, sources []string, note string, in ...Number) Number {
	return w.step(Step{Name: name, Inputs: list(in), Result: Number{Symbol: symbol, Value: is, Unit: unit}, Sources: list(sources), Note: note})
}

func (w *work) add(name, text, unit string, v float64, sources []string, note string, in []Number) Number {
	f := formula.Must(text)
	return w.step(Step{Name: name, Formula: text, MathML: f.MathML(), Inputs: list(in), Result: Number{Symbol: f.Symbol(), Value: v, Unit: unit}, Sources: list(sources), Note: note})
}

func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}

// cite lists the works that the steps name.
func (w *work) cite() {
	keys := map[string]bool{}
	for _, s := range w.d.Steps {
		for _, k := range s.Sources {
			keys[k] = true
		}
		for _, n := range s.Inputs {
			keys[n.Source] = true
		}
	}
	w.d.Sources = []source.Citation{}
	for k := range keys {
		if c, ok := source.Of(k); ok {
			w.d.Sources = append(w.d.Sources, c)
		}
	}
	slices.SortFunc(w.d.Sources, func(a, b source.Citation) int {
		if a.Key < b.Key {
			return -1
		}
		return 1
	})
}

func given(symbol string, v float64, unit, note string) Number {
	return Number{Symbol: symbol, Value: v, Unit: unit, Note: note}
}

// looked is a figure of a table.
func looked(symbol string, v wood.Value, unit string) Number {
	return Number{Symbol: symbol, Value: v.V, Unit: unit, Source: v.Source, Status: string(v.Status), Note: v.Note}
}

// as is a number under the symbol that a formula has for it.
func (n Number) as(symbol string) Number {
	n.Symbol = symbol
	return n
}
