package api

import (
	"context"
	"net/http"
	"net/http/pprof"
	"runtime"
	"strconv"
	"sync"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/api/gate"
)

// metrics counts by route template, never by path, so that strangers cannot
// make new series.
type metrics struct {
	registry *prometheus.Registry
	requests *prometheus.CounterVec
	seconds  *prometheus.HistogramVec
	faults   *prometheus.CounterVec
	panics   prometheus.Counter
	waited   *prometheus.HistogramVec
	phases   *prometheus.HistogramVec
	refused  *prometheus.CounterVec
	jobs     *prometheus.CounterVec
	again    prometheus.Counter

	series sync.Map // seriesKey -> *series, so that a request costs one look-up
}

type seriesKey struct {
	route, method string
	status        int
}

type series struct {
	count   prometheus.Counter
	seconds prometheus.Observer
}

func newMetrics(of *Server) *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "tanrad_requests_total", Help: "Requests by route template, method and status."},
			[]string{"route", "method", "status"}),
		seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "tanrad_request_seconds", Help: "Time to answer by route template.",
			Buckets: []float64{0.0001, 0.0005, 0.001, 0.005, 0.02, 0.1, 0.5, 2, 10, 30}},
			[]string{"route"}),
		faults: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "tanrad_input_faults_total", Help: "Faults told to clients by route template and rule."},
			[]string{"route", "rule"}),
		panics: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "tanrad_panics_total", Help: "Panics turned into problems."}),
		waited: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "tanrad_queue_seconds", Help: "Time a question waited for its place, by kind.",
			Buckets: []float64{0.0001, 0.001, 0.01, 0.1, 0.5, 1, 2, 5, 10}},
			[]string{"kind"}),
		phases: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "tanrad_phase_seconds", Help: "Time that a question about a board was read, worked on and encoded, by kind.",
			Buckets: []float64{0.0005, 0.002, 0.01, 0.05, 0.1, 0.5, 2, 10, 30}},
			[]string{"phase", "kind"}),
		refused: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "tanrad_questions_refused_total", Help: "Questions sent away for want of a place, by kind."},
			[]string{"kind"}),
		jobs: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "tanrad_jobs_total", Help: "Jobs taken, by kind."},
			[]string{"kind"}),
		again: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "tanrad_answers_again_total", Help: "Answers that were given again as they were kept."}),
	}
	m.registry.MustRegister(m.requests, m.seconds, m.faults, m.panics, m.waited, m.phases, m.refused, m.jobs, m.again, keptAnswers(of), heldBoards(of), unitsWaiting(of),
		places(of.heavy, "heavy"), places(of.quick, "quick"), madeWith(),
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// phase notes how long a phase of a question took.
func (m *metrics) phase(name, kind string, began time.Time) {
	m.phases.WithLabelValues(name, kind).Observe(time.Since(began).Seconds())
}

// knownMethods bounds the method label; anything else is "other".
var knownMethods = map[string]bool{"GET": true, "HEAD": true, "POST": true, "PUT": true, "PATCH": true, "DELETE": true, "OPTIONS": true}

func (m *metrics) request(route, method string, status int, took time.Duration) {
	if !knownMethods[method] {
		method = "other"
	}
	key := seriesKey{route, method, status}
	s, ok := m.series.Load(key)
	if !ok {
		s, _ = m.series.LoadOrStore(key, &series{
			m.requests.WithLabelValues(route, method, strconv.Itoa(status)),
			m.seconds.WithLabelValues(route),
		})
	}
	s.(*series).count.Inc()
	s.(*series).seconds.Observe(took.Seconds())
}

// debugRoutes serves metrics and profiles; meant for a listener that only the
// keeper of the service can reach.
func (s *Server) debugRoutes() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(s.metrics.registry, promhttp.HandlerOpts{}))
	mux.HandleFunc("GET /debug/pprof/", pprof.Index)
	mux.HandleFunc("GET /debug/pprof/profile", pprof.Profile)
	mux.HandleFunc("GET /debug/pprof/symbol", pprof.Symbol)
	mux.HandleFunc("GET /debug/pprof/trace", pprof.Trace)
	return mux
}

// places tells what a gate looks like when it is asked.
func places(g *gate.Gate, kind string) prometheus.Collector {
	return &gateCollector{g,
		prometheus.NewDesc("tanrad_questions_working", "Questions worked on.", nil, prometheus.Labels{"kind": kind}),
		prometheus.NewDesc("tanrad_questions_waiting", "Questions that wait for a place.", nil, prometheus.Labels{"kind": kind}),
	}
}

type gateCollector struct {
	gate             *gate.Gate
	working, waiting *prometheus.Desc
}

func (g *gateCollector) Describe(to chan<- *prometheus.Desc) { to <- g.working; to <- g.waiting }

func (g *gateCollector) Collect(to chan<- prometheus.Metric) {
	s := g.gate.State()
	to <- prometheus.MustNewConstMetric(g.working, prometheus.GaugeValue, float64(s.Working))
	to <- prometheus.MustNewConstMetric(g.waiting, prometheus.GaugeValue, float64(s.Waiting))
}

// madeWith is always one; its labels say what answers are made with.
func madeWith() prometheus.Collector {
	v := answer.Version()
	g := prometheus.NewGauge(prometheus.GaugeOpts{Name: "tanrad_build_info", Help: "What answers are made with.",
		ConstLabels: prometheus.Labels{"program": v.Program, "data": v.Data, "go": runtime.Version()}})
	g.Set(1)
	return g
}

// unitsWaiting tells how many units of jobs are not done; −1 when the broker
// cannot be asked.
func unitsWaiting(of *Server) prometheus.Collector {
	return prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "tanrad_job_units_waiting", Help: "Units of jobs in the queue or worked on."}, func() float64 {
		if of.jobs == nil {
			return 0
		}
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		n, err := of.jobs.Waiting(ctx)
		if err != nil {
			return -1
		}
		return float64(n)
	})
}

// keptAnswers tells what the answers take that are kept to be given again.
func keptAnswers(of *Server) prometheus.Collector {
	return prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "tanrad_answers_kept_bytes", Help: "Bytes of answers kept to be given again."},
		func() float64 { return float64(of.answers.Bytes()) })
}

// heldBoards tells what the solved boards take that are held for the next edit.
func heldBoards(of *Server) prometheus.Collector {
	return prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "tanrad_boards_held_bytes", Help: "Bytes of solved boards held for the next edit."},
		func() float64 { return float64(of.memory.Held()) })
}
