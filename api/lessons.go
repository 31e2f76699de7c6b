package api

import (
	"bytes"
	"context"
	"errors"
	"html/template"
	"net/http"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/teach"
)

// lesson works a lesson out and tells it as kind of answer; what no lesson is called
// is 404 with the nearest names.
func (s *Server) lesson(c *gin.Context, kind string, tell func(*teach.Lesson)) {
	if _, ok := choose(c, kind); !ok {
		return
	}
	if s.faulty(c, readQuery(c)) {
		return
	}
	ctx, cancel := context.WithTimeout(c.Request.Context(), s.cfg.CheckTime)
	defer cancel()
	l, err := s.classroom.Lesson(ctx, c.Param("id"))
	var one fault.Fault
	switch {
	case errors.As(err, &one):
		one.Pointer = "/id"
		p := problemOf(one, inQuery)
		p.Status = http.StatusNotFound
		p.Type, p.Title = "/problems/not-found", titles["not-found"]
		fail(c, p)
	case err != nil:
		s.refuse(c, err, inQuery)
	default:
		tell(l)
	}
}

func (s *Server) oneLesson(c *gin.Context) {
	s.lesson(c, typeJSON, func(l *teach.Lesson) { s.give(c, l) })
}

// handout is a lesson as a page to print.
func (s *Server) handout(c *gin.Context) {
	s.lesson(c, "text/html", func(l *teach.Lesson) {
		body, err := l.Handout("/page/teach.css")
		if err != nil {
			s.refuse(c, err, inQuery)
			return
		}
		c.Header("Content-Security-Policy", pagePolicy)
		c.Data(http.StatusOK, typeHTML, body)
	})
}

// list of a kind that can fail only where the program itself is broken.
func sure[A any](a A, err error) A {
	if err != nil {
		panic(err)
	}
	return a
}

// teachPages are the list of lessons and the glossary as pages.
func teachPages() (map[string]pageFile, error) {
	out := map[string]pageFile{"/page/teach.css": {kind: typeCSS, body: teach.Style()}}
	lessons, err := answer.ListLessons()
	if err != nil {
		return nil, err
	}
	words, err := answer.ListWords()
	if err != nil {
		return nil, err
	}
	own := template.FuncMap{"drawing": func(svg string) template.HTML { return template.HTML(svg) }} //nolint:gosec // our own data
	for route, p := range map[string]struct {
		name string
		v    any
	}{"/lessons": {"lessons.html", lessons}, "/words": {"words.html", words}} {
		t, err := template.New(p.name).Funcs(own).ParseFS(pageFiles, "page/"+p.name)
		if err != nil {
			return nil, err
		}
		var b bytes.Buffer
		if err := t.Execute(&b, p.v); err != nil {
			return nil, err
		}
		out[route] = pageFile{kind: typeHTML, body: b.Bytes()}
	}
	return out, nil
}
