//go:build browser

package api

import (
	"context"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A page of another origin asks, hands a job in and hears its events; on an origin
// that was not named it gets nothing.
func TestBrowserPageOfAnotherOrigin(t *testing.T) {
	files := http.FileServer(http.Dir("../cmd/tanrad/deploy"))
	friend, stranger := httptest.NewServer(files), httptest.NewServer(files)
	defer friend.Close()
	defer stranger.Close()
	b := broker(t)
	s, _ := start(t, Config{Origins: []string{friend.URL}, Jobs: b}, nil)
	workOn(t, b)
	ctx, cancel := context.WithTimeout(openBrowser(t), 2*time.Minute)
	defer cancel()
	visit := func(from, until string) (verdict, variants string) {
		require.NoError(t, chromedp.Run(ctx, chromedp.Navigate(from+"/fetch.html?service=http://"+s.Addr()),
			chromedp.Poll(until, nil, chromedp.WithPollingTimeout(30*time.Second)),
			chromedp.TextContent("#verdict", &verdict), chromedp.TextContent("#variants", &variants)))
		return verdict, variants
	}
	verdict, variants := visit(friend.URL, `document.title === "done"`)
	assert.NotContains(t, verdict, "no answer")
	for _, v := range []string{"variant 0", "variant 1", "variant 2", "%"} {
		assert.Contains(t, variants, v)
	}
	verdict, _ = visit(stranger.URL, `document.getElementById("verdict").textContent !== "asking …"`)
	assert.Contains(t, verdict, "no answer")
}
