package movement

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/notice"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Keys of the sources the formulas come from.
const (
	srcEMC         = "WH190-EQ4-5"
	srcTotal       = "WH190-EQ13-3"
	srcCoefficient = "WH190-EQ13-2"
	srcRotation    = "TENSOR"
)

// Result is the change of one dimension of one piece.
type Result struct {
	Species   string  `json:"species"`    // canonical id
	Dimension string  `json:"dimension"`  // "width", "thickness" or "length"
	RingAngle float64 `json:"ring_angle"` // degrees, 0 flat-sawn, 90 quarter-sawn
	Form      string  `json:"form"`
	FromMC    float64 `json:"from_mc"`  // % MC
	ToMC      float64 `json:"to_mc"`    // % MC
	Size      float64 `json:"size"`     // mm at FromMC
	Change    float64 `json:"change"`   // mm, positive swells
	NewSize   float64 `json:"new_size"` // mm at ToMC
	Percent   float64 `json:"percent"`  // change in % of Size
	// Skew is the engineering shear [mm/mm] that turns a square section into a
	// diamond when the rings stand between flat and quarter.
	Skew       float64  `json:"skew"`
	Inches     Inches   `json:"inches"`
	Derivation []Step   `json:"derivation"`
	Warnings   []string `json:"warnings"`
	// Notices ask about what is possible but hardly meant.
	Notices notice.List `json:"notices,omitempty"`
}

// Inches says the lengths of a Result in inches: decimals, and the nearest
// fraction down to 1/64.
type Inches struct {
	Size        float64 `json:"size"`
	Change      float64 `json:"change"`
	NewSize     float64 `json:"new_size"`
	SizeText    string  `json:"size_text"`
	ChangeText  string  `json:"change_text"`
	NewSizeText string  `json:"new_size_text"`
}

// Step is one line of a derivation.
type Step struct {
	Name    string  `json:"name"`
	Formula string  `json:"formula"`
	Inputs  []Input `json:"inputs"`
	Result  Input   `json:"result"`
	Source  string  `json:"source"` // of the formula
}

// Input is one number of a derivation with its provenance. Source and Status are
// empty for numbers the user gave and for results of an earlier step.
type Input struct {
	Symbol string  `json:"symbol"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Source string  `json:"source,omitempty"`
	Status string  `json:"status,omitempty"`
}

// Change works out the free change of size the request asks for.
//
// Errors: a fault.List with one entry for each thing wrong in the request (an
// unknown wood with the nearest names, a wood whose shrinkage was never
// published, a size, angle or moisture out of range, a moisture given twice or
// not at all).
func Change(r Request) (Result, error) {
	l := r.faults()
	angle, err := RingAngle(r.Cut)
	l = append(l, fault.Of(fault.At(err, "/cut"))...)
	found, err := wood.FindIn(r.Species, wood.Anywhere)
	l = append(l, fault.Of(fault.At(err, "/species"))...)
	if len(l) > 0 {
		return Result{}, l
	}
	s := found.Species
	asked := notice.List(nil)
	if found.Notice != "" {
		asked = notice.List{{Pointer: "/species", Found: r.Species, Likely: s.ID, Text: found.Notice + "."}}
	}
	w := working{species: s, angle: angle, form: r.Form, dimension: r.Dimension}
	if w.form == "" {
		w.form = Total
	}
	if w.dimension == "" {
		w.dimension = Width
	}
	w.m0 = w.moisture("M_I", r.FromMC, r.From)
	w.m1 = w.moisture("M_F", r.ToMC, r.To)
	strain, skew, err := w.strain()
	if err != nil {
		return Result{}, fault.At(err, "/species")
	}
	change := r.Size * strain
	w.step("change of the "+w.dimension, "ΔD = D_I · e", srcTotal,
		Input{Symbol: "ΔD", Value: change, Unit: "mm"},
		Input{Symbol: "D_I", Value: r.Size, Unit: "mm"}, Input{Symbol: "e", Value: strain, Unit: "mm/mm"})
	size := r.Size + change
	return Result{
		Species: s.ID, Dimension: w.dimension, RingAngle: angle, Form: w.form, FromMC: w.m0, ToMC: w.m1,
		Size: r.Size, Change: change, NewSize: size, Percent: 100 * strain, Skew: skew,
		Inches: Inches{
			Size: quantity.Inches(r.Size), Change: quantity.Inches(change), NewSize: quantity.Inches(size),
			SizeText: quantity.FormatInches(r.Size), ChangeText: quantity.FormatInches(change), NewSizeText: quantity.FormatInches(size),
		},
		Derivation: w.steps, Warnings: w.warnings(), Notices: append(asked, r.notices(w.m0, w.m1, s.FSP())...),
	}, nil
}

// working carries one derivation as it grows.
type working struct {
	species         *wood.Species
	angle           float64 // degrees
	form, dimension string
	m0, m1          float64 // % MC
	steps           []Step
}

func (w *working) step(name, formula, source string, result Input, inputs ...Input) {
	w.steps = append(w.steps, Step{Name: name, Formula: formula, Inputs: inputs, Result: result, Source: source})
}

// moisture returns one end of the change in % MC, deriving it from air if need be.
func (w *working) moisture(symbol string, mc *float64, room *moisture.Room) float64 {
	if mc != nil {
		return *mc
	}
	m, err := room.EMC()
	if err != nil {
		panic("movement: room was checked before: " + err.Error())
	}
	w.step("moisture in balance with the air", symbol+" = EMC(T, RH), two-hydrate sorption theory", srcEMC,
		Input{Symbol: symbol, Value: m, Unit: "% MC"},
		Input{Symbol: "RH", Value: room.Humidity, Unit: "%"}, Input{Symbol: "T", Value: room.Temperature, Unit: "°C"})
	return m
}

// strain is the relative change of the dimension asked for, and the shear.
func (w *working) strain() (e, skew float64, err error) {
	if w.dimension == Length {
		e, err = w.along()
		return e, 0, err
	}
	er, et := w.principal("R"), w.principal("T")
	sin, cos := math.Sincos(w.angle * math.Pi / 180)
	skew = 2 * (et - er) * sin * cos
	formula := "e = e_R sin²θ + e_T cos²θ"
	e = er*sin*sin + et*cos*cos
	if w.dimension == Thickness {
		formula, e = "e = e_R cos²θ + e_T sin²θ", er*cos*cos+et*sin*sin
	}
	w.step("turned to the "+w.dimension+" of the cut", formula, srcRotation,
		Input{Symbol: "e", Value: e, Unit: "mm/mm"},
		Input{Symbol: "θ", Value: w.angle, Unit: "°"}, Input{Symbol: "e_R", Value: er, Unit: "mm/mm"}, Input{Symbol: "e_T", Value: et, Unit: "mm/mm"})
	return e, skew, nil
}

// principal is the relative change along the radial ("R") or tangential ("T") axis.
func (w *working) principal(axis string) float64 {
	s, fsp := w.species, w.species.FSP()
	shrink, coef := s.ShrinkT, s.CT
	if axis == "R" {
		shrink, coef = s.ShrinkR, s.CR
	}
	m0, m1 := math.Min(w.m0, fsp), math.Min(w.m1, fsp)
	name := map[string]string{"R": "radial", "T": "tangential"}[axis]
	ends := []Input{{Symbol: "M_I", Value: m0, Unit: "% MC"}, {Symbol: "M_F", Value: m1, Unit: "% MC"}}
	total := Input{Symbol: "S_" + axis, Value: shrink.V, Unit: "% of the green size", Source: shrink.Source, Status: string(shrink.Status)}
	if w.form == Total {
		_, e, et := s.Swelling(m0, m1)
		if axis == "T" {
			e = et
		}
		w.step(name+" change", fmt.Sprintf("e_%s = (M_F − M_I) / (100·F/S_%s − F + M_I)", axis, axis), srcTotal,
			Input{Symbol: "e_" + axis, Value: e, Unit: "mm/mm"},
			append(ends, total, Input{Symbol: "F", Value: fsp, Unit: "% MC", Source: srcTotal})...)
		return e
	}
	c := Input{Symbol: "C_" + axis, Value: coef.V, Unit: "1/% MC", Source: coef.Source, Status: string(coef.Status)}
	if !coef.Known {
		c.Value, c.Source, c.Status = wood.ChangePerMC(shrink.V, fsp), "", ""
		w.step(name+" coefficient from the total shrinkage", fmt.Sprintf("C_%s = 1 / (100·F/S_%s − F + 10)", axis, axis), srcTotal,
			c, total, Input{Symbol: "F", Value: fsp, Unit: "% MC", Source: srcTotal})
	}
	e := c.Value * (m1 - m0)
	w.step(name+" change", fmt.Sprintf("e_%s = C_%s · (M_F − M_I)", axis, axis), srcCoefficient,
		Input{Symbol: "e_" + axis, Value: e, Unit: "mm/mm"}, append(ends, c)...)
	return e
}

// along is the relative change along the fibres, by the same linear law; no
// coefficient is published for it.
func (w *working) along() (float64, error) {
	v := w.species.LongitudinalShrinkage()
	if !v.Known {
		return 0, fault.List{{Rule: fault.MissingData, Detail: "no shrinkage along the fibres is published for " + w.species.CommonName,
			Found: w.species.ID}}
	}
	fsp := w.species.FSP()
	m0, m1 := math.Min(w.m0, fsp), math.Min(w.m1, fsp)
	e, _, _ := w.species.Swelling(m0, m1)
	w.step("change along the fibres", "e_L = (M_F − M_I) / (100·F/S_L − F + M_I)", srcTotal,
		Input{Symbol: "e", Value: e, Unit: "mm/mm"},
		Input{Symbol: "M_I", Value: m0, Unit: "% MC"}, Input{Symbol: "M_F", Value: m1, Unit: "% MC"},
		Input{Symbol: "S_L", Value: v.V, Unit: "% of the green size", Source: v.Source, Status: string(v.Status)},
		Input{Symbol: "F", Value: fsp, Unit: "% MC", Source: srcTotal})
	return e, nil
}
