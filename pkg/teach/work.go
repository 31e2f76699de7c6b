package teach

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"text/template"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/derive"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/source"
)

// Work works a lesson out. Errors: a fault of rule unknown-name without a place;
// that of ctx.
func Work(ctx context.Context, name string) (*Lesson, error) {
	p, err := find(name)
	if err != nil {
		return nil, err
	}
	l := &Lesson{Heading: Heading{p.Name, p.Title, p.Question}, Choices: p.Choices, Change: p.Change, Board: p.Board, Ask: p.Ask, Outside: p.Outside, Practice: p.Practice}
	values := map[string]float64{}
	for i := range p.Readings {
		r, err := p.read(ctx, &p.Readings[i], values)
		if err != nil {
			return nil, fmt.Errorf("teach: lesson %s, reading %s: %w", name, p.Readings[i].ID, err)
		}
		if math.Abs(r.Value) < roundOff {
			r.Value = 0
		}
		values[r.ID] = r.Value
		l.Readings = append(l.Readings, r)
	}
	l.Right = p.Right.choice(values, len(p.Choices))
	if l.Answer, err = fill(p.Answer, values); err != nil {
		return nil, err
	}
	if l.Reply, err = fill(p.Reply, values); err != nil {
		return nil, err
	}
	return l, p.experiment(l)
}

// choice is the index of the choice that values bear out.
func (r rule) choice(values map[string]float64, choices int) int {
	q := values[r.Of] / values[r.Over]
	if r.Absolute > 0 && math.Abs(values[r.Of]-values[r.Over]) > r.Absolute { // beside nothing, anything is more
		q = math.Inf(1)
	}
	n := 0
	for _, b := range r.Bounds {
		if q >= b {
			n++
		}
	}
	if r.Falling {
		n = len(r.Bounds) - n
	}
	return min(n, choices-1)
}

// wet and dry are the salts of the experiments.
const wet, dry = "table-salt", "magnesium-chloride"

// experiment fills in the air of the boxes and the prediction for the two of them.
func (p *plan) experiment(l *Lesson) error {
	salts, err := Salts()
	if err != nil {
		return err
	}
	damp, arid := salts[wet], salts[dry]
	l.Experiment.Air = []SaltAir{arid, damp}
	box := func(s SaltAir) string { return fmt.Sprintf("%s (%.0f %% humidity)", s.Salt, s.Humidity) }
	t, err := template.New("experiment").Option("missingkey=error").Parse(p.Do.Do)
	if err != nil {
		return err
	}
	var b strings.Builder
	if err := t.Execute(&b, map[string]string{"Dry": box(arid), "Damp": box(damp)}); err != nil {
		return err
	}
	l.Experiment.Do = b.String()
	l.Experiment.Prediction = fmt.Sprintf("Between the two boxes wood goes from %.1f to %.1f %% moisture, at %d °C.", arid.Moisture, damp.Moisture, classroom)
	for i := range p.Readings {
		a := &p.Readings[i]
		if a.ID == p.Do.Reading && a.Movement != nil {
			m := *a.Movement
			m.FromMC, m.ToMC = arid.Moisture, damp.Moisture
			r, err := movement.Change(m.request())
			if err != nil {
				return err
			}
			l.Experiment.Prediction += fmt.Sprintf(" A piece of %.0f mm, measured dry, gains %.2f mm: %.2f %%.", m.Size, r.Change, r.Percent)
			return nil
		}
	}
	for i := range l.Readings {
		if r := &l.Readings[i]; r.ID == p.Do.Reading {
			l.Experiment.Prediction += fmt.Sprintf(" What the sum says of the lesson's own piece is %s: %s.", r.Figure(), r.Label)
		}
	}
	return nil
}

func number(v float64) string { return digits(v, 'g', 3) }

// roundOff is below every figure of a lesson that is not nothing.
const roundOff = 1e-9

// digits prints every figure of a lesson: so many digits, in all of format 'g', behind
// the point of 'f'. What is nothing but round-off, or rounds to nothing, is 0 and not −0.
func digits(v float64, format byte, n int) string {
	if math.Abs(v) < roundOff {
		v = 0
	}
	text := strconv.FormatFloat(v, format, n, 64)
	if v < 0 && strings.Trim(text, "-0.") == "" {
		return text[1:]
	}
	return text
}

func (m *piece) request() movement.Request {
	return movement.Request{Species: m.Species, Size: m.Size, Cut: strings.Trim(string(m.Cut), `"`), FromMC: &m.FromMC, ToMC: &m.ToMC}
}

// read gets one reading; values holds those before it.
func (p *plan) read(ctx context.Context, a *ask, values map[string]float64) (Reading, error) {
	r := Reading{ID: a.ID, Label: a.Label}
	switch {
	case a.Constant != nil:
		r.Value, r.Unit = *a.Constant, "mm"
		return r, nil
	case len(a.Less) == 2:
		r.Value, r.Unit = values[a.Less[0]]-values[a.Less[1]], "mm"
		return r, nil
	case a.Movement != nil:
		m, err := movement.Change(a.Movement.request())
		if err != nil {
			return r, err
		}
		r.Derivation = m.Derivation
		switch a.Take {
		case "percent":
			r.Value, r.Unit = m.Percent, "%"
		case "skew":
			r.Value, r.Unit = m.Skew, "mm/mm"
		default:
			r.Value, r.Unit = m.Change, "mm"
		}
		return r, nil
	case a.Pair != nil:
		q, err := pair.Read(a.Pair)
		if err != nil {
			return r, err
		}
		q.Derivation = true
		m, err := pair.Pair(ctx, q)
		if err != nil {
			return r, err
		}
		r.Derivation, r.Verdict = m.Derivation, string(m.Verdict)
		if r.Value, r.Unit = m.Utilisation, OfWhatItBears; a.Take == "mismatch" {
			r.Value, r.Unit = 100*m.Mismatch.Along, "%"
		}
		return r, nil
	}
	return r, p.check(ctx, a, &r)
}

// OfWhatItBears is the unit of a utilisation.
const OfWhatItBears = "of what it bears"

const hoursPerDay = 24

// check reads a figure off a check of the lesson's board as changed.
func (p *plan) check(ctx context.Context, a *ask, r *Reading) error {
	src, err := with(p.Board, a.Board)
	if err != nil {
		return err
	}
	b, err := layout.Read(src)
	if err != nil {
		return err
	}
	c := check.Conditions{NoChance: true, NoHistories: a.Exposure == ""}
	if a.Exposure != "" {
		c.Events = []moisture.Event{{Name: a.Exposure}}
	}
	if a.Shift != 0 {
		c.Shifts = []float64{a.Shift}
	}
	c.Explain = a.explain()
	report, err := check.Board(ctx, b, c)
	if err != nil {
		return err
	}
	wanted := func(s *derive.Step) bool { return classSteps[s.ID] }
	if a.Take == "cup" { // the board may lie worst at another moment than it cups most
		part := cupsIn(report.Derivation, report.Exposures[0].Cup)
		wanted = func(s *derive.Step) bool { return s.Part == part && classSteps[s.Result.Symbol] }
	}
	r.Derivation = short(report.Derivation, wanted)
	if a.Exposure != "" {
		e := &report.Exposures[0]
		switch a.Take {
		case "cup":
			r.Value, r.Unit = e.Cup, "mm"
		case "ninety_days":
			if len(e.Responses) == 0 || e.Responses[0].Ninety == nil {
				return fmt.Errorf("no response to tell")
			}
			r.Value, r.Unit = *e.Responses[0].Ninety/hoursPerDay, "days"
		default:
			r.Value, r.Unit, r.Verdict = e.Utilisation, OfWhatItBears, string(report.Words.Of(e.Utilisation)) // of cracks, whatever else happens in it
		}
		return nil
	}
	at := -1 // the state that was asked for: the named one, or the shift, which comes last
	for i := range report.States {
		if a.State == report.States[i].Name || a.State == "" {
			at = i
		}
	}
	if at < 0 {
		return fmt.Errorf("no state %q", a.State)
	}
	s := &report.States[at]
	if a.Take == "width" {
		r.Value, r.Unit = s.Width, "mm"
		return nil
	}
	r.Value, r.Unit, r.Verdict = s.Utilisation, OfWhatItBears, string(s.Verdict)
	if report.Worst != nil && report.Worst.State == s.Name {
		r.Why = report.Worst.Why
	}
	return nil
}

// explain is the word for the numbers behind a reading of a check; "" for none.
func (a *ask) explain() string {
	state := a.State
	if a.Shift != 0 {
		state = fmt.Sprintf("shift-%+g", a.Shift)
	}
	switch {
	case a.Take == "width":
		return check.WhySize + "@" + state
	case a.Take == "ninety_days":
		return check.WhyResponses
	case a.Take == "cup":
		return check.OutOfFlat + "@" + a.Exposure
	case a.Exposure == "":
		return check.WhyWorst + "@" + state
	}
	return ""
}

// classSteps are the steps of a derivation that a class follows, by their symbols: what
// moves, what keeps it, stress, energy, the figure. The bench opens all of them.
var classSteps = map[string]bool{"Δm_A": true, "ε_A": true, "ε_B": true, "Δ": true, "P": true, "S": true, "G": true, "G_c": true, "Q": true, "v": true,
	"D": true, "h_90": true, "t_90": true, "Δm_1": true, "g_1": true, "κ_c": true, "c": true, "ΔB": true}

// cupsIn is the part of a derivation that comes to a cup, mm.
func cupsIn(d *derive.Derivation, cup float64) string {
	for i := range d.Steps {
		if s := &d.Steps[i]; s.Result.Symbol == "c" && math.Abs(s.Result.Value-cup) < roundOff {
			return s.Part
		}
	}
	return ""
}

// short is a derivation as a class follows it.
func short(d *derive.Derivation, wanted func(*derive.Step) bool) []movement.Step {
	if d == nil {
		return nil
	}
	var out []movement.Step
	for i := range d.Steps {
		s := &d.Steps[i]
		if !wanted(s) {
			continue
		}
		step := movement.Step{Name: s.Name, Formula: s.Formula, Inputs: []movement.Input{}, Result: inputOf(s.Result)}
		if s.Formula == "" {
			step.Formula = "solved: " + strings.TrimPrefix(s.Note, "solved: ")
		}
		for _, n := range s.Inputs {
			step.Inputs = append(step.Inputs, inputOf(n))
		}
		for i, k := range s.Sources {
			if i > 0 {
				step.Source += " "
			}
			work, _, _ := strings.Cut(source.Text(k), ". ") // author and title: a page has room for no more
			step.Source += work + "."
		}
		out = append(out, step)
	}
	return out
}

func inputOf(n derive.Number) movement.Input {
	return movement.Input{Symbol: n.Symbol, Value: n.Value, Unit: n.Unit, Source: n.Source, Status: n.Status}
}

// with is a board file with other values at some pointers.
func with(src json.RawMessage, changes map[string]json.RawMessage) ([]byte, error) {
	var root any
	if err := json.Unmarshal(src, &root); err != nil {
		return nil, err
	}
	for pointer, value := range changes {
		var v any
		if err := json.Unmarshal(value, &v); err != nil {
			return nil, err
		}
		keys := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
		at := root
		for i, key := range keys {
			last := i == len(keys)-1
			switch o := at.(type) {
			case map[string]any:
				if last {
					o[key] = v
				}
				at = o[key]
			case []any:
				n, err := strconv.Atoi(key)
				if err != nil || n < 0 || n >= len(o) {
					return nil, fmt.Errorf("no place %s", pointer)
				}
				if last {
					o[n] = v
				}
				at = o[n]
			default:
				return nil, fmt.Errorf("no place %s", pointer)
			}
		}
	}
	return json.Marshal(root)
}

// fill tells figures in a sentence.
func fill(text string, values map[string]float64) (string, error) {
	f := func(n int) func(float64) string {
		return func(v float64) string { return digits(v, 'f', n) }
	}
	t, err := template.New("answer").Option("missingkey=error").Funcs(template.FuncMap{
		"f0": f(0), "f1": f(1), "f2": f(2), "abs": math.Abs,
		"ratio":   func(a, b float64) float64 { return a / b },
		"times":   func(a, b float64) float64 { return a * b },
		"degrees": func(rad float64) float64 { return rad * 180 / math.Pi },
		"percent": func(u float64) string { return fmt.Sprintf("%.0f %%", 100*u) },
		"wedge":   wedge,
	}).Parse(text)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	err = t.Execute(&b, values)
	return b.String(), err
}

// wedge is the angle [degrees] that a disc lacks when its rim changes by rim % and
// its radius by ray %: the rim is short of 2π times the radius by their difference.
func wedge(rim, ray float64) float64 { return 360 * ((1 + ray/100) - (1 + rim/100)) / (1 + ray/100) }
