package check

import (
	"context"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/derive"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/layout"
)

// explained is a board on which every way to fail has something to tell, judged once:
// long grain that ends at the rim, a border of end grain, a face that is washed.
type explained struct {
	*testing.T
	m     reporter
	j     *influence.Judged
	modes []Mode
}

var explainedOnce = sync.OnceValues(func() (*explained, error) {
	b, err := layout.Read([]byte(`{"tanrad":1,"units":"mm","thickness":20,"home":"continental-heated","glue":"pva","stock":{
		"M":{"species":"sugar-maple","ring_angle":25,"grain":0,"moisture":9},"W":{"species":"black-walnut","ring_angle":60,"grain":0,"moisture":8},
		"E":{"species":"sugar-maple","ring_angle":30,"moisture":8}},
		"field":{"grid":{"columns":[120],"row_heights":[40,40,40],"rows":["M","W","M"]}},
		"borders":[{"stock":"E","grain":"up","width":20,"sides":["right"]}],"exposures":[{"name":"wash-one-face"},{"name":"dry-spell"}]}`))
	if err != nil {
		return nil, err
	}
	p, err := Prepare(context.Background(), b, Conditions{})
	if err != nil {
		return nil, err
	}
	j, err := p.judge(context.Background(), Conditions{Events: b.Exposures}, true)
	if err != nil {
		return nil, err
	}
	return &explained{nil, p.m, j, p.m.modes(j)}, nil
})

func explain(t *testing.T) *explained {
	t.Helper()
	e, err := explainedOnce()
	require.NoError(t, err)
	return &explained{t, e.m, e.j, e.modes}
}

func (e *explained) why(word string) *derive.Derivation {
	e.Helper()
	d, err := e.m.derivation(e.Context(), e.j, e.modes, word)
	require.NoError(e, err, word)
	assert.NotEmpty(e, d.Text, word)
	for _, s := range d.Steps {
		assert.True(e, s.Formula != "" || s.Note != "", "%s, %s: worked out by what?", word, s.ID)
		for _, k := range s.Sources {
			assert.True(e, cites(d, k), "%s: %s of %s is a printed work", word, k, s.ID)
		}
		for _, n := range s.Inputs {
			assert.NotEmpty(e, n.Unit, "%s: %s of %s", word, n.Symbol, s.ID)
			assert.True(e, n.Source == "" || cites(d, n.Source), "%s: %s of %s is a printed work", word, n.Source, s.ID)
		}
	}
	return d
}

func cites(d *derive.Derivation, key string) bool {
	for _, c := range d.Sources {
		if c.Key == key && c.Text != "" {
			return true
		}
	}
	return false
}

func (e *explained) comes(d *derive.Derivation, id string, want float64) {
	e.Helper()
	for _, s := range d.Steps {
		if s.ID == id {
			assert.InDelta(e, want, s.Result.Value, 1e-9, "%s of %s", id, d.Of)
			return
		}
	}
	assert.Fail(e, "no step "+id, d.Of)
}

// Every way to fail opens, and its formulas come to the figure of the report, to its
// range and to the chance behind it; so it does in one exposure or end state alone. What
// is interpolated between two nodes of the mesh is off by a little, all else by round-off.
func TestEveryNumberOpens(t *testing.T) {
	e := explain(t)
	result := map[string]string{LineOpens: "v", EndOpens: "v", Splits: "v", WoodChecks: "i", OutOfFlat: "i", GlueGives: "i"}
	for i := range e.modes {
		o := &e.modes[i]
		require.NotNil(t, o.Figure, o.Mode)
		require.Positive(t, *o.Figure, o.Mode)
		d := e.why(o.Mode)
		off := 1e-9
		if result[o.Mode] == "v" {
			off = 0.02
		}
		assert.LessOrEqual(t, d.Difference, off, o.Mode)
		e.comes(d, result[o.Mode], *o.Figure)
		if len(o.scatter) > 0 {
			e.comes(d, "v_lo", *o.Low)
			e.comes(d, "v_hi", *o.High)
			e.comes(d, "p", risk.Chance(*o.Figure, risk.Together(o.scatter)))
		}
	}
	h := e.j.Histories[0]
	first := e.m.worstOfHistory(h)
	e.comes(e.why(WhyWorst+"@"+h.LoadHistory.ID()), result[first.mode], first.index)
	e.comes(e.why(GlueGives+"@wash-one-face"), "i", h.Bond.Figure)
	s := &e.j.States[0]
	e.comes(e.why(WhyWorst+"@"+s.Name), "v", s.U)
	e.comes(e.why(OutOfFlat+"@"+s.Name), "i", s.OutOfFlat)
	assert.Empty(t, e.why(WoodChecks+"@"+s.Name).Steps, "a settled board has no face that dries")
	for i := range e.j.Paths {
		p := &e.j.Paths[i]
		e.comes(e.why(Splits+"@"+e.m.Board.Pieces[p.Piece].ID), "v", p.Result.V)
	}

	by, _, _ := governing(e.modes)
	e.comes(e.why(WhyWorst), result[e.modes[by].Mode], *e.modes[by].Figure)
	c := chanceOf(e.modes)
	e.comes(e.why(WhyChance), "p", *c.Board)
	e.comes(e.why(WhyChance), "σ", c.Spread)

	for word, want := range map[string]string{"r9c9": "r3c1", "flat@wash": "wash-one-face", "flot": "flat"} {
		_, err := e.m.derivation(t.Context(), e.j, e.modes, word)
		l := fault.Of(err)
		require.Len(t, l, 1, word)
		assert.Equal(t, "/explain", l[0].Pointer)
		assert.Contains(t, strings.Join(append(l[0].Nearest, l[0].Allowed), " "), want, word)
	}
}

// The size of the board is what it was glued at and what every kind of piece adds, when
// it is smallest and when it is largest, and in each end state.
func TestSizeIsTheSumOfItsKinds(t *testing.T) {
	e := explain(t)
	b := e.m.Board
	r := &Report{Width: b.Width, Height: b.Height, Size: Range{b.Width, b.Width, b.Height, b.Height}}
	for i := range e.j.States {
		e.m.addState(r, &e.j.States[i])
	}
	for _, h := range e.j.Histories {
		e.m.addExposure(r, h, Conditions{})
	}
	d := e.why(WhySize)
	found := map[string]float64{}
	for _, s := range d.Steps {
		if s.Result.Symbol == "B" || s.Result.Symbol == "H" {
			found[s.Name] = s.Result.Value
		}
	}
	for name, want := range map[string]float64{"smallest width": r.Size.WidthMin, "largest width": r.Size.WidthMax, "smallest height": r.Size.HeightMin, "largest height": r.Size.HeightMax} {
		assert.InDelta(t, want, found[name], 1e-9, name)
	}
	assert.LessOrEqual(t, d.Difference, 1e-9)
	for _, c := range d.Compare {
		assert.InEpsilon(t, c.Solver, c.Hand, 0.3, "%s: a board moves about like the mean of its pieces", c.What)
	}
	s := &e.j.States[1]
	e.comes(e.why(WhySize+"@"+s.Name), "ΔB", s.Width)
}
