//go:build browser

package api

import (
	"bytes"
	"compress/flate"
	"context"
	"encoding/base64"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	printing "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
)

// The page opens with a board that has been checked: word, sentence, painted
// joints, the worst one ringed, mishaps as cards.
func TestBrowserBenchOpensWithAnAnswer(t *testing.T) {
	ctx, _ := bench(t, "")
	word := js[string](t, ctx, `document.querySelector("#verdict").textContent`)
	assert.Regexp(t, `^(holds|tight|doubtful|fails), \d+ %$`, word)
	assert.Contains(t, js[string](t, ctx, `document.querySelector("#headline").textContent`), "of what it bears")
	assert.Equal(t, 52, js[int](t, ctx, `document.querySelectorAll("#board .piece").length`), "48 blocks and four sides")
	assert.Positive(t, js[int](t, ctx, `document.querySelectorAll("#board .joint.fails").length`))
	assert.Equal(t, 2, js[int](t, ctx, `document.querySelectorAll("#board .worst").length`), "a ring and its backing")
	assert.Positive(t, js[int](t, ctx, `document.querySelectorAll("#causes .bar").length`))
	assert.Greater(t, js[int](t, ctx, `document.querySelectorAll("#mishaps li svg").length`), 5)
	assert.Contains(t, js[string](t, ctx, `document.querySelector("#board-words").textContent`), "times larger")
	do(t, ctx, slideTo("#times", 3), chromedp.Poll(`document.querySelector("#board-words").textContent.includes("drawn 3 times larger")`, nil))

	var met []string // by the Tab key alone
	do(t, ctx, chromedp.Evaluate(`document.activeElement.blur(); document.querySelector("nav a").focus()`, nil))
	for range 20 {
		do(t, ctx, chromedp.KeyEvent(kb.Tab))
		met = append(met, js[string](t, ctx, `((e) => e.id || e.dataset.tool || e.dataset.id || e.dataset.stock || e.textContent)(document.activeElement)`))
	}
	for _, want := range []string{"advise", "look", "paint", "turn", "r1c1", "when-year", "humidity", "day", "times", "show-loose", "play"} {
		assert.Contains(t, met, want)
	}
}

// A block is painted, its rings are turned by drag and by key, each is taken back.
func TestBrowserPaintTurnUndo(t *testing.T) {
	ctx, _ := bench(t, "")
	row := boardOf + `.field.grid.rows[0]`
	before := js[string](t, ctx, row)
	require.Equal(t, "MWmwMWmw", before)
	do(t, ctx, click(`#palette [data-stock="W"]`), press("r1c1", 0, 0), chromedp.Poll(row+` === "WWmwMWmw"`, nil),
		chromedp.Poll(`document.querySelector('#board .piece[data-id="r1c1"]').getAttribute("aria-label").includes("Black walnut")`, nil))

	ring := boardOf + `.pieces?.r2c2?.ring_angle`
	do(t, ctx, click(`[data-tool="turn"]`), press("r2c2", 0, -60))
	do(t, ctx, chromedp.Poll(ring+` === 90`, nil)) // dragged straight up
	do(t, ctx, chromedp.Evaluate(`document.querySelector('#board .piece[data-id="r2c2"]').focus()`, nil), chromedp.KeyEvent("]"), chromedp.Poll(ring+` === 105`, nil))
	assert.Equal(t, "r2c2", js[string](t, ctx, `document.activeElement.dataset.id`), "the block keeps the focus")
	do(t, ctx, chromedp.KeyEvent(kb.ArrowRight), chromedp.Poll(`document.activeElement.dataset.id === "r2c3"`, nil))

	do(t, ctx, click("#undo"), chromedp.Poll(ring+` === 90`, nil), click("#undo"), chromedp.Poll(boardOf+`.pieces === undefined`, nil),
		click("#undo"), chromedp.Poll(row+` === "`+before+`"`, nil))
	assert.True(t, js[bool](t, ctx, `document.querySelector("#undo").disabled`))
	do(t, ctx, click("#redo"), chromedp.Poll(row+` === "WWmwMWmw"`, nil))

	// The service goes away: that is told, nothing is lost, and the next edit after it
	// has come back is answered.
	do(t, ctx, chromedp.Evaluate(`window.kept = window.fetch; window.fetch = async () => { throw new TypeError("gone"); }`, nil),
		press("r4c4", 0, 0), chromedp.WaitVisible("#faults"))
	assert.Contains(t, js[string](t, ctx, `document.querySelector("#faults").textContent`), "cannot be reached")
	do(t, ctx, chromedp.Evaluate(`window.fetch = window.kept`, nil), click("#undo"), chromedp.Poll(`document.querySelector("#faults").hidden`, nil))
}

// The sliders move the board: wetter air makes it larger, a border can be put on
// and taken off, the pieces are shown unglued.
func TestBrowserSlidersBorderUnglued(t *testing.T) {
	ctx, _ := bench(t, "")
	growth := func(humidity int) float64 {
		do(t, ctx, slideTo("#humidity", humidity), chromedp.Poll(`document.querySelector("#headline").textContent.includes("in `+itoa(humidity)+` %")`, nil),
			chromedp.Poll(`document.querySelector("#board").dataset.moment === "room=`+itoa(humidity)+`@21"`, nil))
		return js[float64](t, ctx, `document.querySelector("#board .piece").parentNode.getBBox().width`)
	}
	dry := growth(20)
	// Sixty steps of the slider are sixty frames, drawn between known shapes; until those
	// are there none is drawn. What a frame takes is told; even beside other work one of
	// them is well within a sixtieth of a second.
	do(t, ctx, chromedp.Poll(sweep+`.then((f) => f.drawn === 60 && (window.frames60 = f.took))`, nil, chromedp.WithPollingInterval(500*time.Millisecond)))
	took := js[[]float64](t, ctx, `window.frames60.sort((a, b) => a - b)`)
	t.Logf("a frame of the humidity slider: least %.1f ms, median %.1f ms, 95th percentile %.1f ms", took[0], took[len(took)/2], took[len(took)*95/100])
	assert.Less(t, took[0], 1000.0/60)
	damp := growth(85)
	assert.Greater(t, damp, dry+1, "mm of the drawing")
	assert.Contains(t, js[string](t, ctx, `document.querySelector("#stage-note").textContent`), "Over its year")

	do(t, ctx, click("#show-loose"), chromedp.WaitVisible("#unglued"))
	apart := js[bool](t, ctx, `(() => {
		const size = (id) => { const b = document.querySelector('#unglued .piece[data-id="'+id+'"] .wood').getBBox(); return [b.width, b.height]; };
		const a = size("r1c1"), b = size("r1c3"); // sugar maple with rings at 10° and at 80°
		return a[1] > b[1] + 0.3 && b[0] > a[0] + 0.3;
	})()`)
	assert.True(t, apart, "maple swells more along its rings: blocks turned otherwise have other free sizes")

	do(t, ctx, click("#when-year"), click("#border"), chromedp.Poll(boardOf+`.borders === undefined`, nil),
		chromedp.Poll(`document.querySelectorAll("#board .piece").length === 48`, nil),
		click("#border"), chromedp.Poll(boardOf+`.borders[0].grain === "up" || `+boardOf+`.borders[0].grain === "along"`, nil),
		chromedp.Poll(`document.querySelectorAll("#board .piece").length === 52`, nil))
	do(t, ctx, slideTo("#ring", 45), chromedp.Poll(`Object.values(`+boardOf+`.stock).some((s) => s.ring_angle === 45)`, nil))
}

// sweep moves the humidity slider a step a frame and tells how many of them were drawn,
// and what the page's own work for each took, ms.
const sweep = `(async () => {
	const slider = document.querySelector("#humidity"), frame = window.requestAnimationFrame, took = [];
	const drawn = () => document.querySelector('#board .piece[data-id="r3c4"] .wood').getAttribute("d");
	window.requestAnimationFrame = (f) => frame((at) => { const from = performance.now(); f(at); took.push(performance.now() - from); });
	let n = 0;
	slider.dispatchEvent(new PointerEvent("pointerdown")); // a finger comes down: shapes are asked for
	for (let k = 0; k < 60; k++) {
		const before = drawn();
		slider.value = 84 - k;
		slider.dispatchEvent(new Event("input", {bubbles: true}));
		await new Promise((done) => frame(done)); // behind the page's own
		if (drawn() !== before) n++;
	}
	window.requestAnimationFrame = frame;
	return {drawn: n, took};
})()`

// A press on a glue line opens its numbers: formulas as MathML that are drawn, the
// sum by hand beside the solver, printed works behind links; closing gives the focus
// back to the board.
func TestBrowserDerivation(t *testing.T) {
	ctx, _ := bench(t, "")
	do(t, ctx, click(`[data-tool="look"]`), chromedp.Evaluate(`(() => {
		const g = [...document.querySelectorAll('#board path.joint[data-joint]')].at(-1), r = g.getBoundingClientRect(), x = r.left + r.width/2, y = r.top + r.height/2;
		window.pressed = g.dataset.joint;
		document.elementFromPoint(x, y).dispatchEvent(new PointerEvent("pointerdown", {bubbles: true, clientX: x, clientY: y, button: 0, pointerType: "mouse"}));
	})()`, nil), chromedp.WaitVisible("#steps li.step math"))
	assert.Equal(t, "The numbers of "+js[string](t, ctx, `pressed`), js[string](t, ctx, `document.querySelector("#derivation-title").textContent`))
	steps := js[string](t, ctx, `document.querySelector("#steps").innerText`)
	for _, want := range []string{"mismatch along the joint", "load over the load at which a crack starts and runs", "Forest Products Laboratory", "by hand"} {
		assert.Contains(t, steps, want)
	}
	assert.NotContains(t, steps, "NaN")
	assert.Positive(t, js[float64](t, ctx, `document.querySelector("#step-v math").getBoundingClientRect().height`), "drawn as a formula")
	assert.Empty(t, js[[]string](t, ctx, deadLinks), "every link leads somewhere")
	shoot(t, ctx, "bench-derivation")
	do(t, ctx, chromedp.Evaluate(axeSource(t)+`;0`, nil))
	assert.Empty(t, js[[]string](t, ctx, axeFinds), "open derivation")
	do(t, ctx, click("#close-derivation"), chromedp.Poll(`document.querySelector("#derivation").hidden && document.activeElement.closest("#board .piece") !== null`, nil))
}

// deadLinks lists the links of a derivation that lead nowhere.
const deadLinks = `[...document.querySelectorAll("#steps a")].map((a) => a.hash).filter((h) => !document.getElementById(decodeURIComponent(h.slice(1))) && !document.getElementById(h.slice(1)))`

// Every way to fail opens by its button, so does a mishap and the size; what was pressed
// has the focus again afterwards.
func TestBrowserEveryNumberOpens(t *testing.T) {
	ctx, _ := bench(t, linkOf(t, framed))
	open := func(selector string) string {
		do(t, ctx, click(selector), chromedp.WaitVisible("#steps li.step math"))
		steps := js[string](t, ctx, `document.querySelector("#derivation-title").textContent + "\n" + document.querySelector("#steps").innerText`)
		assert.NotContains(t, steps, "NaN")
		assert.Empty(t, js[[]string](t, ctx, deadLinks), selector)
		do(t, ctx, click("#close-derivation"), chromedp.Poll(`document.querySelector("#derivation").hidden && document.activeElement === document.querySelector(`+quote(selector)+`)`, nil))
		return steps
	}
	assert.Contains(t, open(`#modes button[aria-label="Derive the numbers of line"]`), "chance of the model that it gives")
	assert.Contains(t, open(`#chance button[aria-label="Derive the numbers of size"]`), "largest width")
	assert.Contains(t, open(`#room-words button`), "size@room")
	assert.Contains(t, open(`#mishaps li:first-child button`), "worst@")
	assert.Contains(t, open(`#why button[aria-label="Derive the shares of the causes"]`), "by mechanism")
	do(t, ctx, chromedp.Evaluate(`document.querySelector("#beside").open = true`, nil))
	assert.Contains(t, open(`#numbers button[aria-label="Derive what would be if no stress eased"]`), "nothing eased")
	assert.Contains(t, open(`#numbers button[aria-label="Derive the pressure"]`), "crushes")
	assert.Contains(t, open(`#numbers button[aria-label="Derive how fast wood follows the air"]`), "nine tenths")
}

// A grid is built again of slices of a panel: strips are moved, widened, turned, and
// what was there comes back.
func TestBrowserPanelOfSlices(t *testing.T) {
	ctx, _ := bench(t, "")
	slices := boardOf + `.field.slices`
	do(t, ctx, click("#border"), chromedp.Poll(`document.querySelectorAll("#board .piece").length === 48`, nil), click(`#panel [data-part="build"]`),
		chromedp.Poll(slices+`?.strips.length === 8 && `+slices+`.turn === "end-for-end"`, nil), chromedp.WaitVisible(`#panel [data-part="wide-0"]`))
	do(t, ctx, chromedp.Evaluate(`(() => { const w = document.querySelector('#panel [data-part="wide-0"]'); w.value = "25"; w.dispatchEvent(new Event("change")); })()`, nil),
		chromedp.Poll(slices+`.strips[0][1] === 25`, nil), click(`#panel [data-part="further right-0"]`), chromedp.Poll(slices+`.strips[1][1] === 25`, nil),
		chromedp.Evaluate(`(() => { const w = document.querySelector('#panel [data-part="turn"]'); w.value = "over"; w.dispatchEvent(new Event("change")); })()`, nil),
		chromedp.Poll(slices+`.turn === "over"`, nil), chromedp.Poll(settled+` && document.querySelector("#faults").hidden`, nil))
	shoot(t, ctx, "bench-slices")
	do(t, ctx, chromedp.Evaluate(axeSource(t)+`;0`, nil))
	assert.Empty(t, js[[]string](t, ctx, axeFinds), "open panel")
	for range 4 {
		do(t, ctx, click("#undo"))
	}
	do(t, ctx, chromedp.Poll(boardOf+`.field.grid !== undefined`, nil))
}

// The day slider moves the board through a year at home: in damp autumn it is larger
// than in heated winter.
func TestBrowserDayOfTheYear(t *testing.T) {
	ctx, _ := bench(t, "")
	wide := func(day int, date string) float64 {
		do(t, ctx, slideTo("#day", day), chromedp.Poll(`document.querySelector("#board-words").textContent.includes("`+date+`")`, nil),
			chromedp.Poll(`document.querySelector("#board").dataset.moment === "day=`+itoa(day)+`"`, nil))
		return js[float64](t, ctx, `document.querySelector("#board .piece").parentNode.getBBox().width`)
	}
	damp, dry := wide(75, "14 September"), wide(240, "26 February")
	assert.Greater(t, damp, dry+1, "mm of the drawing")
	do(t, ctx, click("#play"), chromedp.WaitVisible("#year"), chromedp.Poll(`document.querySelector("#year").naturalWidth > 0`, nil))
	assert.Contains(t, js[string](t, ctx, `document.querySelector("#year").alt`), "six moments")
}

// A remedy is one press, and is taken back by one.
func TestBrowserRemedyAndUndo(t *testing.T) {
	ctx, _ := bench(t, linkOf(t, framed))
	before := js[string](t, ctx, `document.querySelector("#verdict").textContent`)
	require.Contains(t, before, "fails")
	do(t, ctx, click("#advise"), chromedp.WaitVisible("#remedies button"))
	assert.LessOrEqual(t, js[float64](t, ctx, `document.querySelector("#remedies button").getBoundingClientRect().top`), 900.0, "in sight without scrolling")
	do(t, ctx, click("#remedies li:first-child button"), chromedp.Poll(settled+` && !document.querySelector("#verdict").textContent.startsWith("fails")`, nil))
	do(t, ctx, click("#undo"), chromedp.Poll(settled+` && document.querySelector("#verdict").textContent === `+quote(before), nil))
}

// framed is a small board in a frame of long grain that is too wide for it.
const framed = `{"tanrad":1,"units":"mm","name":"framed","thickness":30,"home":"continental-heated","stock":{
	"M":{"species":"sugar-maple","ring_angle":0,"moisture":9},"F":{"species":"sugar-maple","ring_angle":0,"moisture":9}},
	"field":{"grid":{"block":[90,90],"rows":["MMM","MMM"]}},"borders":[{"stock":"F","grain":"along","width":60,"sides":["left","right","top","bottom"]}]}`

// linkOf is the end of an address that holds a board, as the page writes it.
func linkOf(t *testing.T, board string) string {
	t.Helper()
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestCompression)
	require.NoError(t, err)
	_, err = w.Write([]byte(board))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return "#board=" + base64.RawURLEncoding.EncodeToString(b.Bytes())
}

// A board sent as a link arrives as it was.
func TestBrowserShareRoundTrip(t *testing.T) {
	ctx, url := bench(t, "")
	do(t, ctx, click(`#palette [data-stock="w"]`), press("r3c3", 0, 0), chromedp.Poll(boardOf+`.field.grid.rows[2][2] === "w"`, nil),
		click("#share"), chromedp.Poll(`location.hash.startsWith("#board=")`, nil))
	link, board := js[string](t, ctx, `location.href`), js[string](t, ctx, `JSON.stringify(`+boardOf+`)`)
	assert.Less(t, len(link), 2000, "short enough for a message")
	do(t, ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(link), chromedp.Poll(settled, nil))
	assert.JSONEq(t, board, js[string](t, ctx, `JSON.stringify(`+boardOf+`)`))
	do(t, ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(url+"/#board=AAAA"), chromedp.WaitVisible("#faults"))
	assert.Contains(t, js[string](t, ctx, `document.querySelector("#faults").textContent`), "no whole board")
}

// drop lets a file fall on the page.
func drop(name, contents string) chromedp.Action {
	return chromedp.Evaluate(`(() => { const d = new DataTransfer(); d.items.add(new File([`+contents+`], `+quote(name)+`));
		document.dispatchEvent(new DragEvent("drop", {bubbles: true, cancelable: true, dataTransfer: d})); })()`, nil)
}

// What is wrong with a dropped file is told at its place; scripts in names are
// letters; what is no board at all is refused; the board that was there stays.
func TestBrowserBadFiles(t *testing.T) {
	ctx, _ := bench(t, "")
	faults := func() string { return js[string](t, ctx, `document.querySelector("#faults").textContent`) }
	bad := strings.Replace(string(data.Demo), `"species": "black-walnut", "ring_angle": 35`, `"species": "black-walnit", "ring_angle": 35`, 1)
	do(t, ctx, drop("bad.json", quote(bad)), chromedp.WaitVisible("#fault-list li button"))
	assert.Contains(t, faults(), "#/stock/W/species")
	assert.Contains(t, faults(), "black-walnut", "the nearest known wood")
	assert.Contains(t, faults(), "line 9", "of the text dropped")
	do(t, ctx, click("#fault-list li button"))
	assert.Equal(t, `"black-walnit"`, js[string](t, ctx, `(() => { const t = document.querySelector("#text"); return t.value.slice(t.selectionStart, t.selectionEnd); })()`))

	do(t, ctx, drop("noise.bin", `new Uint8Array([0, 255, 254, 13, 10, 0, 60, 115])`), chromedp.Poll(`document.querySelector("#fault-title").textContent.length > 0 && document.querySelectorAll("#fault-list li").length === 1`, nil))
	do(t, ctx, drop("huge.json", `new Uint8Array(11 << 20)`), chromedp.Poll(`document.querySelector("#fault-title").textContent === "Too large"`, nil))
	assert.Equal(t, 52, js[int](t, ctx, `document.querySelectorAll("#board .piece").length`), "the board that was there stays")

	const script = `<img src=x onerror='document.body.dataset.ran = 1'><script>document.body.dataset.ran = 1</script>`
	named := strings.Replace(string(data.Demo), `"maple and walnut checker"`, quote(script), 1)
	do(t, ctx, drop("named.json", quote(named)), chromedp.Poll(`document.querySelector("#faults").hidden`, nil), chromedp.Poll(settled, nil))
	key := strings.ReplaceAll(string(data.Demo), `"W"`, `"<b>w</b>"`)
	do(t, ctx, drop("key.json", quote(key)), chromedp.WaitVisible("#fault-list li"))
	assert.False(t, js[bool](t, ctx, `"ran" in document.body.dataset || document.querySelector("main img:not(#year), main b") !== null`))
}

// A dropped drawing becomes a board once it is said which woods its colours mean; one
// that is no drawing is told so; a script in it is not run. The care card is saved.
func TestBrowserDrawingAndCareCard(t *testing.T) {
	ctx, _ := bench(t, "")
	const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="40mm" viewBox="0 0 120 40"><script>document.body.dataset.ran = 1</script>` +
		`<rect id="a" width="60" height="40" fill="#d8c7a8" onload="document.body.dataset.ran = 1"/><rect x="60" width="60" height="40" fill="#553311"/></svg>`
	do(t, ctx, drop("board.svg", quote(svg)), chromedp.WaitVisible("#untold select"))
	assert.Equal(t, 2, js[int](t, ctx, `document.querySelectorAll("#untold select").length`))
	do(t, ctx, chromedp.Evaluate(`[...document.querySelectorAll("#untold select")].forEach((s, i) => { s.value = ["sugar-maple", "black-walnut"][i]; })`, nil),
		click("#untold button"), chromedp.Poll(`document.querySelectorAll("#board .piece").length === 2 && `+boardOf+`.field.pieces?.length === 2`, nil))
	assert.ElementsMatch(t, []string{"sugar-maple", "black-walnut"}, js[[]string](t, ctx, `Object.values(`+boardOf+`.stock).map((s) => s.species)`))
	assert.False(t, js[bool](t, ctx, `"ran" in document.body.dataset`))
	do(t, ctx, drop("broken.svg", quote(`<svg><rect`)), chromedp.WaitVisible("#fault-list li"))
	assert.Equal(t, 2, js[int](t, ctx, `document.querySelectorAll("#board .piece").length`), "the board that was there stays")

	do(t, ctx, chromedp.Evaluate(`URL.createObjectURL = (b) => { window.saved = b; return "blob:none"; }; HTMLAnchorElement.prototype.click = function () { window.savedAs = this.download; }`, nil))
	for id, want := range map[string][2]string{"save-card": {"care-card.html", "<html"}, "save-board": {".json", `"tanrad": 1`}, "save-json": {"answer.json", `"verdict"`}, "save-svg": {".svg", "<svg"}} {
		do(t, ctx, chromedp.Evaluate(`window.savedAs = ""`, nil), click("#"+id), chromedp.Poll(`window.savedAs`, nil))
		assert.Contains(t, js[string](t, ctx, `savedAs`), want[0])
		assert.Contains(t, js[string](t, ctx, `saved.text()`), want[1], id)
	}
}

// From a drag to the repainted verdict on 8 by 6 blocks with a border, in the
// browser, over loopback: one finger goes down, turns the rings of a block forty
// times, each time until the board is painted anew, and goes up; then the board is
// judged in full. What it takes is told, not judged: machines differ.
func TestBrowserDragToVerdict(t *testing.T) {
	ctx, _ := bench(t, "")
	do(t, ctx, click(`[data-tool="turn"]`), chromedp.Evaluate(`(() => {
		const b = document.querySelector("#board"), r = document.querySelector('#board .piece[data-id="r3c4"]').getBoundingClientRect();
		b.setPointerCapture = () => {}; // no real pointer is down
		window.took = [];
		document.addEventListener("verdict", (e) => took.push(e.detail));
		window.finger = (kind, x, y) => (kind === "pointerdown" ? document.elementFromPoint(r.left + r.width/2 + x, r.top + r.height/2 + y) : b).dispatchEvent(
			new PointerEvent(kind, {bubbles: true, clientX: r.left + r.width/2 + x, clientY: r.top + r.height/2 + y, button: 0, pointerId: 1}));
		finger("pointerdown", 0, 0);
	})()`, nil))
	for k := range 40 {
		do(t, ctx, chromedp.Evaluate(`finger("pointermove", `+itoa(20+k)+`, `+itoa(3*k-50)+`)`, nil), chromedp.Poll(`took.length > `+itoa(k), nil))
	}
	assert.Regexp(t, `^about `, js[string](t, ctx, `document.querySelector("#verdict").textContent`))
	do(t, ctx, chromedp.Evaluate(`finger("pointerup", 60, 70)`, nil), chromedp.Poll(`took.length > 40 && !document.querySelector("#verdict").textContent.startsWith("about")`, nil))
	took := js[[]float64](t, ctx, `took`)
	t.Logf("from the finger's rest to the full verdict: %.0f ms", took[40])
	took = took[:40]
	slices.Sort(took)
	t.Logf("drag to repainted verdict: median %.0f ms, 95th percentile %.0f ms of %d", took[len(took)/2], took[len(took)*95/100], len(took))
}

// Keys alone reach every tool, and axe finds nothing to mend, in light and dark,
// narrow and wide.
func TestBrowserAccessible(t *testing.T) {
	axe := axeSource(t)
	ctx, url := openBrowser(t), browserServer(t)
	for _, page := range []string{"/", "/lessons", "/lessons/mixing-woods", "/words", "/reference"} {
		for _, look := range []struct {
			scheme string
			wide   int64
		}{{"light", 1280}, {"dark", 1280}, {"light", 390}, {"dark", 390}} {
			if page != "/" && look.wide > 390 {
				continue // the same, and the reference is long
			}
			do(t, ctx, emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: look.scheme}}),
				chromedp.EmulateViewport(look.wide, 844), chromedp.Navigate(url+page), chromedp.WaitReady("footer"))
			if page == "/" {
				do(t, ctx, chromedp.Poll(settled, nil))
			}
			assert.LessOrEqual(t, js[int](t, ctx, `document.documentElement.scrollWidth`), int(look.wide), "%s does not scroll sideways", page)
			do(t, ctx, chromedp.Evaluate(axe+`;0`, nil))
			rules := axeFinds
			switch {
			case look.scheme == "dark" && page == "/reference":
				rules = axeContrastOfSome
			case look.scheme == "dark":
				rules = axeContrast // the page is built alike
			case page == "/reference":
				assert.Empty(t, js[[]string](t, ctx, axeContrastOfSome), page)
				rules = axeAllButContrast
			}
			found := js[[]string](t, ctx, rules)
			assert.Empty(t, found, "%s, %s, %d px", page, look.scheme, look.wide)
			if page == "/reference" {
				continue
			}
			shoot(t, ctx, strings.Trim("bench"+strings.ReplaceAll(page, "/", "-"), "-")+"-"+look.scheme+"-"+itoa(int(look.wide)))
		}
	}
}

// No page asks anything of an address outside the service, and all that a page
// needs is small.
func TestBrowserPagesStayAtHome(t *testing.T) {
	ctx, url := openBrowser(t), browserServer(t)
	for _, page := range []string{"/", "/lessons", "/lessons/mixing-woods", "/words", "/reference"} {
		do(t, ctx, chromedp.Navigate(url+page), chromedp.WaitReady("footer"))
		assert.NotEmpty(t, js[string](t, ctx, `document.title`), page)
		if strings.HasPrefix(page, "/lessons/") {
			do(t, ctx, chromedp.ActionFunc(func(ctx context.Context) error {
				pdf, _, err := printing.PrintToPDF().WithPreferCSSPageSize(true).Do(ctx)
				assert.Len(t, regexp.MustCompile(`/Type /Page\b[^s]`).FindAll(pdf, -1), 1, "a handout is one page")
				return err
			}))
		}
		for _, a := range js[[]string](t, ctx, `performance.getEntriesByType("resource").map(e => e.name)`) {
			assert.True(t, strings.HasPrefix(a, url) || strings.HasPrefix(a, "blob:") || strings.HasPrefix(a, "data:"), "%s asked for %s", page, a)
		}
	}
}
