package window

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// At the ends of a window the check itself must say so: below the limit inside,
// at or above it a step further out.
func TestHumidityWindowEndsAtTheLimit(t *testing.T) {
	b := boardtest.Named(t, "checker-random.json")
	w := evenOf(t, b)
	require.Len(t, w.Humidity, 4)
	prepared, err := check.Prepare(context.Background(), b, uniform())
	require.NoError(t, err)
	at := func(rh float64) float64 {
		c := uniform()
		c.NoChance, c.NoCauses = true, true
		c.Air = []moisture.NamedRoom{{Name: "card", Room: moisture.Room{Humidity: rh, Temperature: 20}}}
		r, err := prepared.Report(context.Background(), c)
		require.NoError(t, err)
		for _, s := range r.States {
			if s.Name == "card" {
				return s.Utilisation
			}
		}
		t.Fatal("no such state")
		return 0
	}
	for _, h := range w.Humidity {
		require.False(t, h.None)
		require.Less(t, h.Low, h.High)
		if !h.Season {
			continue // in the check, air comes with the season
		}
		// The edge goes by stress in proportion to the load over the critical one, taken
		// at ±3 and ±7 % MC: never more than 2 % past the limit, and not a fifth too early.
		for _, edge := range [2]float64{h.Low, h.High} {
			assert.Less(t, at(edge), 1.02*h.Below)
		}
		for _, out := range [2]float64{h.Low - 0.3, h.High + 0.3} {
			assert.GreaterOrEqual(t, at(out), 0.8*h.Below)
		}
	}
	assert.Less(t, w.Humidity[1].Low, w.Humidity[0].Low, "a wider window for the higher limit")
	assert.Less(t, w.Humidity[2].Low, w.Humidity[0].Low, "and for a slow change")
}

// evenOf are the windows of even air and moisture alone.
func evenOf(t *testing.T, b *layout.Board) (w Windows) {
	t.Helper()
	c := uniform()
	home, err := c.ClimateOf(b)
	require.NoError(t, err)
	m, err := influence.Prepare(context.Background(), b, c.Solving())
	require.NoError(t, err)
	require.NoError(t, w.even(context.Background(), m, b, home))
	return w
}

// The line of a care card is that of the windows.
func TestAirIsTheWindows(t *testing.T) {
	b, c := boardtest.Lay(t, boardtest.Grid(t, 1, 2, 3)), uniform()
	w := evenOf(t, b)
	air, err := Air(context.Background(), &check.Draws{Typical: check.Draw{Board: b}}, c)
	require.NoError(t, err)
	assert.Contains(t, w.Humidity, air)
	assert.True(t, air.Season)
	assert.Equal(t, belowDoubtful, air.Below)
}

func TestShiftWindowEndsAtTheLimit(t *testing.T) {
	b := boardtest.Lay(t, boardtest.File(t, "border-mitre.json"))
	m, err := influence.Prepare(context.Background(), b, uniform().Solving())
	require.NoError(t, err)
	for _, season := range []bool{false, true} {
		w := shiftWindow(context.Background(), m, b, belowDoubtful, season)
		assert.Less(t, w.Drying, 0.0)
		assert.Greater(t, w.Wetting, 0.0)
		at := func(d float64) float64 {
			u, err := m.WorstShift(context.Background(), d, season)
			require.NoError(t, err)
			return u
		}
		assert.Less(t, at(w.Drying), belowDoubtful)
		assert.Less(t, at(w.Wetting), belowDoubtful)
		assert.GreaterOrEqual(t, at(w.Drying-0.03), belowDoubtful)
		assert.GreaterOrEqual(t, at(w.Wetting+0.03), belowDoubtful)
	}
}

// A board of one wood and one ring direction moves freely: nothing limits it.
func TestFreeBoardHasNoLimits(t *testing.T) {
	b := boardtest.Parse(t, []byte(`{"tanrad":1,"units":"mm","thickness":30,"stock":{"A":{"species":"white-oak","ring_angle":30,"moisture":8}},
		"field":{"grid":{"block":[50,40],"rows":["AAA","AAA"]}}}`))
	w, err := Of(context.Background(), b, uniform())
	require.NoError(t, err)
	for _, h := range w.Humidity {
		assert.True(t, h.OpenLow && h.OpenHigh)
	}
	for _, s := range w.Shifts {
		assert.True(t, s.DryBounded && s.WetBounded)
	}
	require.NotNil(t, w.Field)
	assert.Zero(t, w.Field.Next)
	assert.Greater(t, w.Field.Columns*w.Field.Rows, 200)
	assert.NotEmpty(t, w.Spread, "unlike moisture at gluing still pulls")
}

// Windows of size against boards built by hand: what is told is what a check says
// of them under the same conditions, and the board as it stands does not
// contradict it.
func TestSizesAreTheChecks(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	quiet := func(f *layout.File) *layout.File { // a home that hardly changes: a frame of long grain lives there if it is narrow
		f.Home = layout.Home{Months: make([]moisture.Room, 12)}
		for i := range f.Home.Months {
			f.Home.Months[i] = moisture.Room{Humidity: 34.5 + 8*float64(i%2), Temperature: 20}
		}
		return f
	}
	frame, stages := quiet(boardtest.File(t, "checker-long-border.json")), boardtest.File(t, "border-two-stage.json")
	if !boardtest.Long() { // fewer blocks of the same
		frame.Field.Grid.Rows, stages.Field.Grid.Rows = layout.Rows("MWM", "WMW"), layout.Rows("MW", "WM")
	}
	ends := 0
	for name, f := range map[string]*layout.File{"frame": frame, "inches": boardtest.File(t, "inch-board.json"), "two stages": stages} {
		asked := []check.Conditions{uniform()}
		if name == "two stages" {
			asked = append(asked, check.Conditions{Climate: climate(t, "mountain-dry"), Events: []moisture.Event{{Name: "dry-spell"}}})
		}
		if boardtest.Long() {
			asked = []check.Conditions{{}, uniform(), {Climate: climate(t, "mountain-dry"), Events: []moisture.Event{{Name: "dry-spell"}}}}
		}
		for _, c := range asked {
			b := boardtest.Lay(t, f)
			w := &Windows{}
			var err error
			if name == "two stages" || boardtest.Long() {
				w, err = Of(context.Background(), f, c)
			} else if w.Now, _, err = check.FigureOfFile(context.Background(), f, c); err == nil { // without growing the field, which this does not look at
				w.Border, err = borderWindow(context.Background(), f, b, c)
			}
			require.NoError(t, err, name)
			c.NoCracks, c.NoChance = true, true
			says := func(v *layout.Board) *check.Report {
				r, err := check.Board(context.Background(), v, c)
				require.NoError(t, err, name)
				return r
			}
			assert.InDelta(t, says(b).Utilisation, w.Now.Utilisation, 1e-9, name)
			require.NotNil(t, w.Border, name)
			step := borderStep
			if b.Units == "in" {
				step = 25.4 / 64
			}
			at := func(width float64) *check.Report {
				v := f.Clone()
				for i := range v.Borders {
					v.Borders[i].Width = v.MM(width)
				}
				return says(boardtest.Lay(t, v))
			}
			if w.Border.Largest > 0 {
				r := at(w.Border.Largest)
				assert.InDelta(t, r.Utilisation, w.Border.Utilisation, 1e-6, name)
				assert.Less(t, r.Verdict.Severity(), check.Doubtful.Severity(), name)
			}
			if w.Border.Next > 0 {
				assert.GreaterOrEqual(t, at(w.Border.Next).Verdict.Severity(), check.Doubtful.Severity(), "%s: by whatever way", name)
			}
			if w.Border.Largest > 0 && w.Border.Next > 0 {
				ends++
				assert.LessOrEqual(t, w.Border.Next-w.Border.Largest, step*(1+1e-9), name)
			}
			alike := true
			for i := range b.Borders {
				alike = alike && b.Borders[i].Width == b.Borders[0].Width
			}
			if alike && w.Now.Verdict.Severity() >= check.Doubtful.Severity() {
				assert.Less(t, w.Border.Largest, b.Borders[0].Width, "%s: a border said to do, on a board said not to", name)
			}
		}
	}
	assert.Positive(t, ends, "somewhere a frame is safe when narrow and not when wide")
}

// When time runs out what is done is told, and the rest named.
func TestWindowsStopInTime(t *testing.T) {
	b := boardtest.File(t, "checker-long-border.json")
	c := uniform()
	began := time.Now()
	_, err := check.FigureOf(context.Background(), boardtest.Lay(t, b), c)
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Since(began))
	defer cancel()
	w, err := Of(ctx, b, check.Conditions{NoHistories: true})
	if err != nil { // a slow moment: not even the board as it stands was judged
		assert.ErrorIs(t, err, context.DeadlineExceeded)
		return
	}
	assert.NotEmpty(t, w.Skipped)
	assert.Positive(t, w.Now.Utilisation)
}

func TestOnlyAThinLongGrainFrameLives(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := boardtest.File(t, "border-mitre.json")
	w, err := borderWindow(context.Background(), b, boardtest.Lay(t, b), uniform())
	require.NoError(t, err)
	assert.Less(t, w.Largest, 10.0, "mm: only a thin frame lives, however it is mitred")
	assert.Greater(t, w.Next, w.Largest)
}

func TestRepeatedFieldKeepsItsPattern(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := boardtest.Parse(t, []byte(`{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8},"W":{"species":"black-walnut","ring_angle":0,"moisture":8}},
		"field":{"grid":{"block":[40,40],"rows":["MW","WM"]}}}`))
	b.Repeat(3, 5)
	v := boardtest.Lay(t, b)
	require.Equal(t, 3, v.Rows)
	require.Equal(t, 5, v.Cols)
	for i := range v.Pieces {
		want := "M"
		if (v.Pieces[i].Row+v.Pieces[i].Col)%2 == 1 {
			want = "W"
		}
		assert.Equal(t, want, v.Pieces[i].Stock)
	}
}

// The least there is must pass through everything.
func TestOneBlock(t *testing.T) {
	w, err := Of(context.Background(), boardtest.Grid(t, 1, 1, 1), uniform())
	require.NoError(t, err)
	assert.Empty(t, w.Spread)
}

func climate(t *testing.T, key string) *moisture.Climate {
	t.Helper()
	c, err := moisture.FindClimate(key)
	require.NoError(t, err)
	return &c
}

// The air in which a board holds is that in which its word is: narrower where nothing is
// told of the moisture at gluing than where the same was measured.
func TestUnknownMoistureNarrowsTheAir(t *testing.T) {
	of := func(moisture string) HumidityWindow {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0%s},"W":{"species":"black-walnut","ring_angle":80%s}},"field":{"grid":{"block":[40,40],"rows":["MW","WM"]}}}`, moisture, moisture)
		m, err := check.Prepare(t.Context(), b, check.Conditions{NoHistories: true})
		require.NoError(t, err)
		home, err := check.Conditions{}.ClimateOf(b)
		require.NoError(t, err)
		return humidityWindow(t.Context(), m.Model(), b, home, belowDoubtful, true)
	}
	balance, err := moisture.EMC(20, 45)
	require.NoError(t, err)
	measured, untold := of(fmt.Sprintf(`,"moisture":%.17g`, balance)), of("")
	assert.Less(t, untold.High, measured.High)
	assert.Greater(t, untold.High, 45.0)
}

// How far all wood may change has the word of a check, and so has a size: what a board of
// measured moisture bears is too much for one of which nothing is told.
func TestUnknownMoistureNarrowsTheChange(t *testing.T) {
	const src = `{"tanrad":1,"units":"mm","thickness":40,"home":"none","stock":{"A":{"species":"sugar-maple","ring_angle":0%[1]s},"B":{"species":"black-walnut","ring_angle":90%[1]s}},"field":{"grid":{"block":[40,40],"rows":["AB"]}}}`
	var last ShiftWindow
	for i, moisture := range []string{`,"moisture":8.5`, ""} {
		b := boardtest.From(t, src, moisture)
		m, err := influence.Prepare(t.Context(), b, uniform().Solving())
		require.NoError(t, err)
		w := shiftWindow(t.Context(), m, b, belowTight, false)
		c := uniform()
		c.Shifts = []float64{w.Wetting, last.Wetting}
		r, err := check.Board(t.Context(), b, c)
		require.NoError(t, err)
		n := len(r.States)
		assert.Equal(t, check.Holds, r.States[n-2].Verdict, "%q: %+v", moisture, w)
		if i == 1 {
			assert.Equal(t, check.Tight, r.States[n-1].Verdict, "where the measured board still holds")
		}
		last = w
		// A change between the two limits, by which a size is judged.
		between := 6.0
		for range 5 {
			c.Shifts = []float64{between}
			f, err := check.FigureOf(t.Context(), b, c)
			require.NoError(t, err)
			between *= 0.97 * verdict.FromDoubtful / f.Utilisation
		}
		c.Shifts = []float64{between}
		_, ok, err := judge(t.Context(), b, c)
		require.NoError(t, err)
		assert.Equal(t, i == 0, ok, "%q", moisture)
	}
}
