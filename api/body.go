package api

import (
	"bytes"
	"errors"
	"mime"
	"net/http"
	"os"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"
)

// Media types of bodies, by route; the first is what is asked for.
var (
	jsonTypes    = []string{typeJSON}
	patchTypes   = []string{typePatch, typeJSON}
	drawingTypes = []string{typeSVG}
)

// takeBody reads the body of a request that must be of one of some types into b. When
// it is not, or is too large or too slow, the request has been answered and the result
// is false.
func takeBody(c *gin.Context, b *bytes.Buffer, kinds []string) bool {
	if p := wrongType(c.Request.Header, kinds); p != nil {
		header := "Accept-Post"
		if c.Request.Method == http.MethodPatch {
			header = "Accept-Patch" // RFC 5789, 3.1
		}
		c.Header(header, strings.Join(kinds, ", "))
		fail(c, p)
		return false
	}
	tooLarge := &http.MaxBytesError{Limit: c.GetInt64(bodyLimit)}
	if c.Request.ContentLength > tooLarge.Limit { // said beforehand: nothing needs to be read
		c.Header("Connection", "close")
		fail(c, longBody(tooLarge.Limit))
		return false
	}
	_, err := b.ReadFrom(c.Request.Body)
	switch {
	case err == nil:
		return true
	case errors.As(err, &tooLarge):
		fail(c, longBody(tooLarge.Limit))
	case errors.Is(err, os.ErrDeadlineExceeded):
		fail(c, newProblem(http.StatusRequestTimeout, "slow-body", ""))
	default: // the client went away, or its chunks are broken
		fail(c, newProblem(http.StatusBadRequest, "input", "the body could not be read to its end"))
	}
	return false
}

func longBody(limit int64) *Problem {
	return newProblem(http.StatusRequestEntityTooLarge, "too-large", "the body is longer than the "+itoa(int(limit))+" bytes this route reads")
}

// wrongType says why a body cannot be read as one of some types, nil when it can.
func wrongType(h http.Header, kinds []string) *Problem {
	refused := func(detail string) *Problem {
		return newProblem(http.StatusUnsupportedMediaType, "media-type", detail)
	}
	if enc := h.Get("Content-Encoding"); enc != "" && !strings.EqualFold(enc, "identity") {
		return refused("send the body without Content-Encoding")
	}
	kind, params, err := mime.ParseMediaType(h.Get("Content-Type"))
	switch cs := params["charset"]; {
	case err != nil || !slices.Contains(kinds, kind):
		return refused("send Content-Type: " + strings.Join(kinds, " or "))
	case cs != "" && !strings.EqualFold(cs, "utf-8"):
		return refused("bodies are UTF-8; leave charset out")
	}
	return nil
}
