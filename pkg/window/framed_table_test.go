package window

import (
	"context"
	"encoding/json"
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Framed describes the boards of a size table: a square checker of two woods on
// end in a glued frame of long grain.
type Framed struct {
	Woods     [2]string // of the field; both with the rings along one edge
	Frame     string    // wood of the frame, quarter-sawn on the face
	Block     float64   // mm
	Thickness float64   // mm
	Moisture  float64   // % MC at gluing, of all pieces
}

// MapleWalnut is the frame of the documentation: sugar maple and black walnut in
// blocks of 40 mm, walnut round them, 40 mm thick, glued at 8 %.
var MapleWalnut = Framed{Woods: [2]string{"sugar-maple", "black-walnut"}, Frame: "black-walnut", Block: 40, Thickness: 40, Moisture: 8}

// SizeRow is one board of a size table under one change of moisture. All figures
// are for a sudden change; over a season stress relaxes by a factor f, with it
// the utilisation, and the energies by f².
type SizeRow struct {
	Field       float64 // mm, side of the field
	Border      float64 // mm, width of the frame
	Change      float64 // % MC of all pieces
	Utilisation float64 // of the worst joint or wood: from 1 a crack starts
	V           float64 // of the worst glue line by the coupled criterion: from 1 a crack starts and runs
	Side        float64 // energy that taking off one whole side of the frame releases, over the fracture energy of its glue line
	Frame       float64 // the same for the whole frame
}

// SizeTable works out every field side [mm, a multiple of the block] with every
// border width [mm] under every change [% MC], in that order. A frame is glued
// on left and right first.
//
// Utilisation looks at the worst place and hardly knows the size of the board.
// Energy does: what a field holds back grows with its area, what it must break
// grows with its rim. The energies are exact for the model: that of the whole
// board less those of the parts after the cut (Griffith's balance, Philosophical
// Transactions A 221, 1921; from memory), over the area of the glue line cut.
//
// Errors: those of influence.Prepare; a fault when a side is no multiple.
func SizeTable(ctx context.Context, f Framed, fields, borders, changes []float64) ([]SizeRow, error) {
	var out []SizeRow
	c := check.Conditions{NoHistories: true, NoCracks: true, Cache: check.NewCache(0)}
	for _, field := range fields {
		alone, err := f.board(field, 0, 0)
		if err != nil {
			return nil, err
		}
		bare, err := influence.Prepare(ctx, alone, c.Solving())
		if err != nil {
			return nil, err
		}
		for _, border := range borders {
			var models [5]*influence.Model // by number of sides glued on
			models[0] = bare
			for _, sides := range []int{3, 4} {
				b, err := f.board(field, border, sides)
				if err != nil {
					return nil, err
				}
				if models[sides], err = influence.Prepare(ctx, b, c.Solving()); err != nil {
					return nil, err
				}
			}
			for _, change := range changes {
				row, err := f.row(&models, field, border, change)
				if err != nil {
					return nil, err
				}
				out = append(out, row)
			}
		}
	}
	return out, nil
}

func (f *Framed) row(models *[5]*influence.Model, field, border, change float64) (SizeRow, error) {
	r := SizeRow{Field: field, Border: border, Change: change, Utilisation: models[4].WorstShift(change, false)}
	crack, err := models[4].CrackShift(context.Background(), change)
	if err != nil {
		return r, err
	}
	r.V = crack.Result.V
	var energy [5]float64
	for _, n := range []int{0, 3, 4} {
		if energy[n], err = storedEnergy(models[n].Plate, change); err != nil {
			return r, err
		}
	}
	tough, err := f.toughness()
	if err != nil {
		return r, err
	}
	// The last side covers the ends of the two before it. A loose side, straight and of one wood, stores nothing.
	last := (field + 2*border) * f.Thickness
	r.Side = (energy[4] - energy[3]) / last / tough
	r.Frame = (energy[4] - energy[0]) / ((4*field + 4*border) * f.Thickness) / tough
	return r, nil
}

// toughness is the fracture energy of the weakest wood, N/mm.
func (f *Framed) toughness() (float64, error) {
	least := math.Inf(1)
	for _, n := range []string{f.Woods[0], f.Woods[1], f.Frame} {
		s, err := wood.Find(n)
		if err != nil {
			return 0, err
		}
		least = math.Min(least, s.FractureEnergy(0).V/1000) // J/m² is 1/1000 N/mm
	}
	return least, nil
}

// storedEnergy is the elastic energy [N·mm] of a board all of whose pieces have
// changed by so many % MC: ½∫(ε−ε0)ᵀQ(ε−ε0) = ½∫ε0ᵀQε0 − ½f·u at balance.
func storedEnergy(p *plate.Model, change float64) (float64, error) {
	amount := make([]float64, len(p.Woods))
	free := 0.0
	for i := range amount {
		amount[i] = change
		q, e := &p.Woods[i].Q, &p.Woods[i].Unit
		for r := range e {
			for c := range e {
				free += change * change * e[r] * q[r][c] * e[c] * p.Board.Pieces[i].Area * p.H
			}
		}
	}
	x, err := p.Respond(plate.Membrane, [][]float64{amount})
	if err != nil {
		return 0, err
	}
	for i, v := range p.Load(plate.Membrane, amount) {
		free -= v * x[0][i]
	}
	return free / 2, nil
}

type tree = map[string]any

// board builds the field with so many sides of a frame round it.
func (f *Framed) board(field, border float64, sides int) (*layout.Board, error) {
	n := int(math.Round(field / f.Block))
	if n < 1 || math.Abs(float64(n)*f.Block-field) > 1e-9 {
		return nil, fmt.Errorf("a field of %g mm is no whole number of blocks of %g mm", field, f.Block)
	}
	rows := make([]string, n)
	for r := range rows {
		for k := 0; k < n; k++ {
			rows[r] += string("AB"[(r+k)%2])
		}
	}
	stock := tree{"F": tree{"species": f.Frame, "ring_angle": 90, "moisture": f.Moisture}}
	for i, key := range []string{"A", "B"} {
		stock[key] = tree{"species": f.Woods[i], "ring_angle": 0, "moisture": f.Moisture}
	}
	t := tree{"tanrad": 1, "units": "mm", "thickness": f.Thickness, "stock": stock,
		"field": tree{"grid": tree{"block": []float64{f.Block, f.Block}, "rows": rows}}}
	if sides > 0 {
		t["borders"] = []tree{{"stock": "F", "grain": "along", "width": border, "sides": []string{"left", "right", "bottom", "top"}[:sides]}}
	}
	src, err := json.Marshal(t)
	if err != nil {
		return nil, err
	}
	return layout.Read(src)
}
