package movement

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/source"
	"github.com/tanrad/tanrad/pkg/wood"
)

func mc(v float64) *float64 { return &v }

// Wood Handbook, FPL-GTR-190, ch. 13, the example below Eq. 13-2: white fir,
// flat-sawn, 9.15 in (232 mm) wide, from 8 to 11 %: 1.7 mm, 233.7 mm, 9.217 in.
func TestHandbookExample(t *testing.T) {
	for _, size := range []float64{232, 9.15 * 25.4} {
		r, err := Change(Request{Species: "white-fir", Size: size, Form: Coefficient, FromMC: mc(8), ToMC: mc(11)})
		require.NoError(t, err)
		assert.InDelta(t, 1.7, r.Change, 0.05)             // mm, as printed
		assert.InDelta(t, size*0.00245*3, r.Change, 0.001) // mm, C_T 0.00245
		assert.InDelta(t, 0.067, r.Inches.Change, 0.0005)  // in, as printed
		assert.InDelta(t, 9.217, r.Inches.NewSize, 0.018)  // in: 232 mm and 9.15 in differ by 0.016 in
		assert.InDelta(t, 3*0.245, r.Percent, 1e-9)        // %
	}
	r, err := Change(Request{Species: "white-fir", Size: 9.15 * 25.4, Form: Coefficient, FromMC: mc(8), ToMC: mc(11)})
	require.NoError(t, err)
	assert.InDelta(t, 9.217, r.Inches.NewSize, 0.0006) // in, last printed digit
	assert.Equal(t, "9 7/32 in", r.Inches.NewSizeText)
	assert.Equal(t, "9 5/32 in", r.Inches.SizeText)
	r, err = Change(Request{Species: "white-fir", Size: 38, Dimension: Thickness, Form: Coefficient, FromMC: mc(8), ToMC: mc(11)})
	require.NoError(t, err)
	assert.InDelta(t, 38*0.00112*3, r.Change, 1e-9) // mm; C_R 0.00112 is printed for the thickness
}

// A magazine chart drawn from Table 13-5 works red alder, 8 in, 6 %: 0.1248 in.
func TestAlderExample(t *testing.T) {
	r, err := Change(Request{Species: "red-alder", Size: 8 * 25.4, Form: Coefficient, FromMC: mc(7), ToMC: mc(13)})
	require.NoError(t, err)
	assert.InDelta(t, 0.1248, r.Inches.Change, 0.002) // in: the chart rounds C_T 0.00256 to 0.0026
}

// Green to 12 %, Eq. 4-7: S_M = S_0 (30 − M)/30; northern red oak S_T 8.6 gives 5.16 %.
func TestGreenToDry(t *testing.T) {
	r, err := Change(Request{Species: "northern-red-oak", Size: 100, FromMC: mc(30), ToMC: mc(12)})
	require.NoError(t, err)
	assert.InDelta(t, -5.16, r.Percent, 1e-9)
}

// Rotation at 45° from green to dry: S_R 4.0, S_T 8.6 give 6.30 % and a shear of 4.60 %.
func TestRotation(t *testing.T) {
	req := Request{Species: "northern-red-oak", Size: 100, FromMC: mc(30), ToMC: mc(0)}
	want := map[string]float64{"0": 8.6, "15": 8.29, "30": 7.45, "rift": 6.30, "60": 5.15, "75": 4.31, "quarter-sawn": 4.0}
	for cut, w := range want {
		req.Cut, req.Dimension = cut, Width
		a, err := Change(req)
		require.NoError(t, err)
		assert.InDelta(t, -w, a.Percent, 0.005, cut) // %, as listed to two decimals
		req.Dimension = Thickness
		b, err := Change(req)
		require.NoError(t, err)
		assert.InDelta(t, -12.6, a.Percent+b.Percent, 1e-9, cut) // the sum of two perpendicular strains does not turn
	}
	req.Cut, req.Dimension = "rift", Width
	r, err := Change(req)
	require.NoError(t, err)
	assert.InDelta(t, -0.046, r.Skew, 1e-12)
}

// Every wood: the total form is the law differentiated into the coefficient
// form, the swelling of package wood is the printed formula, and going there
// and back returns the size.
func TestEveryWood(t *testing.T) {
	for _, s := range wood.All() {
		for _, cut := range []string{"flat-sawn", "37", "quarter-sawn"} {
			there, err := Change(Request{Species: s.ID, Size: 137, Cut: cut, FromMC: mc(7.3), ToMC: mc(12.9)})
			require.NoError(t, err, s.ID)
			f := s.FSP()
			eq := func(total float64) float64 { return (12.9 - 7.3) / (100*f/total - f + 7.3) } // Eq. 13-3
			a, _ := RingAngle(cut)
			sin, cos := math.Sincos(a * math.Pi / 180)
			want := 137 * (eq(s.ShrinkR.V)*sin*sin + eq(s.ShrinkT.V)*cos*cos)
			assert.InDelta(t, want, there.Change, 1e-9, s.ID)
			if cut == "37" {
				continue // strains of two steps add up exactly only along the principal axes
			}
			back, err := Change(Request{Species: s.ID, Size: there.NewSize, Cut: cut, FromMC: mc(12.9), ToMC: mc(7.3)})
			require.NoError(t, err)
			assert.InDelta(t, 137, back.NewSize, 1e-9, s.ID)
		}
	}
}

func TestDerivationHoldsEveryNumber(t *testing.T) {
	r, err := Change(Request{
		Species: "sugar maple", Size: 40, Cut: "30",
		From: &moisture.Room{Humidity: 35, Temperature: 21}, To: &moisture.Room{Humidity: 60, Temperature: 21},
	})
	require.NoError(t, err)
	assert.InDelta(t, 6.94, r.FromMC, 0.005)
	assert.InDelta(t, 10.97, r.ToMC, 0.005)
	require.Len(t, r.Derivation, 6) // two rooms, two axes, the turn, the change
	for _, s := range r.Derivation {
		assert.NotEmpty(t, s.Formula)
		_, known := source.Of(s.Source)
		assert.True(t, known, s.Source)
		assert.NotEmpty(t, s.Inputs)
		for _, in := range append(s.Inputs, s.Result) {
			assert.NotEmpty(t, in.Symbol)
			assert.NotEmpty(t, in.Unit)
			assert.False(t, math.IsNaN(in.Value))
		}
	}
	assert.InDelta(t, r.Change, r.Derivation[5].Result.Value, 0)
}

func TestWarnings(t *testing.T) {
	inside, err := Change(Request{Species: "white-ash", Size: 100, Form: Coefficient, FromMC: mc(7), ToMC: mc(12)})
	require.NoError(t, err)
	outside, err := Change(Request{Species: "white-ash", Size: 100, Form: Coefficient, FromMC: mc(5), ToMC: mc(12)})
	require.NoError(t, err)
	assert.Len(t, outside.Warnings, len(inside.Warnings)+1)
	wet, err := Change(Request{Species: "white-ash", Size: 100, FromMC: mc(80), ToMC: mc(12)})
	require.NoError(t, err)
	green, err := Change(Request{Species: "white-ash", Size: 100, FromMC: mc(30), ToMC: mc(12)})
	require.NoError(t, err)
	assert.Equal(t, green.Change, wet.Change)
	assert.Contains(t, fmt.Sprint(wet.Warnings), "fibre saturation")
	// the two forms agree within 2 % of the change over 6 to 14 % (sugar maple: 1.4 %)
	a, err := Change(Request{Species: "sugar-maple", Size: 100, FromMC: mc(6), ToMC: mc(14)})
	require.NoError(t, err)
	b, err := Change(Request{Species: "sugar-maple", Size: 100, Form: Coefficient, FromMC: mc(6), ToMC: mc(14)})
	require.NoError(t, err)
	assert.InEpsilon(t, 1.014, a.Change/b.Change, 0.002)
}

func TestLength(t *testing.T) {
	r, err := Change(Request{Species: "american-beech", Size: 1000, Dimension: Length, FromMC: mc(30), ToMC: mc(0)})
	require.NoError(t, err)
	assert.GreaterOrEqual(t, -r.Percent, 0.1) // %, Wood Handbook ch. 4: 0.1 to 0.2 green to oven-dry
	assert.LessOrEqual(t, -r.Percent, 0.2)
	assert.NotEmpty(t, r.Warnings)
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		r        Request
		pointers []string
	}{
		{Request{Species: "sugar-mapel", Size: 10, FromMC: mc(7), ToMC: mc(9)}, []string{"/species"}},
		{Request{Species: "sugar-maple", Size: 0, FromMC: mc(7), ToMC: mc(9)}, []string{"/size"}},
		{Request{Species: "sugar-maple", Size: math.NaN(), FromMC: mc(math.Inf(1)), ToMC: mc(-1)}, []string{"/size", "/from_mc", "/to_mc"}},
		{Request{Species: "sugar-maple", Size: 10, Cut: "91", ToMC: mc(9)}, []string{"/from_mc", "/cut"}},
		{Request{Species: "sugar-maple", Size: 10, Cut: "curly", Form: "x", Dimension: "y", FromMC: mc(8), ToMC: mc(9), To: &moisture.Room{}},
			[]string{"/dimension", "/form", "/to", "/cut"}},
		{Request{Species: "sugar-maple", Size: 10, FromMC: mc(8), To: &moisture.Room{Humidity: 120, Temperature: 20}}, []string{"/to/humidity"}},
		{Request{Species: "sugar-maple", Size: 10, Cut: "NaN", FromMC: mc(8), ToMC: mc(9)}, []string{"/cut"}},
	} {
		_, err := Change(c.r)
		var l fault.List
		require.ErrorAs(t, err, &l)
		var got []string
		for _, f := range l {
			got = append(got, f.Pointer)
		}
		assert.Equal(t, c.pointers, got)
	}
}

func ExampleChange() {
	from, to := 7.5, 12.0
	r, _ := Change(Request{Species: "sugar-maple", Size: 40, Form: Coefficient, FromMC: &from, ToMC: &to})
	fmt.Printf("%.2f mm, %s\n", r.Change, r.Inches.ChangeText)
	// Output: 0.64 mm, 1/32 in
}

// Slips that users made are asked about, and what they do every day is not.
func TestSlipsAreAskedAbout(t *testing.T) {
	ask := func(size, from, to float64) []string {
		r, err := Change(Request{Species: "sugar-maple", Size: size, FromMC: &from, ToMC: &to})
		require.NoError(t, err)
		var at []string
		for _, n := range r.Notices {
			at = append(at, n.Pointer+" "+n.Likely)
		}
		return at
	}
	assert.Equal(t, []string{"/from_mc 45rh and 65rh"}, ask(250, 45, 65))
	assert.Equal(t, []string{"/from_mc 8 % MC", "/to_mc 10 % MC"}, ask(250, 0.08, 0.10))
	assert.Equal(t, []string{"/size 38.1 mm"}, ask(1.5, 8, 10))
	assert.Empty(t, ask(250, 7.5, 10.5))
	assert.Empty(t, ask(250, 80, 8), "green wood that dries")
	fahrenheit := moisture.Room{Humidity: 0.45, Temperature: 70}
	r, err := Change(Request{Species: "sugar-maple", Size: 250, From: &fahrenheit, To: &moisture.Room{Humidity: 45, Temperature: 20}})
	require.NoError(t, err)
	require.Len(t, r.Notices, 2)
	assert.Equal(t, "21.1 °C", r.Notices[1].Likely)
}
