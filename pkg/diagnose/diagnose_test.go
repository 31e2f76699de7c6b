package diagnose

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

func ask(t *testing.T, name string, o Observation) *Diagnosis {
	t.Helper()
	d, err := Board(context.Background(), file(t, name), o, Options{Most: 200})
	require.NoError(t, err)
	return d
}

func days(v float64) *float64 { return &v }

// A joint is the same from either side, and equal questions get equal answers.
func TestFromEitherSide(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	o := Observation{Joint: "r1c1|r1c2", Season: "winter", Age: days(100)}
	a := ask(t, bare, o)
	o.Joint = "r1c2|r1c1"
	assert.Equal(t, a, ask(t, bare, o))
	assert.Equal(t, "r1c1|r1c2", a.Seen.Joint)
	total := 0.0
	for i, h := range a.Hypotheses {
		total += h.Chance
		assert.NotEmpty(t, append(h.For, h.Against...), h.Key)
		if i > 0 {
			assert.LessOrEqual(t, h.Chance, a.Hypotheses[i-1].Chance)
		}
	}
	assert.Greater(t, total, 0.9, "those left out are below a thousandth each")
	assert.LessOrEqual(t, total, 1+1e-12)
	_, err := json.Marshal(a)
	assert.NoError(t, err, "no NaN")
}

// One wood, rings alike: nothing pulls at any joint, and nothing that was told
// can open it. The answer says so and does not choose.
func TestNothingPulls(t *testing.T) {
	b, faults := layout.Parse([]byte(`{"tanrad": 1, "units": "mm", "thickness": 38, "home": "continental-heated",
		"stock": {"M": {"species": "sugar-maple", "ring_angle": 0, "moisture": 8}}, "field": {"grid": {"block": [40, 40], "rows": ["MM", "MM"]}}}`))
	require.Empty(t, faults)
	d, err := Board(context.Background(), b, Observation{Joint: "r1c1|r1c2", Where: InJoint, Depth: Through, Season: "winter"}, Options{})
	require.NoError(t, err)
	assert.True(t, len(d.Hypotheses) == 0 || d.Hypotheses[0].Utilisation < 0.3, "%+v", d.Hypotheses)
	assert.Regexp(t, "Nothing that was looked at|look for something that was not told", d.Headline)
}

// A board that is hard pressed everywhere opens first where it is pressed most.
// That it opened at its quietest joint points to the bond there.
func TestQuietJointPointsToItsBond(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := board(t, "checker-long-border")
	r, err := newRunner(context.Background(), b, check.Conditions{}, false)
	require.NoError(t, err)
	home, err := climate(b, "")
	require.NoError(t, err)
	s := settledScenes(home)[0]
	o, err := r.run(context.Background(), &s)
	require.NoError(t, err)
	quiet := 0
	for j := range o.joints {
		if o.joints[j].u < o.joints[quiet].u {
			quiet = j
		}
	}
	seen := place{joints: []int{quiet}}
	score := func(o *outcome, prior float64) float64 {
		all := sum(o, &seen)
		f := weigh(&Observation{Month: 1}, o, &all, prior, spread("with-the-year"), "")
		return f.product()
	}
	told := score(o, judged("prior-usual"))
	assert.Greater(t, score(o.weaker(quiet, judged("keeps-dry")), judged("prior-dry")), 10*told, "%g of what it bears", o.joints[quiet].u)
	busy := 0
	for j := range o.joints {
		if o.joints[j].u > o.joints[busy].u {
			busy = j
		}
	}
	seen = place{joints: []int{busy}}
	assert.Less(t, score(o.weaker(busy, judged("keeps-dry")), judged("prior-dry")), score(o, judged("prior-usual")), "where it opens anyway no poor bond is needed")
}

// A mistake at gluing that nothing else comes near is found though it is rarer.
func TestBorderGluedDamp(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	d := ask(t, hems, Observation{Joint: "r1c2|b1.right", Where: InJoint, Depth: Through, Season: "winter", Age: days(40)})
	keys := []string{}
	for _, h := range d.Hypotheses {
		if h.Alike {
			keys = append(keys, h.Key)
		}
	}
	assert.Contains(t, strings.Join(keys, " "), "dry-season")
	assert.NotContains(t, strings.Join(keys, " "), "damp-season", "a winter crack is not summer's")
}

// The season told decides between the seasons, the face between the faces, the
// event between events.
func TestWhatIsToldCounts(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	place := func(d *Diagnosis, key string) int {
		for i, h := range d.Hypotheses {
			if h.Key == key {
				return i
			}
		}
		return math.MaxInt
	}
	winter := ask(t, hems, Observation{Season: "winter"})
	summer := ask(t, hems, Observation{Season: "summer"})
	assert.Less(t, place(winter, "border-holds+dry-season"), place(winter, "border-holds+damp-season"))
	assert.Less(t, place(summer, "border-holds+damp-season"), place(summer, "border-holds+dry-season"))
	told := dishwashed(t)
	assert.Equal(t, "dishwasher", strings.TrimPrefix(told.Hypotheses[0].Key, "border-drier+"), told.Headline)
	for _, face := range []string{Top, Bottom} {
		other := map[string]string{Top: Bottom, Bottom: Top}[face]
		d := rankedOn(t, file(t, hems), Observation{Event: "near-heat", Face: face}, "near-heat/"+Top, "near-heat/"+Bottom)
		assert.Less(t, place(d, "near-heat/"+face), place(d, "near-heat/"+other))
	}
}

// dishwashed is what a block that checked in a dishwasher is explained by, looked at by
// several tests.
var dishwashed = func() func(t *testing.T) *Diagnosis {
	var once sync.Once
	var d *Diagnosis
	return func(t *testing.T) *Diagnosis {
		once.Do(func() {
			d = ask(t, hems, Observation{Piece: "r1c1", Where: InWood, Event: "dishwasher", Depth: OnFace})
		})
		return d
	}
}()

// Checks of the wood count where wood was seen to open, and only there.
func TestWoodAndJoint(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	wood := dishwashed(t)
	joint := rankedOn(t, file(t, hems), Observation{Piece: "r1c1", Where: InJoint, Event: "dishwasher", Depth: OnFace}, "dishwasher")
	for _, h := range wood.Hypotheses {
		assert.NotEqual(t, ByBond, h.Kind, "a bond opens no wood")
	}
	u := func(d *Diagnosis) float64 {
		for _, h := range d.Hypotheses {
			if h.Key == "dishwasher" {
				return h.Utilisation
			}
		}
		return -1
	}
	assert.Greater(t, u(wood), u(joint), "hot drying checks the skin before it opens the joints")
}

func TestBadObservations(t *testing.T) {
	b := file(t, "own-months")
	for want, o := range map[string]Observation{
		"/joint unknown-name":                     {Joint: "r1c1|r9c9"},
		"/piece unknown-name":                     {Piece: "r9c9"},
		"/piece not-allowed":                      {Joint: "r1c1|r1c2", Piece: "r1c1"},
		"/where not-one-of":                       {Where: "glue"},
		"/depth not-one-of":                       {Depth: "deep"},
		"/face not-one-of":                        {Face: "left"},
		"/season not-one-of":                      {Season: "fall"},
		"/month out-of-range":                     {Month: 13},
		"/month not-allowed":                      {Month: 1, Season: "winter"},
		"/face not-allowed":                       {Depth: Through, Face: Top},
		"/age out-of-range":                       {Age: days(math.NaN())},
		"/event unknown-name":                     {Event: "wash"},
		"/where not-one-of /age out-of-range":     {Where: "x", Age: days(-1)},
		"/season not-one-of /joint unknown-name":  {Season: "x", Joint: "a|b"},
		"/month not-allowed /event unknown-name":  {Season: "winter", Month: 2, Event: "x"},
		"/depth not-one-of /age out-of-range":     {Depth: "x", Age: days(1e9)},
		"/month out-of-range /piece unknown-name": {Month: -1, Piece: "x"},
		"/signs/1 not-one-of":                     {Signs: []string{Cupped, "bent"}},
		"/signs/1 repeated-key":                   {Signs: []string{Cupped, Cupped}},
		"/signs/0 not-allowed":                    {Signs: []string{AfterWashing}, Event: "hot-pan"},
	} {
		_, err := Board(context.Background(), b, o, Options{})
		var list fault.List
		require.ErrorAs(t, err, &list, want)
		var told []string
		for _, f := range list {
			told = append(told, f.Pointer+" "+string(f.Rule))
		}
		assert.Equal(t, want, strings.Join(told, " "))
	}
	_, err := Board(context.Background(), b, Observation{}, Options{Home: "nowhere"})
	var list fault.List
	require.ErrorAs(t, err, &list)
	assert.Equal(t, "/home", list[0].Pointer)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Board(ctx, b, Observation{}, Options{})
	assert.True(t, errors.Is(err, context.Canceled), "%v", err)
}

// What a body may hold, Take reads whole; see the api for what it may not.
func TestTake(t *testing.T) {
	doc, err := strictjson.Parse([]byte(`{"joint": "a|b", "where": "wood", "depth": "face", "face": "top", "month": 2, "event": "sink-soak", "age": 0, "signs": ["rocks", "after-washing"]}`), strictjson.Limits{})
	require.NoError(t, err)
	o := Take(doc.Root())
	require.NoError(t, doc.Err())
	assert.Equal(t, Observation{Joint: "a|b", Where: InWood, Depth: OnFace, Face: Top, Month: 2, Event: "sink-soak", Age: days(0), Signs: []string{RocksOnTop, AfterWashing}}, o)
}

// A cause that knows no season is seen evenly; the others average to one.
func TestSeasonsAverageToOne(t *testing.T) {
	for worst := 0; worst <= 12; worst++ {
		sum := 0.0
		for m := 1; m <= 12; m++ {
			f := seasonChance(worst, m)
			assert.Greater(t, f, 0.0)
			sum += f / 12
		}
		assert.InDelta(t, 1, sum, 1e-12, "round-off, month %d", worst)
	}
	assert.InDelta(t, seasonChance(1, 12), seasonChance(1, 2), 1e-15, "December is as near to January as February")
	assert.Greater(t, seasonChance(1, 1), seasonChance(1, 2))
}

func TestAgesSumToOne(t *testing.T) {
	for _, a := range [][4]float64{spread("any-time"), spread("with-the-year"), spread("soon-after"), spread("poor-bond"), fromStart(3), fromStart(1000)} {
		assert.InDelta(t, 1, a[0]+a[1]+a[2]+a[3], 1e-12)
	}
}

// Two links with Weibull strengths: the chance that the first opens before the
// second is r1/(r1+r2), counted here by integrating over the load.
func TestPlaceIsTheChanceToOpenFirst(t *testing.T) {
	const u1, u2 = 0.83, 0.57
	modulus := judged("weibull-modulus")
	g := math.Gamma(1 + 1/modulus)
	// With load s, link i has opened with chance 1 − exp(−(g·u_i·s)^m).
	first, ds := 0.0, 1e-4
	for s := ds / 2; s < 6; s += ds {
		density := modulus * math.Pow(g*u1, modulus) * math.Pow(s, modulus-1)
		first += ds * density * math.Exp(-math.Pow(g*u1*s, modulus)-math.Pow(g*u2*s, modulus))
	}
	assert.InDelta(t, first, rate(u1)/(rate(u1)+rate(u2)), 1e-6, "chance, the error of the sum")
	assert.InDelta(t, 1-math.Exp(-math.Pow(g*u1, modulus)), -math.Expm1(-rate(u1)), 1e-15)
}

// A look back takes rings that nobody has looked at as the typical draw of a check, and
// says so.
func TestUnknownRingsInALookBack(t *testing.T) {
	f := boardtest.Unlooked(t)
	w, err := begin(t.Context(), f, &Observation{Joint: "p1|p2"}, Options{})
	require.NoError(t, err)
	drawn, err := check.Conditions{}.Draw(t.Context(), f, boardtest.Lay(t, f))
	require.NoError(t, err)
	require.NotNil(t, drawn.Unlucky)
	assert.Equal(t, drawn.Typical.Board.Pieces, w.b.Pieces)
	assert.NotZero(t, w.b.Pieces[0].RingAngle)
	assert.Contains(t, strings.Join(notes(w), " "), "Nobody has looked at some of the rings")
	w, err = begin(t.Context(), f.Draw(1), &Observation{Joint: "p1|p2"}, Options{})
	require.NoError(t, err)
	assert.NotContains(t, strings.Join(notes(w), " "), "Nobody has looked")
}
