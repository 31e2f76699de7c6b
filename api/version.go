package api

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

const (
	programHeader = "Tanrad-Program"
	dataHeader    = "Tanrad-Data"
)

// tagOf marks an answer: the same parts of one state of program and data always
// give the same answer, byte for byte, so a tag of the question will do. It is
// weak because the answer may go out compressed.
func tagOf(parts ...[]byte) string {
	h := sha256.New()
	v := answer.Version()
	for _, p := range append([][]byte{[]byte(v.Program), []byte(v.Data)}, parts...) {
		var size [8]byte
		for i, n := 0, len(p); i < len(size); i++ {
			size[i], n = byte(n), n>>8
		}
		h.Write(size[:])
		h.Write(p)
	}
	return `W/"` + base64.RawURLEncoding.EncodeToString(h.Sum(nil)[:15]) + `"`
}

// unchanged sets the tag of an answer and, when the client has that answer
// already, says so with 304 and nothing more.
func unchanged(c *gin.Context, tag string) bool {
	c.Header("ETag", tag)
	for _, line := range c.Request.Header.Values("If-None-Match") {
		for part := range strings.SplitSeq(line, ",") {
			part = strings.TrimSpace(part)
			// compared weakly (RFC 9110, 13.1.2); a proxy may have dropped the mark
			if part == "*" && c.Request.Method != http.MethodPost || strings.TrimPrefix(part, "W/") == strings.TrimPrefix(tag, "W/") {
				c.Abort()
				c.Status(http.StatusNotModified)
				c.Writer.WriteHeaderNow()
				return true
			}
		}
	}
	return false
}
