package answer

import (
	"bytes"
	"context"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/picture"
	"github.com/tanrad/tanrad/pkg/plan"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/report"
	"github.com/tanrad/tanrad/pkg/sheet"
)

// PlanQuery says what a board file does not: the shop that makes the board. Lengths
// are texts, in the file's units or with their own.
type PlanQuery struct {
	BoardQuery `validate:"-"`
	Shop       string   `json:"shop"`                       // air, as ParseAir reads it; "" is the file's glue_up
	Month      *int     `json:"month"`                      // 1 is January; nil is none
	Workshop   string   `json:"workshop" validate:"max=60"` // climate of the shop in that month
	Arrival    []string `json:"arrival" validate:"max=100"` // "12" for all stock, "M=12" for one
	Prices     []string `json:"price" validate:"max=100"`   // "M=60": a m³ for files in mm, a board foot for files in inches
	Kerf       string   `json:"kerf" validate:"max=64"`
	Trim       string   `json:"trim" validate:"max=64"`
	Longest    string   `json:"longest" validate:"max=64"`
	Clamp      *float64 `json:"clamp"`   // kN
	Defects    *float64 `json:"defects"` // share
	Pace       *float64 `json:"pace"`    // min per m²
	Inches     bool     `json:"-"`       // texts in inches, whatever the file speaks
}

// Forms of a plan.
const (
	PlanJSON = "json"
	PlanText = "text"
	PlanPage = "page" // HTML to print
	PlanCard = "card" // its care card alone
)

// Plan works out how the board of a file is made. Errors: a fault.List of the file,
// Parameters for the query, that of the context.
func Plan(ctx context.Context, src []byte, q PlanQuery, m *Memory) (*plan.Plan, error) {
	return answered[*plan.Plan](ctx)(AskPlan(src, q, PlanJSON, m))
}

// PrintPlan prints the plan of a board file. Errors as Plan.
func PrintPlan(ctx context.Context, src []byte, p *plan.Plan) ([]byte, error) {
	_, b, err := layout.Open(src, layout.Limits{})
	if err != nil {
		return nil, err
	}
	page, err := planAs(ctx, b, p, PlanPage)
	if err != nil {
		return nil, err
	}
	return page.([]byte), nil
}

// AskPlan reads a board file for Plan; the answer has the form asked for, a *plan.Plan
// or bytes.
func AskPlan(src []byte, q PlanQuery, form string, m *Memory) (*Question, error) {
	if err := validate(&q).Err(); err != nil {
		return nil, Parameters{err}
	}
	f, b, cond, err := readFor(src, q.BoardQuery, m)
	if err != nil {
		return nil, err
	}
	shop, faults := q.shop(f)
	if faults = append(faults, unread(faults, shop.Faults(b))...); len(faults) > 0 {
		return nil, Parameters{parameters(faults)}
	}
	return &Question{ask: func(ctx context.Context) (any, error) {
		p, err := plan.Make(ctx, f, shop, cond)
		if err != nil {
			return nil, sorted(err)
		}
		return planAs(ctx, b, p, form)
	}}, nil
}

// planAs gives a plan the form asked for.
func planAs(ctx context.Context, b *layout.Board, p *plan.Plan, form string) (any, error) {
	switch form {
	case PlanJSON:
		return p, nil
	case PlanPage:
		order, err := picture.Draw(ctx, b, check.Conditions{}, picture.Options{View: picture.ViewSlices})
		if err != nil && fault.Of(err) == nil {
			return nil, err
		}
		return sheet.Plan(p, order) // without a picture where the board tells no build
	case PlanCard:
		return sheet.Card(p)
	}
	var text bytes.Buffer
	err := report.Plan(&text, p, report.Style{})
	return text.Bytes(), err
}

// shop reads the query. Faults have pointers of plan.Shop.
func (q *PlanQuery) shop(f *layout.File) (s plan.Shop, l fault.List) {
	s = plan.Shop{Inches: q.Inches, Workshop: q.Workshop, Clamp: q.Clamp, Defects: q.Defects, Pace: q.Pace}
	switch {
	case q.Month == nil:
	case *q.Month == 0: // no month, to a plan.Shop
		l = append(l, fault.Range("/month", "month", 0, 1, 12, "")...)
	default:
		s.Month = *q.Month
	}
	if q.Shop != "" {
		room, err := ParseAir(q.Shop)
		if err != nil {
			l = append(l, place(err, "/air")...)
		} else {
			s.Air = &room.Room
		}
	}
	for _, v := range []struct {
		name, text string
		to         **float64
	}{{"kerf", q.Kerf, &s.Kerf}, {"trim", q.Trim, &s.Trim}, {"longest", q.Longest, &s.Longest}} {
		if v.text == "" {
			continue
		}
		mm, err := quantity.ParseLength(v.text, quantity.Unit(f.Units))
		if err != nil {
			l = append(l, place(err, "/"+v.name)...)
			continue
		}
		*v.to = &mm
	}
	var more fault.List
	if s.Arrival, more = keyed("/arrival", q.Arrival, true); len(more) > 0 {
		l = append(l, more...)
	}
	if s.Prices, more = keyed("/prices", q.Prices, false); len(more) > 0 {
		l = append(l, more...)
	}
	return s, l
}

// keyed reads "M=12" into a value by key, and where all is true a bare number for
// all keys.
func keyed(pointer string, texts []string, all bool) (map[string]float64, fault.List) {
	out := map[string]float64{}
	var l fault.List
	for _, text := range texts {
		key, number, found := strings.Cut(text, "=")
		if !found {
			key, number = "", text
		}
		v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		allowed := "a stock of the file and a number, as M=12"
		if all {
			allowed = "a number, or a stock of the file and a number, as M=12"
		}
		key = strings.TrimSpace(key)
		switch _, twice := out[key]; {
		case err != nil || !found && !all || found && key == "":
			l = append(l, fault.Fault{Rule: fault.WrongType, Pointer: pointer, Detail: "not a value of a stock", Found: fault.Short(text), Allowed: allowed})
		case twice:
			l = append(l, fault.Fault{Rule: fault.RepeatedKey, Pointer: pointer, Detail: "the stock stands there more than once", Found: fault.Short(text)})
		default:
			out[key] = v
		}
	}
	return out, l
}

// unread leaves out of the second list what stands at a place told already.
func unread(told, more fault.List) (out fault.List) {
	for _, f := range more {
		known := false
		for _, t := range told {
			known = known || t.Pointer == f.Pointer
		}
		if !known {
			out = append(out, f)
		}
	}
	return out
}

// parameters gives faults of a plan.Shop the places of parameters.
func parameters(l fault.List) fault.List {
	names := map[string]string{"air": "shop", "prices": "price"}
	out := make(fault.List, len(l))
	for i, f := range l {
		field, _, _ := strings.Cut(strings.TrimPrefix(f.Pointer, "/"), "/")
		if name, other := names[field]; other {
			field = name
		}
		f.Pointer = "/" + field
		out[i] = f
	}
	return out
}
