package influence

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// hemmed is a checker of maple and walnut in a long-grain border; rest is a key of the
// border.
func hemmed(t *testing.T, rest string) *layout.Board {
	t.Helper()
	return boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":40,"glue":"pva-crosslinking",
		"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":9},"W":{"species":"black-walnut","ring_angle":70,"moisture":8},"B":{"species":"black-walnut","ring_angle":30,"moisture":8}},
		"field":{"grid":{"block":[40,30],"rows":["MW","WM"]}},
		"borders":[{"stock":"B","grain":"along","width":20,"sides":["left","right"]},{"stock":"B","grain":"along","width":20,"sides":["top"]%s}]}`, rest)
}

// afterRest is a kept board with two rests, prepared once.
var afterRest = sync.OnceValues(func() (*Model, error) {
	src, err := os.ReadFile(filepath.Join(boardtest.Folder(), "border-after-rest.json"))
	if err != nil {
		return nil, err
	}
	b, err := layout.Read(src)
	if err != nil {
		return nil, err
	}
	return Prepare(context.Background(), b, Options{Bending: true})
})

// A joint that is made later with nothing moving in between, and a board that rests
// when it is whole, are the board glued in one go: the sum of the increments is the
// load from gluing itself, for tractions, for cracks and for the wood.
func TestStagesOfOneAssemblyAreOneGo(t *testing.T) {
	at := func(b *layout.Board) (*Model, *Judged) {
		m, err := Prepare(t.Context(), b, Options{Bending: true})
		require.NoError(t, err)
		j, err := m.Judge(t.Context(), &Demand{Moistures: []float64{5}, Events: []moisture.Event{{Name: "ship"}}, NoHistories: true}, nil)
		require.NoError(t, err)
		return m, j
	}
	_, plain := at(hemmed(t, ""))
	still, same := at(hemmed(t, `,"rest":{"moisture":{"M":9,"W":8}}`))
	assert.Empty(t, still.past.spells)
	whole := hemmed(t, "")
	all := make([]int, len(whole.Joints))
	for i := range all {
		all[i] = i
	}
	pieces := make([]int, len(whole.Pieces))
	for i := range pieces {
		pieces[i] = i
	}
	whole.Stages = []layout.Stage{{Joints: all, Pieces: pieces}, {Rest: layout.Rest{Moisture: map[string]float64{"M": 7.5, "W": 7.2, "B": 8.1}}}}
	rested, later := at(whole)
	require.Len(t, rested.past.spells, 1)
	require.Len(t, rested.spells[0].parts, 1)
	for i, want := range plain.States {
		got := []*Settled{&same.States[i], &later.States[i]}
		for _, g := range got {
			assert.InEpsilon(t, want.U, g.U, 1e-9, want.Name)
			assert.InEpsilon(t, want.Line.Result.V, g.Line.Result.V, 1e-9, want.Name)
			assert.InEpsilon(t, want.Wood.U, g.Wood.U, 1e-9, want.Name)
			for j := range want.joints {
				assert.InDelta(t, want.joints[j].N, g.joints[j].N, 1e-9, want.Name)
				assert.InDelta(t, want.joints[j].T, g.joints[j].T, 1e-9, want.Name)
			}
		}
	}
	// The worst split; where the next runs is a draw between two planes.
	assert.InEpsilon(t, plain.Paths[0].Result.V, later.Paths[0].Result.V, 1e-9)
}

// Two strips glued, and a third glued to them when they have dried: in the middle of
// long strips every section stays plane, so that strip i bears E_i·(ε + κ·y − ε_i), with
// ε and κ such that no force and no moment are left (Timoshenko 1925, for any number of
// layers). What is glued in stages is the sum of two such states, the first of two
// strips alone. The force in a strip at the middle section is what its joint carries
// towards either end.
func TestThirdStripGluedAtAnotherMoisture(t *testing.T) {
	const long, a, c = 480.0, 12.0, 16.0
	b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"glue":"epoxy",
		"stock":{"M":{"species":"sugar-maple","ring_angle":90,"moisture":9},"W":{"species":"black-walnut","ring_angle":0,"moisture":9},"T":{"species":"sugar-maple","ring_angle":0,"moisture":8}},
		"field":{"grid":{"columns":[%g],"row_heights":[%g,%g],"rows":["M","W"]}},
		"borders":[{"stock":"T","grain":"up","width":%g,"sides":["top"],"rest":{"moisture":{"M":6.5,"W":7}}}]}`, long, a, a, c)
	m, err := Prepare(t.Context(), b, Options{})
	require.NoError(t, err)
	end := EndState{Moisture: make([]float64, len(m.Kinds)), left: 1}
	for k := range end.Moisture {
		end.Moisture[k] = 5
	}
	l, _ := m.LoadOf(&end)
	// From the bottom: walnut, maple, the strip glued on later.
	order := []int{pieceOf(t, b, "r2c1"), pieceOf(t, b, "r1c1"), pieceOf(t, b, "b1.top")}
	height := []float64{a, a, c}
	free := func(i int, change float64) float64 { return change * m.Wood[order[i]].Unit[0] }
	first := forces(t, m, order[:2], height[:2], []float64{free(0, 7-9), free(1, 6.5-9)})
	second := forces(t, m, order, height, []float64{free(0, 5-7), free(1, 5-6.5), free(2, 5-8)})
	atOnce := forces(t, m, order, height, []float64{free(0, 5-9), free(1, 5-9), free(2, 5-8)})
	for _, c := range []struct {
		joint      string
		want, once float64
	}{
		{"r1c1|r2c1", first[0] + second[0], atOnce[0]},
		{"r1c1|b1.top", second[2], atOnce[2]},
	} {
		j := slices.IndexFunc(b.Joints, func(jt layout.Joint) bool { return jt.ID == c.joint })
		require.GreaterOrEqual(t, j, 0)
		got := m.carried(j, l)
		t.Logf("%s: %.3f N/mm, closed form %.3f; glued at once %.3f", c.joint, got, c.want, c.once)
		assert.InEpsilon(t, c.want, got, 0.001, c.joint)
		assert.Greater(t, math.Abs(c.once-c.want), 0.05*math.Abs(c.want), "the test could not fail")
	}
}

func pieceOf(t *testing.T, b *layout.Board, id string) int {
	t.Helper()
	i := slices.IndexFunc(b.Pieces, func(p layout.Piece) bool { return p.ID == id })
	require.GreaterOrEqual(t, i, 0)
	return i
}

// carried is the shear that a joint carries over its first half, N per mm of thickness.
func (m *Model) carried(j int, l *Load) float64 {
	jm := &m.Joints[j]
	f := m.Plate.Forces(0, jm.Trace, [][]float64{m.Stretched(l)}, [][]float64{m.amountsOf(l.Mean)})[0]
	m.addLockedForces(0, j, l, f)
	sum, middle := 0.0, m.Board.Joints[j].Length/2
	for i, s := range jm.Trace.S {
		switch {
		case s < middle-1e-6:
			sum += f[i].T
		case s < middle+1e-6:
			sum += f[i].T / 2
		}
	}
	return sum
}

// forces are those in long layers, from the bottom up, that would change by free if they
// were not glued: N per mm of thickness.
func forces(t *testing.T, m *Model, pieces []int, height, free []float64) []float64 {
	t.Helper()
	var a, b, d, n, q float64 // ∫E, ∫Ey, ∫Ey²; ∫Eε, ∫Eεy
	y := 0.0
	modulus := make([]float64, len(pieces))
	for i, p := range pieces {
		modulus[i] = alongX(m.Wood[p].Q)
		e, y1 := modulus[i], y+height[i]
		a, b, d = a+e*(y1-y), b+e*(y1*y1-y*y)/2, d+e*(y1*y1*y1-y*y*y)/3
		n, q = n+e*free[i]*(y1-y), q+e*free[i]*(y1*y1-y*y)/2
		y = y1
	}
	det := a*d - b*b
	eps, kappa := (n*d-q*b)/det, (a*q-b*n)/det
	out := make([]float64, len(pieces))
	y = 0
	for i, e := range modulus {
		y1 := y + height[i]
		out[i] = e * ((eps-free[i])*(y1-y) + kappa*(y1*y1-y*y)/2)
		y = y1
	}
	return out
}

// alongX is Young's modulus [MPa] along x of a plane-stress stiffness without coupling
// to shear: rings at 0 and 90 degrees.
func alongX(q [3][3]float64) float64 { return q[0][0] - q[0][1]*q[0][1]/q[1][1] }

// Order matters: a border glued on before the field has dried is strained by it, one
// glued on after is not.
func TestWhatRestsIsFollowed(t *testing.T) {
	dry := func(days float64) *layout.Board {
		return hemmed(t, fmt.Sprintf(`,"rest":{"days":%g,"air":{"humidity":25,"temperature":20}}`, days))
	}
	soon, late := dry(2), dry(60)
	soon.Glue, late.Glue = "epoxy", "epoxy" // no water
	emc, err := moisture.EMC(20, 25)
	require.NoError(t, err)
	of := func(b *layout.Board) *past {
		p, err := pastOf(t.Context(), b)
		require.NoError(t, err)
		return p
	}
	s, l := of(soon), of(late)
	field, side, top := pieceOf(t, soon, "r1c1"), pieceOf(t, soon, "b1.left"), pieceOf(t, soon, "b2.top")
	assert.Equal(t, 8.0, s.ready[top], "loose until now")
	assert.InDelta(t, emc, l.ready[field], 0.1, "two months through 40 mm of open end grain")
	assert.Less(t, s.ready[field], 8.7)
	assert.Greater(t, s.ready[field], l.ready[field]+1)
	assert.Greater(t, (8-s.ready[side])/(8-emc), 0.0)
	assert.Less(t, (8-s.ready[side])/(8-emc), (9-s.ready[field])/(9-emc)/2, "long grain is slower")
	plank := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"glue":"epoxy","stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":9}},
		"field":{"grid":{"block":[60,40],"rows":["M"]}},"borders":[{"stock":"M","grain":"up","width":20,"sides":["top"],"rest":{"moisture":{"M":7}}}]}`)
	p := of(plank)
	assert.Equal(t, []float64{7, 9}, []float64{p.ready[pieceOf(t, plank, "r1c1")], p.ready[pieceOf(t, plank, "b1.top")]}, "one block rests too")
	m, err := Prepare(t.Context(), soon, Options{})
	require.NoError(t, err)
	for j, jt := range soon.Joints {
		a, b := m.GluedAt(j)
		switch {
		case jt.ID == "r1c1|r1c2":
			assert.Equal(t, [2]float64{9, 8}, [2]float64{a, b})
		case jt.A == field && jt.B == top:
			assert.Equal(t, [2]float64{s.ready[field], 8}, [2]float64{a, b})
		}
	}
}

// What a stage gives to the worst place: with nothing moved since the last glue-up all
// of it is locked in, and of two rests each gives what it gives alone; the pieces'
// shares sum to the demand.
func TestSharesOfStages(t *testing.T) {
	m, err := afterRest()
	require.NoError(t, err)
	b := m.Board
	require.Len(t, m.past.spells, 2)
	still := EndState{Name: "as glued", left: 1, Moisture: make([]float64, len(m.Kinds))}
	for k := range still.Moisture {
		still.Moisture[k] = m.Kinds[k].Start
	}
	j, err := m.judgeEnds(t.Context(), []EndState{still}, false)
	require.NoError(t, err)
	g := m.GlueUps(j)
	require.Len(t, g, 3)
	assert.InDelta(t, 0, g[2].Share, 1e-6, "nothing has moved since")
	assert.InDelta(t, 1, g[0].Share+g[1].Share, 1e-6)
	assert.NotZero(t, g[1].Share)
	assert.Positive(t, g[1].Stress)
	for k, i := range g[2].Pieces {
		switch b.Pieces[i].Stock {
		case "M":
			assert.Equal(t, 6.8, g[2].Moisture[k], "as measured")
		case "B":
			assert.Equal(t, 7.5, g[2].Moisture[k], "loose until now")
		default:
			assert.Less(t, g[2].Moisture[k], 8.0, "followed the dry air")
		}
	}
	l := j.Worst.Load
	for i := range l.Mean {
		l.Mean[i] = 0.7 + 0.4*float64(i)
	}
	l.Slope = make([]float64, len(l.Mean))
	for n := range m.Joints {
		d := m.Worst(n, l)
		if d.U < 0.02 {
			continue
		}
		in, err := m.InfluenceOf(t.Context(), n, d, l)
		require.NoError(t, err)
		sum := 0.0
		for _, v := range m.PieceShares(in, l) {
			sum += v
		}
		assert.InEpsilon(t, d.U, sum, 1e-6, m.Board.Joints[n].ID)
		shares := 0.0
		for _, s := range m.MechanismShares(in, l) {
			shares += s.Share
		}
		assert.InDelta(t, 1, shares, 1e-9)
		assert.InDelta(t, d.U, m.AveragedOver(n, l, m.Joints[n].Capacity.Length).U, 1e-9, "the same length again")
	}
}

// Of 180 g/m² of glue, half water, the 260 mm of joint of the field and its first border
// take 23.4 g a metre of thickness, into 2400 mm² of maple and 4800 mm² of walnut with 630
// and 550 kg/m³ of dry wood in the volume at 12 % (Wood Handbook Table 5-3a): 0.56 %. A
// day later some is left, a month later none; epoxy brings none.
func TestGlueWaterIsThereOnTheNextDay(t *testing.T) {
	ready := func(glue string, days float64) float64 {
		b := hemmed(t, fmt.Sprintf(`,"rest":{"days":%g,"air":{"humidity":48,"temperature":20}}`, days))
		b.Glue = glue
		p, err := pastOf(t.Context(), b)
		require.NoError(t, err)
		return p.ready[pieceOf(t, b, "r1c1")]
	}
	assert.InDelta(t, 9+100*0.0234/(2400e-6*630+4800e-6*550), ready("pva-crosslinking", 1e-4), 0.02)
	for _, days := range []float64{1, 30} {
		wet, dry := ready("pva-crosslinking", days), ready("epoxy", days)
		t.Logf("%g days: %.2f %% beside %.2f %% without water", days, wet, dry)
		assert.Equal(t, days < 2, wet-dry > 0.1)
	}
	assert.InDelta(t, 9, ready("epoxy", 1e-4), 0.01)
}

// Panels rest slowly through their side grain, slices fast through their open ends; what
// either leaves is that of each slice by itself, and nothing between rows that are not
// glued yet.
func TestSlicesRestByThemselves(t *testing.T) {
	const stock = `"tanrad":1,"units":"mm","thickness":40,"glue":"epoxy","stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":10},"W":{"species":"black-walnut","ring_angle":80,"moisture":10}}`
	build := func(rest string) *Model {
		b := boardtest.From(t, `{%s,"field":{"build":{"kerf":3,"sticks":{"m":{"stock":"M","section":[40,30]},"w":{"stock":"W","section":[25,30]}},
			"panels":{"A":{"sticks":["m","w","m"],"length":200,"thickness":30}},"slices":["A",{"panel":"A","turn":"end-for-end"}],%s}}}`, stock, rest)
		m, err := Prepare(t.Context(), b, Options{})
		require.NoError(t, err)
		require.Len(t, m.past.spells, 1)
		return m
	}
	const dry = `{"days":4,"air":{"humidity":30,"temperature":20}}`
	panel, slice := build(`"rest":`+dry), build(`"slice_rest":`+dry)
	m := pieceOf(t, panel.Board, "r1c1")
	assert.Greater(t, 10-slice.past.ready[m], 2*(10-panel.past.ready[m]), "end grain is open once it is sliced")
	assert.Less(t, panel.past.ready[m], 9.9)

	told := build(`"slice_rest":{"moisture":{"M":8,"W":7.5}}`)
	row := boardtest.From(t, `{%s,"field":{"grid":{"columns":[40,25,40],"row_heights":[30],"rows":["MWM"]}}}`, stock)
	alone, err := Prepare(t.Context(), row, Options{})
	require.NoError(t, err)
	end := EndState{Moisture: make([]float64, len(alone.Kinds))}
	for k := range end.Moisture {
		end.Moisture[k] = map[string]float64{"sugar-maple": 8, "black-walnut": 7.5}[alone.Kinds[k].Species.ID]
	}
	l, _ := alone.LoadOf(&end)
	pull := func(j, w int) (p MeanTraction) {
		for k, q := range alone.KindTractions(j, w, 0) {
			p.N, p.T = p.N+l.Mean[k]*q.Mean.N, p.T+l.Mean[k]*q.Mean.T
		}
		return p
	}
	seen := 0
	for j, jt := range told.Board.Joints {
		for w := range told.Joints[j].Intervals {
			p, _ := told.RestTractions(j, w, 0)
			if told.Board.GlueUps[jt.GlueUp].Kind == layout.StageField {
				assert.Zero(t, p[0], jt.ID)
			}
		}
		if jt.ID == "r1c1|r1c2" {
			k := slices.IndexFunc(row.Joints, func(q layout.Joint) bool { return q.ID == jt.ID })
			got, _ := told.RestTractions(j, 0, 0)
			want := pull(k, 0)
			require.Greater(t, math.Abs(want.T), 0.1)
			assert.InDelta(t, want.N, got[0].N, 0.01*math.Hypot(want.N, want.T))
			assert.InDelta(t, want.T, got[0].T, 0.01*math.Hypot(want.N, want.T))
			seen++
		}
	}
	assert.Equal(t, 1, seen)
}

// What rests left is remembered through exposures: whole but for the rest itself just
// after the last glue-up, less as time goes and the wood moves, and after a season what
// is left of a season's stress.
func TestExposuresRememberTheStages(t *testing.T) {
	m, err := afterRest()
	require.NoError(t, err)
	in, err := (&Demand{}).Setting(m.Board)
	require.NoError(t, err)
	follow := func(name string) *LoadHistory {
		c, err := m.Follow(t.Context(), moisture.Event{Name: name}, in)
		require.NoError(t, err)
		return c
	}
	c := follow("damp-shop")
	require.True(t, c.Shown.FromGlueUp)
	eased := func(ago [2]float64) (left float64) { // of stress that rose evenly: the mean over all ages
		for i := range 1000 {
			left += relax.Factor(ago[1]+(ago[0]-ago[1])*(float64(i)+0.5)/1000, relax.Typical) / 1000
		}
		return left
	}
	first, last := m.At(c, c.Stress, 0, nil).Locked, m.At(c, c.Stress, len(c.Times)-1, nil).Locked
	require.Len(t, first, 2)
	for k, l := range first {
		assert.InDelta(t, eased(m.past.spells[k].ago)+(c.stiff[0]-1)*eased(m.past.spells[1].ago), l, 1e-4, "stiffened on the way")
		assert.Less(t, last[k], l-0.02)
		assert.Greater(t, last[k], 0.2)
	}
	assert.Less(t, first[0], first[1], "the older is relaxed more")
	w := follow("wash-one-face")
	require.False(t, w.Shown.FromGlueUp)
	moved := 0.0
	for k := range m.Kinds {
		moved += m.Kinds[k].share * math.Abs(w.Shape[k].mean[0])
	}
	for _, l := range m.At(w, w.Stress, 0, nil).Locked {
		assert.InDelta(t, w.stiff[0]*relax.Seasonal(moved, relax.Typical), l, 1e-9)
	}
	assert.Equal(t, []float64{1, 1}, m.At(w, w.Shape, 3, nil).Locked)
}

// What a board in stages would have been in one go is what the check of that board says.
func TestAtOnceIsTheBoardInOneGo(t *testing.T) {
	in := func(b *layout.Board) (*Model, *Judged) {
		m, err := Prepare(t.Context(), b, Options{})
		require.NoError(t, err)
		e := EndState{Name: "dry", left: 0.6, Moisture: make([]float64, len(m.Kinds))}
		for k := range e.Moisture {
			e.Moisture[k] = 6
		}
		j, err := m.judgeEnds(t.Context(), []EndState{e}, true)
		require.NoError(t, err)
		return m, j
	}
	m, staged := in(hemmed(t, `,"rest":{"days":4,"air":{"humidity":30,"temperature":20}}`))
	_, plain := in(hemmed(t, ""))
	got, err := m.AtOnce(t.Context(), staged)
	require.NoError(t, err)
	want := plain.States[0].Line.Result.V
	t.Logf("in stages %.3f, at once %.3f", staged.States[0].Line.Result.V, want)
	assert.InEpsilon(t, want, got, 1e-9)
	assert.Greater(t, math.Abs(staged.States[0].Line.Result.V/want-1), 0.1, "order matters")
}

// The glue of panels has dried when their slices are glued: 105 mm of joint between two
// rows of a build bring 9.45 g a metre into 4800 mm² of maple and 1500 mm² of walnut.
func TestGlueOfPanelsHasDried(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":40,"glue":"pva","stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":8},"W":{"species":"black-walnut","ring_angle":80,"moisture":8}},
		"field":{"build":{"kerf":3,"sticks":{"m":{"stock":"M","section":[40,30]},"w":{"stock":"W","section":[25,30]}},
			"panels":{"A":{"sticks":["m","w","m"],"length":200,"thickness":30}},"slices":["A","A"]}},
		"borders":[{"stock":"W","grain":"along","width":20,"sides":["top"],"rest":{"days":0.0001}}]}`)
	p, err := pastOf(t.Context(), b)
	require.NoError(t, err)
	assert.InDelta(t, 8+100*0.00945/(4800e-6*630+1500e-6*550), p.ready[pieceOf(t, b, "r1c1")], 0.01)
}
