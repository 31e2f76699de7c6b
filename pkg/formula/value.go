package formula

import (
	"fmt"
	"math"
)

// Value works the right side out, dimensionless: units are the business of its inputs. The error
// names a symbol that is not given.
func (f *Formula) Value(given map[string]float64) (float64, error) {
	v, err := f.right.value(given)
	if err != nil {
		return 0, fmt.Errorf("formula: %q: %w", f.text, err)
	}
	return v, nil
}

func (n *node) value(given map[string]float64) (float64, error) {
	of := make([]float64, len(n.of))
	for i := range n.of {
		v, err := n.of[i].value(given)
		if err != nil {
			return 0, err
		}
		of[i] = v
	}
	switch n.kind {
	case number:
		return n.number, nil
	case symbol:
		v, ok := given[n.text]
		if !ok {
			return 0, fmt.Errorf("%s is not given", n.text)
		}
		return v, nil
	case sum:
		total := 0.0
		for i, v := range of {
			if n.minus[i] {
				v = -v
			}
			total += v
		}
		return total, nil
	case product:
		total := 1.0
		for _, v := range of {
			total *= v
		}
		return total, nil
	case quotient:
		return of[0] / of[1], nil
	case power:
		return math.Pow(of[0], of[1]), nil
	case negative:
		return -of[0], nil
	}
	return call(n.text, of), nil
}

func call(name string, of []float64) float64 {
	switch name {
	case "√":
		return math.Sqrt(of[0])
	case "abs":
		return math.Abs(of[0])
	case "ln":
		return math.Log(of[0])
	case "exp":
		return math.Exp(of[0])
	case "sin":
		return math.Sin(of[0] * math.Pi / 180)
	case "cos":
		return math.Cos(of[0] * math.Pi / 180)
	case "Φ":
		return math.Erfc(-of[0]/math.Sqrt2) / 2
	}
	best := of[0]
	for _, v := range of[1:] {
		if name == "min" {
			best = math.Min(best, v)
		} else {
			best = math.Max(best, v)
		}
	}
	return best
}
