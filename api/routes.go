package api

import (
	"net/http"

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
	v1 := e.Group("/v1", s.keyed)
	list := func(path string, h gin.HandlerFunc) {
		v1.GET(path, h)
		v1.HEAD(path, h)
	}
	list("/species", s.listSpecies)
	list("/species/:id", s.oneSpecies)
	list("/emc", s.emc)
	list("/climates", func(c *gin.Context) { giveList(s, c, answer.ListClimates) })
	list("/exposures", func(c *gin.Context) { giveList(s, c, answer.ListExposures) })
	list("/finishes", func(c *gin.Context) { giveList(s, c, answer.ListFinishes) })
	list("/adhesives", func(c *gin.Context) { giveList(s, c, answer.ListAdhesives) })
	list("/lessons", func(c *gin.Context) { giveList(s, c, func() answer.Lessons { return sure(answer.ListLessons()) }) })
	list("/lessons/:id", s.oneLesson)
	list("/words", func(c *gin.Context) { giveList(s, c, func() answer.Words { return sure(answer.ListWords()) }) })
	get("/lessons/:id", s.handout)
	v1.POST("/movement", limitBody(smallBody), s.movement)
	v1.POST("/pair", limitBody(smallBody), s.pair)
	s.jobRoutes(v1)
	board := v1.Group("/board", limitBody(s.cfg.BoardSize))
	board.POST("", s.board)
	board.PATCH("/:board", s.edit)
	board.POST("/improve", s.long("improve"))
	board.POST("/windows", s.long("windows"))
	board.POST("/advice", s.long("advice"))
	board.POST("/plan", s.plan)
	board.POST("/export", s.export)
	board.POST("/diagnose", s.diagnose)
	board.POST("/picture", s.picture)
	board.POST("/outline", s.outline)
	board.POST("/shape", s.shape)
	s.pages.routes(get)
	return e, nil
}
