//go:build browser

package api

import (
	"context"
	"log/slog"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// One window of a headless Chromium serves all tests, one after another, and one service
// answers them: starting either takes longer than most of what is asked. They end with
// the tests.
var ofBrowser struct {
	sync.Mutex
	ctx   context.Context
	url   string
	after []func()
}

func TestMain(m *testing.M) {
	code := m.Run()
	for i := len(ofBrowser.after) - 1; i >= 0; i-- {
		ofBrowser.after[i]()
	}
	os.Exit(code)
}

// browserRoot starts the browser, which may talk to this machine only.
func browserRoot(t *testing.T) context.Context {
	t.Helper()
	b := &ofBrowser
	b.Lock()
	defer b.Unlock()
	if b.ctx != nil {
		return b.ctx
	}
	path, err := exec.LookPath("chromium")
	require.NoError(t, err, "the browser test needs Chromium (Debian package chromium)")
	// Not t.TempDir: children of the browser may write for a moment after it ends.
	profile, err := os.MkdirTemp("", "tanrad-browser")
	require.NoError(t, err)
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.UserDataDir(profile), chromedp.WindowSize(1280, 900),
	)
	alloc, stop := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, end := chromedp.NewContext(alloc)
	b.after = append(b.after, func() {
		end()
		stop() // kills the browser
		for range 20 {
			if os.RemoveAll(profile) == nil {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
	})
	require.NoError(t, chromedp.Run(ctx, chromedp.Navigate("about:blank")), "start the browser")
	b.ctx = ctx
	return ctx
}

// openBrowser gives the window, empty and as wide as at first. There is one: a page in a
// window behind another is not drawn, and what waits for a drawing waits for good.
func openBrowser(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(browserRoot(t), 240*time.Second)
	t.Cleanup(cancel)
	require.NoError(t, chromedp.Run(ctx, chromedp.Navigate("about:blank"), chromedp.EmulateReset(), emulation.SetEmulatedMedia()))
	return ctx
}

// browserServer gives the address of the service.
func browserServer(t *testing.T) string {
	t.Helper()
	b := &ofBrowser
	b.Lock()
	defer b.Unlock()
	if b.url == "" {
		s, err := New(Config{Log: slog.New(slog.DiscardHandler), CheckTime: 2 * time.Minute}) // CI is slower than what a service is kept on
		require.NoError(t, err)
		s.ready.Store(true)
		web := httptest.NewServer(s.Handler())
		b.url, b.after = web.URL, append(b.after, web.Close)
	}
	return b.url
}

// do does actions on the page and tells which of them failed.
func do(t *testing.T, ctx context.Context, actions ...chromedp.Action) {
	t.Helper()
	for i, a := range actions {
		require.NoError(t, chromedp.Run(ctx, a), "action %d", i)
	}
}

// click brings an element to the middle of the window, clear of what sticks to its
// edge, and clicks there.
func click(selector string) chromedp.Action {
	return chromedp.Tasks{chromedp.WaitVisible(selector),
		chromedp.Evaluate(`document.querySelector(`+quote(selector)+`).scrollIntoView({block: "center"})`, nil), chromedp.Click(selector)}
}

// js evaluates an expression.
func js[T any](t *testing.T, ctx context.Context, expression string) T {
	t.Helper()
	var v T
	wait := func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }
	require.NoError(t, chromedp.Run(ctx, chromedp.Evaluate(expression, &v, wait)), expression)
	return v
}

// settled waits until the whole year has been worked out for what is shown.
const settled = `document.querySelector("#stage-note").textContent === "" && document.querySelectorAll("#mishaps svg").length > 0`

func bench(t *testing.T, hash string) (context.Context, string) {
	ctx, url := openBrowser(t), browserServer(t)
	do(t, ctx, chromedp.Navigate(url+"/"+hash), chromedp.Poll(settled, nil))
	return ctx, url
}

// boardOf is the board file as the page writes it.
const boardOf = `JSON.parse(document.querySelector("#text").value)`

// press sends a pointer to the middle of a block: down, moves by (dx, dy), up.
func press(id string, dx, dy int) chromedp.Action {
	return chromedp.Evaluate(`(() => {
		const g = document.querySelector('#board .piece[data-id="'+`+quote(id)+`+'"]');
		g.scrollIntoView({block: "center"});
		const r = g.getBoundingClientRect(), x = r.left + r.width/2, y = r.top + r.height/2, b = document.querySelector("#board");
		b.setPointerCapture = () => {}; // no real pointer is down
		const send = (kind, x, y) => document.elementFromPoint(x, y).dispatchEvent(new PointerEvent(kind, {bubbles: true, clientX: x, clientY: y, button: 0, pointerId: 1}));
		send("pointerdown", x, y);
		if (`+itoa(dx)+` || `+itoa(dy)+`) for (let k = 1; k <= 4; k++) send("pointermove", x + k*`+itoa(dx)+`/4, y + k*`+itoa(dy)+`/4);
		send("pointerup", x + `+itoa(dx)+`, y + `+itoa(dy)+`);
	})()`, nil)
}

func quote(s string) string { return strconv.Quote(s) }

// slideTo moves a slider as a hand does: many inputs, one change.
func slideTo(id string, v int) chromedp.Action {
	return chromedp.Evaluate(`(() => { const s = document.querySelector(`+quote(id)+`); s.focus(); s.value = `+itoa(v)+`; s.dispatchEvent(new Event("input", {bubbles: true})); s.dispatchEvent(new Event("change", {bubbles: true})); })()`, nil)
}

// axeFinds lists what axe finds on the page, axeContrast what of it is of colours. The
// reference is long and all its sections are of two templates: of some of each, the
// colours, of all, the rest.
const (
	axeFinds          = `(async () => (await axe.run()).violations` + axeTells + `)()`
	axeContrast       = `(async () => (await axe.run({runOnly: ["color-contrast", "link-in-text-block"]})).violations` + axeTells + `)()`
	axeAllButContrast = `(async () => (await axe.run({rules: {"color-contrast": {enabled: false}}})).violations` + axeTells + `)()`
	axeContrastOfSome = `(async () => (await axe.run({include: [["header"], ["footer"], ["main > p"], ...[...document.querySelectorAll("main section.card h3")].filter((h, i, all) => i < 3 || i > all.length - 4).map((h) => ["section[aria-labelledby='" + h.id + "']"])]},
		{runOnly: ["color-contrast", "link-in-text-block"]})).violations` + axeTells + `)()`
	axeTells = `.flatMap((v) => v.nodes.map((n) => v.id + ": " + n.target + " " + n.failureSummary))`
)

// axeSource is axe-core as the package registry of Node gives it.
func axeSource(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(os.TempDir(), "tanrad-axe")
	file := filepath.Join(dir, "node_modules", "axe-core", "axe.min.js")
	if _, err := os.Stat(file); err != nil {
		out, err := exec.Command("npm", "install", "--no-audit", "--no-fund", "--prefix", dir, "axe-core@4.10.3").CombinedOutput()
		require.NoError(t, err, "the browser test takes axe-core from npm: %s", out)
	}
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	return string(src)
}

// shoot keeps a picture of the page where TANRAD_SHOTS says, to look at.
func shoot(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	out := os.Getenv("TANRAD_SHOTS")
	if out == "" {
		return
	}
	var shot []byte
	do(t, ctx, chromedp.FullScreenshot(&shot, 100))
	require.NoError(t, os.WriteFile(filepath.Join(out, name+".png"), shot, 0o644))
}
