//go:build browser

package api

import (
	"context"
	"log/slog"
	"net/http/httptest"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// openBrowser starts a headless Chromium that may talk to this machine only.
func openBrowser(t *testing.T) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium")
	require.NoError(t, err, "the browser test needs Chromium (Debian package chromium)")
	// Not t.TempDir: children of the browser may write for a moment after it ends.
	profile, err := os.MkdirTemp("", "tanrad-browser")
	require.NoError(t, err)
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.UserDataDir(profile), chromedp.WindowSize(600, 900),
	)
	alloc, stop := chromedp.NewExecAllocator(context.Background(), options...)
	browser, end := chromedp.NewContext(alloc)
	t.Cleanup(func() {
		end()
		stop() // kills the browser
		for range 20 {
			if os.RemoveAll(profile) == nil {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
	})
	ctx, cancel := context.WithTimeout(browser, 90*time.Second)
	t.Cleanup(cancel)
	return ctx
}

func browserServer(t *testing.T) string {
	t.Helper()
	s, err := New(Config{Log: slog.New(slog.DiscardHandler)})
	require.NoError(t, err)
	s.ready.Store(true)
	web := httptest.NewServer(s.Handler())
	t.Cleanup(web.Close)
	return web.URL
}

// A maker opens the page, checks the example, and reads verdict and picture;
// then a slip in the board file is told with its place.
func TestBrowserTryPage(t *testing.T) {
	ctx, url := openBrowser(t), browserServer(t)
	var verdict, headline string
	var pictureWide float64
	var rows int
	require.NoError(t, chromedp.Run(ctx,
		chromedp.Navigate(url+"/try"),
		chromedp.WaitVisible("#board"),
		chromedp.Poll(`document.querySelector("#board").value.length > 10`, nil),
		chromedp.Click("#check"),
		chromedp.WaitVisible("#picture"),
		chromedp.Poll(`document.querySelector("#picture").naturalWidth > 0`, nil),
		chromedp.Text("#verdict", &verdict),
		chromedp.Text("#headline", &headline),
		chromedp.Evaluate(`document.querySelector("#picture").getBoundingClientRect().width`, &pictureWide),
		chromedp.Evaluate(`document.querySelectorAll("#joints tr").length`, &rows),
	))
	assert.Contains(t, []string{"holds", "tight", "doubtful", "fails"}, verdict)
	assert.NotEmpty(t, headline)
	assert.Greater(t, pictureWide, 300.0, "px: the picture must read in a window of 600 px")
	assert.LessOrEqual(t, pictureWide, 600.0)
	assert.Positive(t, rows)

	// every other picture of the board, chosen from the list; an unsuited one is told
	var causes, events, boxes int
	var chance, alt, why string
	require.NoError(t, chromedp.Run(ctx,
		chromedp.Evaluate(`document.querySelectorAll("#causes .bar").length`, &causes),
		chromedp.Evaluate(`document.querySelectorAll("#events tr").length`, &events),
		chromedp.Evaluate(`document.querySelectorAll("#exposures input").length`, &boxes),
		chromedp.Text("#chance", &chance),
	))
	assert.Positive(t, causes, "causes as bars")
	assert.Greater(t, events, 3)
	assert.Greater(t, boxes, 10)
	assert.NotEmpty(t, chance)
	for _, view := range []string{"history", "profiles", "deformed", "surface"} {
		require.NoError(t, chromedp.Run(ctx,
			chromedp.Evaluate(`(() => { document.querySelector("#picture").src = ""; const v = document.querySelector("#view"); v.value = "`+view+`"; v.dispatchEvent(new Event("change")); })()`, nil),
			chromedp.Poll(`document.querySelector("#picture").src.startsWith("blob:") && document.querySelector("#picture").naturalWidth > 0`, nil),
			chromedp.Evaluate(`document.querySelector("#picture").alt`, &alt),
		), view)
		assert.Contains(t, alt, "Picture: ", view)
	}
	require.NoError(t, chromedp.Run(ctx,
		chromedp.Evaluate(`(() => { const v = document.querySelector("#view"); v.value = "slices"; v.dispatchEvent(new Event("change")); })()`, nil),
		chromedp.WaitVisible("#nopicture"),
		chromedp.Text("#nopicture", &why),
	))
	assert.Contains(t, why, "not made of slices")

	var fault string
	require.NoError(t, chromedp.Run(ctx,
		chromedp.Evaluate(`(() => { const b = document.querySelector("#board"); b.value = b.value.replace(/"species":\s*"[^"]*"/, '"species": "black-walnit"'); })()`, nil),
		chromedp.Click("#check"),
		chromedp.WaitVisible("#faults li"),
		chromedp.Text("#faults", &fault),
	))
	assert.Contains(t, fault, "black-walnit")
	assert.Contains(t, fault, "black-walnut", "the nearest known wood is offered")
	assert.Contains(t, fault, "/stock/")
}

// No page asks anything of an address outside the service.
func TestBrowserPagesStayAtHome(t *testing.T) {
	ctx, url := openBrowser(t), browserServer(t)
	for _, page := range []string{"/", "/try"} {
		var addresses []string
		var title string
		require.NoError(t, chromedp.Run(ctx,
			chromedp.Navigate(url+page),
			chromedp.WaitReady("body"),
			chromedp.Title(&title),
			chromedp.Evaluate(`performance.getEntriesByType("resource").map(e => e.name)`, &addresses),
		))
		assert.NotEmpty(t, title, page)
		for _, a := range addresses {
			assert.True(t, strings.HasPrefix(a, url) || strings.HasPrefix(a, "blob:") || strings.HasPrefix(a, "data:"), "%s asked for %s", page, a)
		}
	}
	if out := os.Getenv("TANRAD_SHOTS"); out != "" { // to look at
		var shot []byte
		require.NoError(t, chromedp.Run(ctx, chromedp.FullScreenshot(&shot, 90)))
		require.NoError(t, os.WriteFile(out+"/try.png", shot, 0o644))
	}
}
