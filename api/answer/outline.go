package answer

import (
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/outline"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// OutlineQuery says what a drawing does not.
type OutlineQuery struct {
	Name      string   `json:"name" validate:"max=200"`
	Units     string   `json:"units" validate:"required,oneof=mm in"`
	Thickness string   `json:"thickness" validate:"required,max=64"` // a length, in units or with its own
	Stock     []string `json:"stock" validate:"max=1000"`            // "#d8c7a8=sugar-maple" or "walnut=black-walnut"
	Scale     *float64 `json:"scale" validate:"omitempty,gt=0,lte=10000"`
	Tolerance *float64 `json:"tolerance" validate:"omitempty,gt=0,lte=100"`
}

// Outline makes a board file of an SVG drawing. Errors: Parameters for the query, a
// fault.List with places in the drawing.
func Outline(src []byte, q OutlineQuery) ([]byte, error) {
	l := validate(&q)
	o := outline.Options{Name: q.Name, Units: q.Units, Stock: map[string]string{}}
	if q.Scale != nil {
		o.Scale = *q.Scale
	}
	if q.Tolerance != nil {
		o.Tolerance = *q.Tolerance
	}
	if len(l) == 0 {
		var err error
		if o.Thickness, err = quantity.LengthIn(q.Thickness, quantity.Unit(q.Units)); err != nil {
			l = append(l, place(err, "/thickness")...)
		}
	}
	for _, text := range q.Stock {
		name, species, found := strings.Cut(text, "=")
		if name, species = strings.TrimSpace(name), strings.TrimSpace(species); !found || name == "" || species == "" {
			l = append(l, fault.Fault{Rule: fault.WrongType, Pointer: "/stock", Detail: "not a name or colour with its wood", Found: fault.Short(text), Allowed: "#d8c7a8=sugar-maple, or walnut=black-walnut"})
			continue
		}
		o.Stock[name] = species
	}
	if len(l) == 0 {
		l = o.Check()
	}
	if len(l) > 0 {
		return nil, Parameters{l}
	}
	f, faults := outline.Read(src, o)
	if len(faults) > 0 {
		return nil, faults
	}
	return f.JSON(), nil
}
