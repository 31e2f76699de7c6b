package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/api/jobs"
	"github.com/tanrad/tanrad/pkg/fault"
)

// jobRoutes wires the routes of jobs.
func (s *Server) jobRoutes(v1 *gin.RouterGroup) {
	g := v1.Group("/jobs", func(c *gin.Context) {
		if s.jobs == nil {
			fail(c, newProblem(http.StatusNotImplemented, "no-jobs", "this service was started without jobs"))
		}
	})
	g.POST("", limitBody(jobBody), s.submitJob)
	g.GET("/:id", s.findJob)
	g.DELETE("/:id", s.cancelJob)
	g.GET("/:id/events", s.followJob)
	g.GET("/:id/results/:unit", s.jobResult)
}

// jobBody is the longest job, bytes: a list of boards is longer than one.
const jobBody = 16 << 20

func (s *Server) submitJob(c *gin.Context) {
	if _, ok := choose(c, typeJSON); !ok {
		return
	}
	if s.faulty(c, readQuery(c)) {
		return
	}
	key := c.GetHeader("Idempotency-Key")
	if len(key) > 200 {
		p := newProblem(http.StatusUnprocessableEntity, "parameters", "the Idempotency-Key is longer than 200 letters")
		fail(c, p)
		return
	}
	var body bytes.Buffer
	if !takeBody(c, &body, jsonTypes) {
		return
	}
	spec, err := readJob(body.Bytes())
	if err == nil && len(spec.Fields) > 0 {
		if spec.asked() != "check" {
			err = fault.List{{Rule: fault.NotAllowed, Pointer: "/fields", Detail: "fields are of reports", Allowed: "fields with kind check or sweep"}}
		} else if _, wrong := answer.FieldsOf(&answer.Report{}, spec.Fields); wrong != nil {
			err = fault.Of(wrong)
		}
	}
	if err != nil {
		s.refuse(c, err, inBody)
		return
	}
	kept, err := json.Marshal(spec)
	if err != nil {
		s.refuse(c, err, inBody)
		return
	}
	j, err := s.jobs.Submit(c.Request.Context(), jobs.Order{Kind: spec.Kind, Client: c.GetString(clientKey), Key: key, Spec: kept, Units: spec.units()})
	if err != nil {
		s.refuseJob(c, err)
		return
	}
	s.metrics.jobs.WithLabelValues(spec.Kind).Inc()
	c.Header("Location", "/v1/jobs/"+j.ID)
	s.giveWith(c, http.StatusAccepted, j)
}

func (s *Server) findJob(c *gin.Context) {
	j, err := s.jobs.Find(c.Request.Context(), c.GetString(clientKey), c.Param("id"))
	if err != nil {
		s.refuseJob(c, err)
		return
	}
	s.give(c, j)
}

func (s *Server) cancelJob(c *gin.Context) {
	j, err := s.jobs.Cancel(c.Request.Context(), c.GetString(clientKey), c.Param("id"))
	if err != nil {
		s.refuseJob(c, err)
		return
	}
	s.giveWith(c, http.StatusOK, j)
}

// jobResult gives what came of one unit, as its own route would have answered.
func (s *Server) jobResult(c *gin.Context) {
	unit, err := strconv.Atoi(c.Param("unit"))
	if err != nil {
		unit = -1
	}
	r, err := s.jobs.Result(c.Request.Context(), c.GetString(clientKey), c.Param("id"), unit)
	if err != nil {
		s.refuseJob(c, err)
		return
	}
	kind := typeJSON
	if r.Status >= 400 {
		kind = "application/problem+json"
	}
	c.Data(r.Status, kind, r.Answer)
}

// followJob tells the log of a job as server-sent events.
func (s *Server) followJob(c *gin.Context) {
	after := uint64(0)
	if text := c.GetHeader("Last-Event-ID"); text != "" {
		n, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			fail(c, newProblem(http.StatusUnprocessableEntity, "parameters", "Last-Event-ID is none that was sent"))
			return
		}
		after = n
	}
	if _, err := s.jobs.Find(c.Request.Context(), c.GetString(clientKey), c.Param("id")); err != nil {
		s.refuseJob(c, err)
		return
	}
	out := http.NewResponseController(c.Writer)
	h := c.Writer.Header()
	h.Set("Content-Type", typeEvents)
	h.Set("Cache-Control", "no-store")
	h.Set("X-Accel-Buffering", "no") // a proxy that keeps back is told not to
	c.Status(http.StatusOK)
	write := func(text string) error {
		_ = out.SetWriteDeadline(time.Now().Add(writePatience)) // a stream has no end that could be known
		if _, err := c.Writer.WriteString(text); err != nil {
			return err
		}
		return out.Flush()
	}
	if write("retry: 2000\n\n") != nil {
		return
	}
	err := s.jobs.Follow(c.Request.Context(), c.GetString(clientKey), c.Param("id"), after, func(e *jobs.Event) error {
		if !s.ready.Load() {
			return errGoingDown
		}
		if e == nil {
			return write(":\n\n")
		}
		var v any = e.Progress
		switch {
		case e.Result != nil:
			v = e.Result
		case e.Job != nil:
			v = e.Job
		}
		body, err := json.Marshal(v)
		if err != nil {
			return err
		}
		return write(fmt.Sprintf("id: %d\nevent: %s\ndata: %s\n\n", e.Seq, e.Kind, body))
	})
	if err != nil && c.Request.Context().Err() == nil && !errors.Is(err, errGoingDown) {
		s.cfg.Log.Warn("events of a job broke off", "id", requestID(c), "err", err)
	}
}

var errGoingDown = errors.New("api: the service is going down")

// writePatience is how long one event may take to be written.
const writePatience = 15 * time.Second

// refuseJob answers with the problem of an error of package jobs.
func (s *Server) refuseJob(c *gin.Context, err error) {
	var p *Problem
	switch {
	case errors.Is(err, jobs.ErrUnknown):
		p = newProblem(http.StatusNotFound, "not-found", "there is no such job, or it has expired")
	case errors.Is(err, jobs.ErrNotYet):
		p = newProblem(http.StatusNotFound, "not-yet", "this part has no result yet; follow the events of the job")
		p.retryAfter = "1"
	case errors.Is(err, jobs.ErrNever):
		p = newProblem(http.StatusNotFound, "cancelled", "this part had no result when the job was cancelled, and will have none")
	case errors.Is(err, jobs.ErrNoPart):
		p = newProblem(http.StatusNotFound, "not-found", "the job has no such part: they are counted from 0")
	case errors.Is(err, jobs.ErrConflict):
		p = newProblem(http.StatusConflict, "other-request", "the Idempotency-Key belongs to another request")
	case errors.Is(err, jobs.ErrFull):
		p = newProblem(http.StatusServiceUnavailable, "no-room", "there is no room for further jobs until older ones are done or expire")
		p.retryAfter = "60"
	case errors.Is(err, jobs.ErrAway):
		p = newProblem(http.StatusServiceUnavailable, "no-broker", "the broker of jobs cannot be reached just now")
		p.retryAfter = "5"
	case c.Request.Context().Err() != nil:
		s.left(c)
		return
	default:
		s.refuse(c, err, inBody)
		return
	}
	if p.Status >= http.StatusInternalServerError {
		s.cfg.Log.Warn("jobs", "id", requestID(c), "err", err)
	}
	fail(c, p)
}
