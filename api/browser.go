package api

import (
	"net/http"

	"github.com/klauspost/compress/gzhttp"
	"github.com/rs/cors"
)

// leastPacked is the shortest answer that is compressed, bytes: below it the
// header costs more than is saved.
const leastPacked = 1024

// forBrowsers wraps the service: pages of the origins that were named may ask it,
// and answers are packed as the client likes, zstd first, then gzip.
func (s *Server) forBrowsers(inner http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(leastPacked), gzhttp.EnableZstd(true), gzhttp.PreferZstd(true),
		gzhttp.ExceptContentTypes([]string{typeEvents}))
	if err != nil {
		panic("api: " + err.Error()) // the options are constants
	}
	h := http.Handler(wrap(inner))
	if len(s.cfg.Origins) == 0 {
		return h
	}
	return cors.New(cors.Options{
		AllowedOrigins: s.cfg.Origins,
		AllowedMethods: []string{http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPatch, http.MethodDelete},
		AllowedHeaders: []string{"Content-Type", "Authorization", "X-Api-Key", requestIDHeader, "Idempotency-Key", "If-None-Match", "Last-Event-ID"},
		ExposedHeaders: []string{requestIDHeader, "Retry-After", "ETag", "Location", boardHeader, programHeader, dataHeader},
		MaxAge:         600, // s
		// Keys come in a header and never in a cookie: no page asks in its user's name.
		AllowCredentials: false,
	}).Handler(h)
}
