package moisture

import (
	"context"
	"testing"
)

// One year of one column, the unit of work of a board's history.
func BenchmarkYear(b *testing.B) {
	for _, along := range []bool{true, false} {
		name := map[bool]string{true: "end-grain", false: "long-grain"}[along]
		b.Run(name, func(b *testing.B) {
			in := setting(b, "continental-heated")
			p, err := Expand(Event{Name: "year-at-home"}, in)
			if err != nil {
				b.Fatal(err)
			}
			c := Column{Species: species(b, "sugar-maple"), Along: along, Thickness: 40, Finish: "mineral-oil-wax", M0: 8}
			for b.Loop() {
				if _, err := Simulate(context.Background(), c, p, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkWetCounter(b *testing.B) {
	in := setting(b, "continental-heated")
	p, err := Expand(Event{Name: "flat-on-wet-counter"}, in)
	if err != nil {
		b.Fatal(err)
	}
	c := Column{Species: species(b, "sugar-maple"), Along: true, Thickness: 40, M0: 6}
	for b.Loop() {
		if _, err := Simulate(context.Background(), c, p, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEMC(b *testing.B) {
	for b.Loop() {
		if _, err := EMC(20, 50); err != nil {
			b.Fatal(err)
		}
	}
}
