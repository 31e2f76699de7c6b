package api

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"sync/atomic"
	"testing"

	"github.com/gin-gonic/gin"
	"github.com/stretchr/testify/require"
)

// BenchmarkThroughput compares, over real connections in one run: a gin engine
// that reads the body and answers with nothing; the same answering with ready
// bytes of the length of a pair's answer; and the pair check with everything
// around it. Bodies differ from request to request, so nothing can be remembered.
// Client and server share the processors. What an answer costs the client is in
// the second and third, not in the first.
func BenchmarkThroughput(b *testing.B) {
	s, _ := start(b, Config{}, nil)
	h := &harness{server: s}
	ready := h.fire(request{path: "/v1/pair", body: string(pairBody(7))}).Body.Bytes()
	for _, c := range []struct{ name, addr string }{
		{"empty", bare(b, nil)}, {"ready", bare(b, ready)}, {"pair", s.Addr()},
	} {
		b.Run(c.name, func(b *testing.B) {
			client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64}}
			url := "http://" + c.addr + "/v1/pair"
			var next atomic.Int64
			b.SetParallelism(8)
			b.RunParallel(func(pb *testing.PB) {
				for pb.Next() {
					r, err := client.Post(url, "application/json", bytes.NewReader(pairBody(int(next.Add(1)))))
					if err != nil || r.StatusCode != http.StatusOK {
						b.Error(err, r)
						return
					}
					_, _ = io.Copy(io.Discard, r.Body)
					r.Body.Close()
				}
			})
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "requests/s")
		})
	}
}

// bare serves a gin engine with nothing but one handler and gives its address.
func bare(b *testing.B, answer []byte) string {
	gin.SetMode(gin.ReleaseMode)
	e := gin.New()
	e.POST("/v1/pair", func(c *gin.Context) {
		_, _ = io.Copy(io.Discard, c.Request.Body)
		c.Data(http.StatusOK, typeJSON, answer)
	})
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	server := &http.Server{Handler: e}
	go func() { _ = server.Serve(ln) }()
	b.Cleanup(func() { _ = server.Close() })
	return ln.Addr().String()
}

// pairBody is the i-th of many different questions.
func pairBody(i int) []byte {
	woods := []string{"sugar-maple", "black-walnut", "black-cherry", "teak", "white-oak"}
	return fmt.Appendf(nil, `{"a":{"species":%q,"ring_angle":%d},"b":{"species":%q,"ring_angle":%d},"moisture":{"mc":{"from":7.5,"to":%d}}}`,
		woods[i%5], i%180, woods[(i/5)%5], 180-i%180, 5+i%9)
}

// BenchmarkHandlers is the same without connections: what the handler itself costs.
func BenchmarkHandlers(b *testing.B) {
	s, err := New(Config{Log: silent})
	require.NoError(b, err)
	for name, q := range map[string]request{
		"pair":     {path: "/v1/pair", body: `{"a":{"species":"teak","ring_angle":10},"b":{"species":"sugar-maple","ring_angle":80},"moisture":{"change":3}}`},
		"movement": {path: "/v1/movement", body: goodMovement},
		"emc":      {path: "/v1/emc?temperature=21&humidity=50"},
	} {
		b.Run(name, func(b *testing.B) {
			h := &harness{server: s}
			b.ReportAllocs()
			for b.Loop() {
				if w := h.fire(q); w.Code != http.StatusOK {
					b.Fatal(w.Body)
				}
			}
		})
	}
}
