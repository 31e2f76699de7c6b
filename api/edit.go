package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"net/http"

	jsonpatch "github.com/evanphx/json-patch/v5"
	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// boardHeader names the board of an answer, for edits of it.
const boardHeader = "Tanrad-Board"

// boardRoute is where boards are sent whole.
const boardRoute = "/v1/board"

// nameOf is the name of a board file: nobody finds it who does not have the file.
func nameOf(file []byte) string {
	h := sha256.Sum256(file)
	return base64.RawURLEncoding.EncodeToString(h[:18])
}

// keepBoard keeps a board file that was answered, so that an edit may name it.
func (s *Server) keepBoard(c *gin.Context, file []byte) {
	name := nameOf(file)
	s.files.Put(name, bytes.Clone(file))
	c.Header(boardHeader, name)
}

// edit checks a board that was sent before, changed as a merge patch says (RFC 7396).
// Nothing depends on a board being kept: who is told that it is not sends it whole.
func (s *Server) edit(c *gin.Context) {
	r, read, ok := s.aboutBoard(c)
	if !ok {
		return
	}
	if s.faulty(c, r) {
		return
	}
	var patch bytes.Buffer
	if !takeBody(c, &patch, patchTypes) {
		return
	}
	file := s.files.Get(c.Param("board"))
	if file == nil {
		fail(c, newProblem(http.StatusNotFound, "board-gone", "send the board whole to /v1/board"))
		return
	}
	merged, err := merged(file, patch.Bytes(), s.cfg.BoardSize)
	if err != nil {
		s.refuse(c, err, inBody)
		return
	}
	s.answerOn(c, r, boardRoute, merged, read) // as if it had come whole
}

// merged applies a merge patch to a board file. Errors: faults of a patch that is no
// object in JSON or names a key twice, or that makes the file longer than is read.
func merged(file, patch []byte, most int64) ([]byte, error) {
	doc, err := strictjson.Parse(patch, strictjson.Limits{})
	if err != nil {
		return nil, err
	}
	if err := doc.Err(); err != nil {
		return nil, err
	}
	if doc.Root().Kind() != strictjson.Object {
		return nil, fault.List{{Rule: fault.WrongType, Detail: "the patch is no object", Found: doc.Root().Kind().String(), Allowed: "an object, the keys of the board file that change (RFC 7396)"}}
	}
	out, err := jsonpatch.MergePatch(file, patch)
	if err != nil {
		return nil, err
	}
	if int64(len(out)) > most {
		return nil, fault.List{{Rule: fault.TooLarge, Detail: "the board would be longer than is read", Found: itoa(len(out)) + " bytes", Allowed: itoa(int(most)) + " bytes"}}
	}
	return out, nil
}
