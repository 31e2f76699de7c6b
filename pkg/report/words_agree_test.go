package report_test

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardgen"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/picture"
	"github.com/tanrad/tanrad/pkg/report"
	"github.com/tanrad/tanrad/pkg/verdict"
	"github.com/tanrad/tanrad/pkg/window"
)

// quantiles are those of 5, 20 and 50 % of the normal law, printed, and not worked out by
// what is tested. Words begin at whole per cents of the load of a measured crack, which is
// within 0.03 of them.
var quantiles = [...]float64{-1.645, -0.842, 0}

// agrees holds a word beside a figure against the chance of the figure, its logarithm
// scattering by sigma; a figure in whole per cents may lie half a per cent off.
func agrees(t *testing.T, word verdict.Word, u, off, sigma float64, what string) {
	t.Helper()
	const near = 0.03
	k := word.Severity()
	if k > 0 {
		assert.GreaterOrEqual(t, math.Log(u+off)/sigma, quantiles[k-1]-near, "%s: %s of %.3f, σ %.2f", what, word, u, sigma)
	}
	if k < len(quantiles) && u > off {
		assert.LessOrEqual(t, math.Log(u-off)/sigma, quantiles[k]+near, "%s: %s of %.3f, σ %.2f", what, word, u, sigma)
	}
}

// said finds words with their per cents: in tables, in headlines, before a colon.
var (
	inTables  = regexp.MustCompile(`(?m)^.*?\b(holds|tight|doubtful|fails)\s{2,}(\d+)\s%.*$`)
	inWords   = regexp.MustCompile(`\b([Hh]olds|[Tt]ight|[Dd]oubtful|[Ff]ails): (?:the worst place comes to )?(\d+)\s%`)
	andThen   = regexp.MustCompile(`Then (\d+)\s%: (holds|tight|doubtful|fails)`)
	inPicture = regexp.MustCompile(`<title>([^<]*): (holds|tight|doubtful|fails), utilisation ([0-9.]+)`)
	counted   = regexp.MustCompile(`Joints by verdict: (\d+) holds, (\d+) tight, (\d+) doubtful, (\d+) fails`)
)

// per holds every word that an expression finds beside a per cent.
func per(t *testing.T, text string, re *regexp.Regexp, word, number int, sigma float64, skip func(line string) bool) (found int) {
	t.Helper()
	for _, m := range re.FindAllStringSubmatch(text, -1) {
		if skip != nil && skip(m[0]) {
			continue
		}
		p, err := strconv.Atoi(m[number])
		require.NoError(t, err)
		agrees(t, verdict.Word(strings.ToLower(m[word])), float64(p)/100, 0.01, sigma, m[0])
		found++
	}
	return found
}

// Word and chance agree in everything that is said of a board, not in JSON alone: in the
// text of a check, in its picture, in what improve, advise compare by, whether
// the moisture at gluing was measured, guessed, taken from the air, or is not told.
func TestWordAndChanceAgreeInEveryAnswer(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	words := map[verdict.Word]int{}
	for told, settled := range map[string]float64{"": 13, `,"moisture":8`: 11, `,"moisture":8,"moisture_is":"guessed"`: 15} {
		src := fmt.Sprintf(`{"tanrad":1,"units":"mm","thickness":30,"home":"none","stock":{"A":{"species":"sugar-maple","ring_angle":0%[1]s},"B":{"species":"black-walnut","ring_angle":90%[1]s}},
			"field":{"grid":{"block":[40,40],"rows":["AB"]}},"borders":[{"stock":"A","grain":"along","width":20,"sides":["left","right"]}]}`, told)
		f, b, err := layout.Open([]byte(src), layout.Limits{})
		require.NoError(t, err)
		wordsOfBoard(t, told, f, b, check.Conditions{NoHistories: true, Moistures: []float64{settled}}, words)
	}
	assert.Len(t, words, 4, "every word was met: %v", words)
}

// The same of generated boards of every layout.
func TestWordAndChanceAgreeOnAnyBoard(t *testing.T) {
	seeds := uint64(12)
	if boardtest.Long() {
		seeds = 400
	}
	words := map[verdict.Word]int{}
	for seed := range seeds {
		f, b, err := layout.Open(boardgen.Any(seed), layout.Limits{})
		if err != nil || len(b.Pieces) > 24 {
			continue
		}
		r, err := check.Board(t.Context(), b, check.Conditions{NoHistories: true})
		require.NoError(t, err)
		saidOfBoard(t, fmt.Sprint("any ", seed), f, b, r, words)
	}
	assert.GreaterOrEqual(t, len(words), 2, "%v", words)
}

// saidOfBoard holds the text and the picture of a check.
func saidOfBoard(t *testing.T, name string, _ *layout.File, b *layout.Board, r *check.Report, words map[verdict.Word]int) (sigma float64) {
	t.Helper()
	sigma = risk.Together(risk.Parts(risk.Known(b.Known())))
	var text bytes.Buffer
	require.NoError(t, report.Board(&text, r, report.Style{Joints: -1}))
	other := func(line string) bool { // ways that are no cracks scatter otherwise, and are held with their own chance
		for i := range r.Modes {
			if !check.IsCrack(r.Modes[i].Mode) && strings.HasPrefix(strings.TrimSpace(line), r.Modes[i].Name) {
				return true
			}
		}
		return false
	}
	found := per(t, text.String(), inTables, 1, 2, sigma, other)
	rows := len(r.States)
	if r.Worst != nil { // else no table of noughts is printed
		rows += len(r.Joints)
	}
	assert.GreaterOrEqual(t, found, rows, "%s: every row is looked at", name)
	if r.ByWorst() {
		per(t, text.String(), inWords, 1, 2, sigma, nil)
	}
	svg, err := picture.Layout(b, r)
	require.NoError(t, err, name)
	painted := inPicture.FindAllStringSubmatch(string(svg), -1)
	assert.Len(t, painted, len(b.Joints), "%s: every joint is named", name)
	own := map[string]verdict.Word{}
	var count [4]int
	for _, j := range r.Joints {
		own[j.ID] = j.Verdict
		count[j.Verdict.Severity()]++
		words[j.Verdict]++
	}
	for _, m := range painted {
		u, err := strconv.ParseFloat(m[3], 64)
		require.NoError(t, err)
		agrees(t, verdict.Word(m[2]), u, 0.005*u, sigma, name+" "+m[0])
	}
	m := counted.FindStringSubmatch(string(svg))
	if len(b.Joints) > 0 {
		require.NotNil(t, m, name)
		assert.Equal(t, fmt.Sprint(count), fmt.Sprintf("[%s %s %s %s]", m[1], m[2], m[3], m[4]), "%s: the picture counts as the report does", name)
	}
	return sigma
}

// wordsOfBoard holds every answer about a board.
func wordsOfBoard(t *testing.T, name string, f *layout.File, b *layout.Board, c check.Conditions, words map[verdict.Word]int) {
	t.Helper()
	r, err := check.Board(t.Context(), b, c)
	require.NoError(t, err, name)
	sigma := saidOfBoard(t, name, f, b, r, words)
	figure := func(what string, g check.Figure) {
		words[g.Verdict]++
		if check.IsCrack(g.Mode) {
			agrees(t, g.Verdict, g.Governing(), 0, sigma, name+" "+what)
		}
	}
	figure("check", r.Figure())
	var text bytes.Buffer

	better, err := arrange.Improve(t.Context(), f, c, arrange.Options{Rounds: 1, Seed: 1})
	require.NoError(t, err, name)
	figure("before", better.Before)
	figure("after", better.After)
	require.NoError(t, report.Improvement(&text, better))
	assert.GreaterOrEqual(t, per(t, text.String(), inWords, 1, 2, sigma, nil), 2, "%s: %s", name, text.String())

	text.Reset()
	moves, err := advice.Moves(t.Context(), f, c, advice.Options{})
	require.NoError(t, err, name)
	figure("now", moves.Now)
	for _, m := range append(append([]advice.Candidate{}, moves.Moves...), moves.Design...) {
		figure(m.Text, m.Figure)
	}
	require.NoError(t, report.Brief(&text, r, report.Style{}, func() (*advice.Advice, window.HumidityWindow, error) {
		return moves, window.HumidityWindow{None: true}, nil
	}))
	per(t, text.String(), andThen, 2, 1, sigma, nil)
}

// A pair is told with its chance too. A moisture that is told is taken as measured, wood in
// balance with a told air as a board of it is.
func TestWordAndChanceAgreeOfPairs(t *testing.T) {
	words := map[verdict.Word]int{}
	for _, humidity := range []float64{0, 30, 48, 52, 58, 64, 70, 76, 82, 88, 94} {
		q := pair.Request{A: pair.Piece{Species: "sugar-maple", RingAngle: 0}, B: pair.Piece{Species: "black-walnut", RingAngle: 90}, From: 8, To: 12, Length: 300}
		known := risk.Measured
		if humidity > 0 {
			known = risk.ByAir
			q.FromAir, q.ToAir = &moisture.Room{Humidity: 45, Temperature: 20}, &moisture.Room{Humidity: humidity, Temperature: 20}
		}
		sigma := risk.Together(risk.Parts(known))
		r, err := pair.Pair(t.Context(), q)
		require.NoError(t, err)
		words[r.Verdict]++
		agrees(t, r.Verdict, r.Utilisation, 0, sigma, "pair")
		for _, c := range r.Checks {
			agrees(t, c.Verdict, c.Utilisation, 0, sigma, c.ID)
		}
		var text bytes.Buffer
		require.NoError(t, report.Pair(&text, r, report.Style{}))
		assert.Len(t, r.Checks, per(t, text.String(), inTables, 1, 2, sigma, nil))
	}
	assert.Len(t, words, 4, "%v", words)
}
