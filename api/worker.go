package api

import (
	"context"
	"encoding/json"
	"log/slog"
	"net/http"
	"time"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/api/jobs"
)

// Worker works on jobs of a broker, in a service or as a process of its own.
type Worker struct {
	memory  *answer.Memory
	longest time.Duration
	log     *slog.Logger
	polite  func(context.Context) context.Context // nil for a process of its own
}

// WorkerConfig says how a worker works. Zero fields mean the defaults.
type WorkerConfig struct {
	Slots   int           // units at once; 0 is 1
	Budget  int64         // bytes that solving one board may take; 0 is 2 GiB
	Memory  int64         // bytes of solved parts kept between boards; 0 is 128 MiB
	Longest time.Duration // longest answer of one unit; 0 is 30 min
	Log     *slog.Logger
}

// NewWorker makes a worker.
func NewWorker(cfg WorkerConfig) *Worker {
	c := Config{Budget: cfg.Budget, Memory: cfg.Memory, Log: cfg.Log}.orDefault()
	if cfg.Longest <= 0 {
		cfg.Longest = 30 * time.Minute
	}
	return &Worker{memory: answer.NewMemory(c.Memory, c.Boards, c.Budget), longest: cfg.Longest, log: c.Log}
}

// Worker makes a worker in the process of the service, whose quick answers go first.
func (s *Server) Worker() *Worker {
	w := NewWorker(WorkerConfig{Budget: s.cfg.Budget, Memory: s.cfg.Memory, Log: s.cfg.Log})
	w.polite = s.quick.Polite
	return w
}

// Do answers one unit of a job as its own route would.
func (w *Worker) Do(ctx context.Context, spec []byte, unit int, p func(done, total int, what string)) jobs.Result {
	ctx, cancel := context.WithTimeout(ctx, w.longest)
	defer cancel()
	if w.polite != nil {
		ctx = w.polite(ctx)
	}
	body, err := w.answer(ctx, spec, unit, p)
	if err == nil {
		return jobs.Result{Status: http.StatusOK, Answer: body}
	}
	problem := ProblemOf(err)
	if problem.Status == http.StatusInternalServerError {
		w.log.Error("job", "unit", unit, "err", err)
	}
	if body, err = answer.Encode(problem); err != nil {
		body = []byte(`{"type":"/problems/internal","title":"Something went wrong here","status":500}`)
	}
	return jobs.Result{Status: problem.Status, Answer: body}
}

func (w *Worker) answer(ctx context.Context, spec []byte, unit int, p progress) ([]byte, error) {
	var j jobSpec
	if err := json.Unmarshal(spec, &j); err != nil {
		return nil, err
	}
	board, parameters, err := j.variant(unit)
	if err != nil {
		return nil, err
	}
	kind := longKinds[j.asked()]
	r := readValues(parameters, kind.names...)
	read := kind.read(r, w.memory, p)
	if len(r.faults) > 0 {
		return nil, answer.ParameterFaults(r.faults)
	}
	q, err := read(board)
	if err != nil {
		return nil, err
	}
	a, err := q.Answer(ctx)
	if err != nil {
		return nil, err
	}
	body, err := answer.Encode(a)
	if err != nil || len(j.Fields) == 0 {
		return body, err
	}
	return answer.Fields(j.Fields).Of(body)
}
