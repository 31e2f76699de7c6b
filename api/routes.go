package api

import (
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
)

// Bodies of questions that are not board files.
const smallBody = 64 << 10

// routes wires every address of openapi.yaml.
func (s *Server) routes() (*gin.Engine, error) {
	gin.SetMode(gin.ReleaseMode)
	e := gin.New()
	e.HandleMethodNotAllowed = true
	e.RedirectTrailingSlash = false
	e.RedirectFixedPath = false
	if err := e.SetTrustedProxies(nil); err != nil { // X-Forwarded-For is anybody's claim
		return nil, err
	}
	e.Use(identify, s.observe, s.rescue)
	e.NoRoute(func(c *gin.Context) { fail(c, newProblem(http.StatusNotFound, "not-found", "see / for what there is")) })
	e.NoMethod(func(c *gin.Context) {
		fail(c, newProblem(http.StatusMethodNotAllowed, "method", "see the Allow header"))
	})

	get := func(path string, h gin.HandlerFunc) {
		e.GET(path, h)
		e.HEAD(path, h) // net/http leaves the body out
	}
	get("/healthz", s.healthz)
	get("/readyz", s.readyz)
	get("/v1/species", s.listSpecies)
	get("/v1/species/:id", s.oneSpecies)
	get("/v1/emc", s.emc)
	get("/v1/climates", func(c *gin.Context) { list(s, c, answer.ListClimates) })
	get("/v1/exposures", func(c *gin.Context) { list(s, c, answer.ListExposures) })
	get("/v1/finishes", func(c *gin.Context) { list(s, c, answer.ListFinishes) })
	get("/v1/adhesives", func(c *gin.Context) { list(s, c, answer.ListAdhesives) })
	e.POST("/v1/movement", limitBody(smallBody), s.movement)
	e.POST("/v1/pair", limitBody(smallBody), s.pair)
	e.POST("/v1/board", limitBody(s.cfg.BoardSize), s.board)
	e.POST("/v1/board/improve", limitBody(s.cfg.BoardSize), s.improve)
	e.POST("/v1/board/windows", limitBody(s.cfg.BoardSize), s.windows)
	e.POST("/v1/board/advice", limitBody(s.cfg.BoardSize), s.advice)
	e.POST("/v1/board/export", limitBody(s.cfg.BoardSize), s.export)
	e.POST("/v1/board/diagnose", limitBody(s.cfg.BoardSize), s.diagnose)
	e.POST("/v1/board/picture", limitBody(s.cfg.BoardSize), s.picture)
	s.pages.routes(get)
	return e, nil
}

// templates lists the routes in the form of openapi.yaml, for the test that
// holds the two against each other.
func (s *Server) templates() []string {
	var out []string
	for _, r := range s.engine.Routes() {
		if r.Method == http.MethodHead {
			continue
		}
		out = append(out, r.Method+" "+strings.ReplaceAll(r.Path, ":id", "{id}"))
	}
	return out
}
