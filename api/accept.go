package api

import (
	"mime"
	"net/http"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"
)

// Media types of bodies and answers.
const (
	typeJSON   = "application/json"
	typePatch  = "application/merge-patch+json" // RFC 7396
	typeSVG    = "image/svg+xml"
	typePNG    = "image/png"
	typePart   = "application/vnd.tanrad.part+json" // some keys of an answer in JSON
	typeEvents = "text/event-stream"
	typeYAML   = "application/yaml"
	typeHTML   = "text/html; charset=utf-8"
)

// choose picks the offer that the Accept header likes best, the first of equals
// (RFC 9110, 12.5.1). No header takes the first. When nothing fits, the request
// has been answered with 406 and ok is false.
func choose(c *gin.Context, offers ...string) (offer string, ok bool) {
	header := c.Request.Header.Values("Accept")
	if len(header) == 0 {
		return offers[0], true
	}
	best, bestQ := "", 0.0
	for _, offer := range offers {
		if q := liking(header, offer); q > bestQ {
			best, bestQ = offer, q
		}
	}
	if best == "" {
		fail(c, newProblem(http.StatusNotAcceptable, "accept", "given here: "+strings.Join(offers, ", ")))
		return "", false
	}
	return best, true
}

// liking is the quality the most specific range of the header gives an offer.
func liking(header []string, offer string) float64 {
	q, specific := 0.0, -1
	major, _, _ := strings.Cut(offer, "/")
	for _, line := range header {
		for part := range strings.SplitSeq(line, ",") {
			kind, params, err := mime.ParseMediaType(part)
			if err != nil {
				continue
			}
			rank := -1
			switch kind {
			case offer:
				rank = 2
			case major + "/*":
				rank = 1
			case "*/*":
				rank = 0
			}
			if rank <= specific {
				continue
			}
			weight := 1.0
			if text, given := params["q"]; given {
				if w, err := strconv.ParseFloat(text, 64); err == nil && w >= 0 && w <= 1 {
					weight = w
				}
			}
			q, specific = weight, rank
		}
	}
	return q
}
