package api

import (
	"bytes"
	"errors"
	"mime"
	"net/http"
	"os"
	"strings"

	"github.com/gin-gonic/gin"
)

// jsonBody reads the body of a request that must be JSON into b. When it is not,
// or is too large or too slow, the request has been answered and the result is
// false.
func jsonBody(c *gin.Context, b *bytes.Buffer) bool {
	return bodyOf(c, b, wrongType, typeJSON)
}

// bodyOf is jsonBody for a body of another type.
func bodyOf(c *gin.Context, b *bytes.Buffer, wrong func(http.Header) *Problem, kind string) bool {
	if p := wrong(c.Request.Header); p != nil {
		c.Header("Accept-Post", kind)
		fail(c, p)
		return false
	}
	_, err := b.ReadFrom(c.Request.Body)
	var tooLarge *http.MaxBytesError
	switch {
	case err == nil:
		return true
	case errors.As(err, &tooLarge):
		fail(c, newProblem(http.StatusRequestEntityTooLarge, "too-large",
			"the body is longer than the "+itoa(int(tooLarge.Limit))+" bytes this route reads"))
	case errors.Is(err, os.ErrDeadlineExceeded):
		fail(c, newProblem(http.StatusRequestTimeout, "slow-body", ""))
	default: // the client went away, or its chunks are broken
		fail(c, newProblem(http.StatusBadRequest, "input", "the body could not be read to its end"))
	}
	return false
}

// wrongDrawing says why a body cannot be read as an SVG drawing, nil when it can.
func wrongDrawing(h http.Header) *Problem {
	if enc := h.Get("Content-Encoding"); enc != "" && !strings.EqualFold(enc, "identity") {
		return newProblem(http.StatusUnsupportedMediaType, "media-type", "send the body without Content-Encoding")
	}
	if kind, _, err := mime.ParseMediaType(h.Get("Content-Type")); err != nil || kind != typeSVG {
		return newProblem(http.StatusUnsupportedMediaType, "media-type", "send Content-Type: "+typeSVG)
	}
	return nil
}

// wrongType says why a body cannot be read as JSON, nil when it can.
func wrongType(h http.Header) *Problem {
	if enc := h.Get("Content-Encoding"); enc != "" && !strings.EqualFold(enc, "identity") {
		return newProblem(http.StatusUnsupportedMediaType, "media-type", "send the body without Content-Encoding")
	}
	ct := h.Get("Content-Type")
	if ct == "application/json" {
		return nil
	}
	kind, params, err := mime.ParseMediaType(ct)
	isJSON := kind == "application/json" || strings.HasPrefix(kind, "application/") && strings.HasSuffix(kind, "+json")
	if err != nil || !isJSON {
		return newProblem(http.StatusUnsupportedMediaType, "media-type", "send Content-Type: application/json")
	}
	if cs := params["charset"]; cs != "" && !strings.EqualFold(cs, "utf-8") {
		return newProblem(http.StatusUnsupportedMediaType, "media-type", "JSON is UTF-8; leave charset out")
	}
	return nil
}
