package report_test

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/notice"
	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/report"
	"github.com/tanrad/tanrad/pkg/window"
)

func hours(h float64) *float64 { return &h }

// full is a report with every part filled; its numbers are invented.
func full() *check.Report {
	return &check.Report{
		Name: "tide board", Units: "mm", Verdict: check.Fails, Mode: check.LineOpens, Utilisation: 1.234,
		Headline: "Fails: 123 % of what it bears, in row 1, between block 1 and block 2, in June.",
		Worst: &check.Worst{Joint: "r1c1|r1c2", State: "dampest-month", When: "in June", How: "opens", Place: layout.XY{40, 12}, Level: "top face",
			Where: "row 1, between block 1 and block 2", Normal: 3.21, Shear: -0.45, Weakest: "the wood of r1c2 (black walnut), tension across the grain", Why: "Their rings differ."},
		Width: 304.8, Height: 203.2, Thickness: 38.1,
		States: []check.State{{Name: "driest-month", Humidity: 27, Temperature: 21, Moisture: map[string]float64{"M": 5.7, "W": 5.71}, Width: -1.5, Height: -0.001, Utilisation: 0.4, Verdict: check.Holds},
			{Name: "dampest-month", Moisture: map[string]float64{"M": 10.9, "W": 12}, Width: 2.54, Height: 1, Utilisation: 1.234, Elastic: 1.5, Verdict: check.Fails}},
		Modes: []check.Mode{{Mode: check.LineOpens, Name: "a glue line opens", Counts: true, Verdict: check.Fails, Figure: hours(1.234), Low: hours(0.6), High: hours(2.4), Joint: "r1c1|r1c2", State: "dampest-month"},
			{Mode: check.EndOpens, Name: "opens from its end", Counts: true},
			{Mode: check.WoodChecks, Name: "the wood checks", Verdict: check.Tight, Figure: hours(0.6), Low: hours(0.6), High: hours(0.6), Piece: "r1c2", State: "wash-one-face"},
			{Mode: check.OutOfFlat, Name: "lies not flat", Counts: true, Verdict: check.Tight, Figure: hours(0.55), Low: hours(0.3), High: hours(0.9), State: "wash-one-face", Gap: 1.2, Rocks: 2.1, Why: "One face is wetter.", Helps: "feet"}},
		Exposures: []check.Exposure{{Name: "wash-one-face", Checking: check.Checking{Utilisation: 0.6, Hour: 2, Piece: "r1c2", Level: "core"}, Checks: &check.Checks{Depth: 1, Text: "Checks are likely."}, Mode: check.OutOfFlat, Index: 0.55, After: hours(3), Utilisation: 0.55, Verdict: check.Tight, Worst: "middling", WorstHour: 3, Cup: -1.27, Bow: 0.001, Twist: 0.1,
			Responses: []check.Reply{{Kind: "Black walnut, end grain", Half: hours(72), Ninety: hours(1500)}, {Kind: "Teak, long grain", Half: hours(90000), BeyondYears: 40}}}},
		Lines:  []check.Crack{{Utilisation: 0.81, Joints: []string{"r1c1|r1c2"}, Length: 40, Size: 40, Release: 90, Needed: 136, Governs: "energy", How: "opens", State: "driest-month"}},
		Check:  &check.SanityCheck{Stress: 1e-12, Width: 1e-13},
		GlueUp: []check.Caution{{Topic: "glue", Text: "Spread it dry.", Source: "a source"}},
		Pieces: []check.Piece{{ID: "r1c1", Species: "sugar-maple"}, {ID: "r1c2", Species: "black-walnut"}},
		Joints: []check.Joint{{ID: "calm", Utilisation: 0.1, Verdict: check.Holds, State: "driest-month", How: "slides"},
			{ID: "r1c1|r1c2", A: "r1c1", B: "r1c2", Utilisation: 1.234, Verdict: check.Fails, State: "dampest-month", How: "opens", Normal: 3.21, Shear: -0.45},
			{ID: "middling", Utilisation: 0.7, Verdict: check.Tight, State: "dampest-month", How: "opens"}},
		Size: check.Range{WidthMin: 303.3, WidthMax: 307.34, HeightMin: 203.199, HeightMax: 204.2},
		Causes: []check.Share{{Kind: "piece", Name: "r1c2", Share: 0.71}, {Kind: "piece", Name: "r1c1", Share: 0.29}, {Kind: "piece", Name: "r9c9", Share: 0.001},
			{Kind: "mechanism", Name: "rings turned differently", Share: 0.62}, {Kind: "mechanism", Name: "one face wet", Share: -0.13}},
		Chance: &check.Chance{Board: hours(0.3), Text: "about 3 in 10 boards like this"},
		Limitations: check.Limitations{Estimated: []check.Input{{What: "G_RT of cherry", Status: "estimated", Effect: 0.22}, {What: "finish factor", Status: "memory"}},
			Assumptions: []string{"plane stress"}, NotModelled: []string{"curly grain"}, Low: 0.9, High: 1.5},
		Safety: []check.Caution{{Topic: "dust", Text: "Extract it.", Source: "a source"}},
	}
}

func board(t *testing.T, r *check.Report, s report.Style) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, report.Board(&b, r, s))
	for _, line := range strings.Split(b.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 100, "%q", line)
	}
	return b.String()
}

func TestBoardSaysVerdictFirstThenEverything(t *testing.T) {
	text := board(t, full(), report.Style{})
	lines := strings.Split(text, "\n")
	assert.Equal(t, "FAILS  tide board", lines[0])
	assert.Equal(t, full().Headline, lines[1])
	rest := text
	for _, words := range []string{"between r1c1 (sugar maple) and r1c2 (black walnut), top face;", "40.0 mm from the left and 12.0 mm", "when        in June", "3.21 MPa opening the joint and 0.45 MPa along it", "black walnut", "Their rings differ",
		"a glue line opens   fails          123 %     60–240 %  r1c1|r1c2   dampest-month", "opens from its end  not judged", "(tight)         60 %               r1c2", "lies not flat       tight           55 %      30–90 %  1.5 mm gap  wash-one-face",
		"One face is wetter. It stands 1.5 mm off a flat top", "feet.",
		"62 %  ##########        rings turned differently", "-13 %  --                one face wet", "by piece  71 % r1c2, 29 % r1c1", "driest-month   27 % at 21 °C", "dampest-month", "150 %", "10.9–12.0",
		"wash-one-face  tight    flat      55 %       3 hours  -1.27 mm    0  +0.10 mm", "checks      Checks are likely. Pulled to 60 % of its strength at worst (core of",
		"304.8 mm × 203.2 mm × 38.1 mm", "leave 3.0 mm of width and 1.0 mm of height", "black walnut, end grain in 3 days half of the way, in 2 months",
		"r1c1|r1c2     81 %  opens  40.0 mm     90    136  energy   driest-month",
		"Joints: 3 (1 hold, 1 tight, 0 doubtful, 1 fail)", "3 in 10", "lies between 90 %", "estimated: G_RT of cherry (± 22 % of the answer)", "from memory of its source: finish factor", "plane stress", "not modelled: curly grain", "found 1e-12 MPa", "At glue-up", "Spread it dry.", "Mind in the shop", "Extract it."} {
		_, after, found := strings.Cut(rest, words)
		if assert.True(t, found, "%q stands in its place in\n%s", words, text) {
			rest = after
		}
	}
	assert.NotContains(t, text, "r9c9", "shares of nothing are left out")
	assert.Contains(t, text, "+0.00 mm", "what rounds to nothing has no minus")
	assert.NotContains(t, text, "-0.00")
	worst, calm := strings.Index(text, "  r1c1|r1c2  fails"), strings.Index(text, "  calm ")
	assert.Less(t, worst, calm, "worst joint first")
	assert.NotContains(t, board(t, full(), report.Style{Joints: 1}), "middling")
}

func TestInches(t *testing.T) {
	text := board(t, full(), report.Style{Inches: true})
	assert.Contains(t, text, "12 in × 8 in × 1 1/2 in")
	assert.Contains(t, text, "+3/32 in", "fractions where they say enough")
	assert.Contains(t, text, "-0.000 in"[1:], "decimals below 1/64")
	assert.Contains(t, text, "leave 7/64 in of width", "rounded up")
	assert.NotContains(t, text, "305")
}

func TestNothingStressed(t *testing.T) {
	r := &check.Report{Verdict: check.Holds, Headline: "Holds: nothing in this board is stressed."}
	text := board(t, r, report.Style{})
	assert.True(t, strings.HasPrefix(text, "HOLDS\n"))
	assert.NotContains(t, text, "where")
	assert.NotContains(t, text, "\n\n\n", "no empty part leaves a hole")
}

// The page of a maker: its parts in their order, one form for a figure, few lines.
func TestBriefIsAPage(t *testing.T) {
	r := full()
	for _, e := range []struct {
		name string
		u    float64
		word check.Verdict
		mode string
	}{{"hot-pan", 0.2, check.Holds, check.LineOpens}, {"sink-soak", 0.83, check.Doubtful, check.WoodChecks}, {"sea-freight", 3.13, check.Fails, check.Splits}, {"damp-shop", 4.45, check.Fails, check.OutOfFlat}} {
		r.Exposures = append(r.Exposures, check.Exposure{Name: e.name, Mishap: true, Utilisation: e.u / 2, Mode: e.mode, Index: e.u, Verdict: e.word})
	}
	a := &advice.Advice{Now: r.Figure(), Moves: []advice.Candidate{
		{Text: "Leave the border off.", Figure: check.Figure{Utilisation: 0.11, Index: 0.12, Verdict: check.Holds}},
		{Text: "Use teak.", Figure: check.Figure{Utilisation: 0.5, Index: 0.54, Verdict: check.Tight}}}}
	var b strings.Builder
	require.NoError(t, report.Brief(&b, r, report.Style{}, helps(a, window.HumidityWindow{Low: 29.4, High: 51.8})))
	text := b.String()
	rest := text
	for _, words := range []string{"FAILS  tide board\n" + r.Headline + "\n\n", "where       row 1, between block 1 and block 2 (sugar maple on black walnut),\n            top face; 40.0 mm",
		"r1c1|r1c2 in tables\n", "how         opens; first to give is the wood of", "why         Their rings differ.\n",
		"to do       Leave the border off. Then 12 %: holds.\nor          Use teak. Then 54 %: tight.\n",
		"care        Once settled over a season it holds or is tight between 29 and 52 %\n",
		"mishaps     Does not survive: damp shop (not flat, 445 %), sea freight (313 %).\n            Doubtful: sink soak (checks, 83 %). Survives: hot pan.\n",
		"glue-up     Spread it dry.\n", "mind        Extract dust, wear a mask.", "how sure    Model's chance that it gives: about 3 in 10; nine boards in ten come\n            to 60–240 %; years of washing left out\n", "--long"} {
		_, after, found := strings.Cut(rest, words)
		require.True(t, found, "%q stands in its place in\n%s", words, text)
		rest = after
	}
	for _, line := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, "%q", line)
	}
	assert.LessOrEqual(t, strings.Count(text, "\n"), 25)
	for _, word := range []string{"elastic", "utilisation", "J/m²", "MPa", "times what"} {
		assert.NotContains(t, text, word)
	}
}

// A board that holds is not told what to do, and one too large is told where to ask.
func TestBriefTellsWhereToAsk(t *testing.T) {
	text := func(a *advice.Advice, air window.HumidityWindow) string {
		var b strings.Builder
		require.NoError(t, report.Brief(&b, full(), report.Style{Inches: true}, helps(a, air)))
		return b.String()
	}
	assert.NotContains(t, text(&advice.Advice{Now: check.Figure{Verdict: check.Holds}}, window.HumidityWindow{}), "to do")
	assert.Contains(t, text(&advice.Advice{Skipped: []string{"large"}}, window.HumidityWindow{}), "to do       Not worked out here")
	none := text(&advice.Advice{}, window.HumidityWindow{None: true})
	assert.Contains(t, none, "Of the quick changes none helps")
	assert.Contains(t, none, "care        No air keeps it")
	assert.Contains(t, none, " in from the left")
}

// What is hardly meant is asked about directly under the headline, question by question.
func TestNoticesStandUnderTheHeadline(t *testing.T) {
	r := full()
	r.Notices.Look(notice.Moisture, 0.08, "/stock/W/moisture") // a fraction for a percentage
	r.Notices.Look(notice.Humidity, 97, "/glue_up/humidity")
	lines := strings.Split(board(t, r, report.Style{}), "\n")
	assert.Equal(t, r.Headline, strings.Join(lines[1:2], " "))
	asked := strings.Join(lines[2:7], " ")
	assert.Contains(t, asked, "Is this right? /stock/W/moisture: 0.08 % MC is unusual for the moisture of wood that is glued (4 to 16 % MC): a fraction for a percentage? Did you mean 8 % MC? Is this right? /glue_up/humidity: 97 %")
	assert.Equal(t, 2, strings.Count(strings.Join(lines, " "), "Is this right?"), "once a question")
	for range 12 {
		r.Notices.Look(notice.Humidity, 0.4, "/home/months/0/humidity")
	}
	text := board(t, r, report.Style{})
	assert.Equal(t, 5, strings.Count(text, "Is this right?"), "twelve months with one slip are one slip")
	assert.Contains(t, text, "And 10 more places like these")
}

func TestPairAndMovement(t *testing.T) {
	r, err := pair.Pair(t.Context(), pair.Request{A: pair.Piece{Species: "sugar-maple"}, B: pair.Piece{Species: "black-walnut", RingAngle: 90}, From: 7.5, To: 10.5, Derivation: true})
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, report.Pair(&b, r, report.Style{}))
	assert.True(t, strings.HasPrefix(b.String(), strings.ToUpper(string(r.Verdict))+"  sugar maple and black walnut\n"), b.String())
	for _, reason := range r.Reasons {
		assert.Contains(t, strings.Join(strings.Fields(b.String()), " "), reason.Text)
	}
	assert.Contains(t, b.String(), "How it comes about")

	// 40 mm of sugar maple, flat-sawn, 7.5 to 12 %: about 40 · 0.00353 · 4.5 = 0.64 mm (Wood Handbook Table 13-5)
	from, to := 7.5, 12.0
	m, err := movement.Change(movement.Request{Species: "sugar-maple", Size: 40, FromMC: &from, ToMC: &to, Form: movement.Coefficient})
	require.NoError(t, err)
	b.Reset()
	require.NoError(t, report.Movement(&b, m, report.Style{}))
	assert.True(t, strings.HasPrefix(b.String(), "+0.64 mm  width of sugar-maple"), b.String())
}

func TestWriterErrorsAreTold(t *testing.T) {
	assert.ErrorIs(t, report.Board(broken{}, full(), report.Style{}), errBroken)
}

var errBroken = errors.New("broken")

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errBroken }

// TestKeptBoardsReadWell: no board's report holds a nonsense number.
func TestKeptBoardsReadWell(t *testing.T) {
	for _, name := range boardtest.Names(t)[:6] {
		b := boardtest.Named(t, name)
		r, err := check.Board(t.Context(), b, check.Conditions{NoHistories: true})
		require.NoError(t, err, name)
		text := board(t, r, report.Style{Inches: b.Units == "in"})
		for _, nonsense := range []string{"NaN", "Inf", "%!", "-0.00 ", "-0 "} {
			assert.NotContains(t, text, nonsense, name)
		}
	}
}

// Where another way than a crack gives the word, where, how, why, the range and what to
// do are of that way, once; the worst joint stands behind it in the long text.
func TestTheTextSpeaksOfWhatGivesTheWord(t *testing.T) {
	r := full()
	r.Mode = check.OutOfFlat
	var b strings.Builder
	require.NoError(t, report.Brief(&b, r, report.Style{}, helps(&advice.Advice{Now: check.Figure{Verdict: check.Tight}}, window.HumidityWindow{})))
	text := strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{"where the whole board", "how lies not flat, 55 % of what is let pass", "why One face is wetter. It stands 1.5 mm", "to do Feet.", "nine boards in ten come to 30–90 %"} {
		assert.Contains(t, text, want)
	}
	assert.Equal(t, 1, strings.Count(text, "One face is wetter."))
	assert.Contains(t, text, "That is of cracks alone.")
	assert.NotContains(t, text, "r1c1|r1c2")
	long := strings.Join(strings.Fields(board(t, r, report.Style{})), " ")
	at, joint := strings.Index(long, "how lies not flat"), strings.Index(long, "The worst joint or piece")
	require.Positive(t, at)
	assert.Greater(t, joint, at)
	r.Mode = check.LineOpens
	assert.NotContains(t, board(t, r, report.Style{}), "The worst joint or piece")
}

// What does not count for the word is told as that, on the page and in the long text.
func TestWhatDoesNotCountIsToldAsThat(t *testing.T) {
	r := full()
	for i := range r.Modes {
		if o := &r.Modes[i]; o.Mode == check.WoodChecks {
			o.Why = "Fine checks to 1.2 mm that close again when damp."
		}
	}
	var b strings.Builder
	require.NoError(t, report.Brief(&b, r, report.Style{}, helps(&advice.Advice{Now: check.Figure{Verdict: check.Tight}}, window.HumidityWindow{})))
	for _, text := range []string{b.String(), board(t, r, report.Style{})} {
		text = strings.Join(strings.Fields(text), " ")
		assert.Contains(t, text, "checks Fine checks to 1.2 mm that close again when damp; not counted.")
	}
	for i := range r.Modes {
		r.Modes[i].Counts = true
	}
	assert.NotContains(t, board(t, r, report.Style{}), "Told only")
}

// helps gives what is already worked out.
func helps(a *advice.Advice, air window.HumidityWindow) func() (*advice.Advice, window.HumidityWindow, error) {
	return func() (*advice.Advice, window.HumidityWindow, error) { return a, air, nil }
}

// The word, the place and the reason stand there before anybody works out what would
// help, and stay there when that ends early.
func TestTheWordDoesNotWaitForWhatHelps(t *testing.T) {
	var b strings.Builder
	late := errors.New("out of time")
	err := report.Brief(&b, full(), report.Style{}, func() (*advice.Advice, window.HumidityWindow, error) {
		assert.Contains(t, b.String(), full().Headline[:20])
		assert.Contains(t, b.String(), "why")
		assert.NotContains(t, b.String(), "care")
		return nil, window.HumidityWindow{}, late
	})
	assert.ErrorIs(t, err, late)
	assert.Contains(t, b.String(), full().Headline[:20])
}
