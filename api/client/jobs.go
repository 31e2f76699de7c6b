package client

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"
)

// JobRequest is a long question or many boards.
type JobRequest struct {
	Kind       string         `json:"kind"` // "check", "improve", "windows", "advice", "plan", "sweep"
	Parameters map[string]any `json:"parameters,omitempty"`
	Fields     []string       `json:"fields,omitempty"` // of check and sweep: keys of the report that are wanted
	Board      any            `json:"board,omitempty"`
	Boards     []any          `json:"boards,omitempty"` // of a sweep, instead of Board
	Axes       []Axis         `json:"axes,omitempty"`   // of a sweep
}

// Axis is one thing that a sweep varies.
type Axis struct {
	At        []string `json:"at,omitempty"`        // JSON pointers into the board file
	Parameter string   `json:"parameter,omitempty"` // or a parameter
	Values    []any    `json:"values,omitempty"`

	Draws   int       `json:"draws,omitempty"`   // instead of values: so many boards drawn at random
	Seed    uint64    `json:"seed,omitempty"`    // equal seeds give equal boards
	Scatter []Scatter `json:"scatter,omitempty"` // what differs from board to board, beside rings that nobody has looked at
}

// Scatter is a number drawn at random at places of the board file: normal with Mean and
// SD, cut off at three of these, or even between From and To.
type Scatter struct {
	At   []string `json:"at"`
	Mean *float64 `json:"mean,omitempty"`
	SD   *float64 `json:"sd,omitempty"`
	From *float64 `json:"from,omitempty"`
	To   *float64 `json:"to,omitempty"`
}

// Job is a job as it stands.
type Job struct {
	ID      string    `json:"id"`
	Kind    string    `json:"kind"`
	State   string    `json:"state"` // "queued", "running", "done", "cancelled"
	Units   int       `json:"units"`
	Done    int       `json:"done"`
	Failed  int       `json:"failed"`
	Created time.Time `json:"created"`
	Expires time.Time `json:"expires"`
}

// Submit hands a job in. Sending it again after a broken connection does not make
// a second one.
func (c *Client) Submit(ctx context.Context, r JobRequest) (*Job, error) {
	// a board given as text is JSON already
	for _, b := range append([]*any{&r.Board}, pointers(r.Boards)...) {
		switch v := (*b).(type) {
		case []byte:
			*b = json.RawMessage(v)
		case string:
			*b = json.RawMessage(v)
		}
	}
	body, err := json.Marshal(r)
	if err != nil {
		return nil, fmt.Errorf("tanrad: %w", err)
	}
	j := &Job{}
	return j, c.do(ctx, http.MethodPost, "/v1/jobs", body, http.Header{"Idempotency-Key": {newKey()}}, j)
}

func pointers(list []any) (out []*any) {
	for i := range list {
		out = append(out, &list[i])
	}
	return out
}

// Job asks how far a job is.
func (c *Client) Job(ctx context.Context, id string) (*Job, error) {
	j := &Job{}
	return j, c.do(ctx, http.MethodGet, "/v1/jobs/"+url.PathEscape(id), nil, nil, j)
}

// Cancel ends a job.
func (c *Client) Cancel(ctx context.Context, id string) (*Job, error) {
	j := &Job{}
	return j, c.do(ctx, http.MethodDelete, "/v1/jobs/"+url.PathEscape(id), nil, nil, j)
}

// Result decodes what came of one unit of a job into out. The error is a *Problem
// when the unit failed, or has no result yet.
func (c *Client) Result(ctx context.Context, id string, unit int, out any) error {
	return c.do(ctx, http.MethodGet, "/v1/jobs/"+url.PathEscape(id)+"/results/"+strconv.Itoa(unit), nil, nil, out)
}

// Event is one thing a job tells. One of Progress, Result and End is set.
type Event struct {
	Progress *Progress
	Result   *Result
	End      *Job
}

// Progress is how far a unit has come.
type Progress struct {
	Unit  int    `json:"unit"`
	Done  int    `json:"done"`
	Total int    `json:"total"`
	What  string `json:"what"`
}

// Result is what came of a unit.
type Result struct {
	Unit   int             `json:"unit"`
	Status int             `json:"status"`
	Answer json.RawMessage `json:"answer"` // or the problem
	Large  bool            `json:"large"`  // the answer is long: ask Client.Result for it
}

// Follow tells the events of a job until its end, ctx ends or tell returns an
// error. A connection that breaks is taken up where it broke, and tell hears
// nothing twice.
func (c *Client) Follow(ctx context.Context, id string, tell func(Event) error) error {
	last, idle := "", 0
	for {
		before := last
		ended, err := c.stream(ctx, id, &last, tell)
		var refused *Problem
		var own *stopped
		switch {
		case ended:
			return nil
		case errors.As(err, &own):
			return own.error
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.As(err, &refused) && refused.Status != http.StatusServiceUnavailable && refused.Status != http.StatusTooManyRequests:
			return err
		}
		if idle++; last != before {
			idle = 0 // it got on
		}
		tries := c.Tries
		if tries <= 0 {
			tries = 5
		}
		if idle >= tries {
			return errors.Join(err, errors.New("tanrad: the events of the job broke off"))
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(c.pause(idle + 1)):
		}
	}
}

// stopped is an error of the one who listens.
type stopped struct{ error }

func (c *Client) stream(ctx context.Context, id string, last *string, tell func(Event) error) (ended bool, err error) {
	header := http.Header{"Accept": {"text/event-stream"}}
	if *last != "" {
		header.Set("Last-Event-ID", *last)
	}
	r, err := c.send(ctx, http.MethodGet, "/v1/jobs/"+url.PathEscape(id)+"/events", nil, header)
	if err != nil {
		return false, err
	}
	defer r.Body.Close()
	if r.StatusCode != http.StatusOK {
		text, _ := io.ReadAll(io.LimitReader(r.Body, 1<<20))
		return false, problemOf(r, text)
	}
	lines := bufio.NewReader(r.Body)
	var name, at, data string
	for {
		line, err := lines.ReadString('\n')
		if err != nil {
			return false, err
		}
		line = strings.TrimRight(line, "\r\n")
		if line != "" {
			key, value, _ := strings.Cut(line, ": ")
			switch key {
			case "id":
				at = value
			case "event":
				name = value
			case "data":
				data = value
			}
			continue
		}
		if data == "" {
			continue
		}
		var e Event
		switch name {
		case "progress":
			e.Progress = &Progress{}
			err = json.Unmarshal([]byte(data), e.Progress)
		case "result":
			e.Result = &Result{}
			err = json.Unmarshal([]byte(data), e.Result)
		case "end":
			e.End = &Job{}
			err = json.Unmarshal([]byte(data), e.End)
		}
		if err != nil {
			return false, &stopped{fmt.Errorf("tanrad: %w", err)}
		}
		if err := tell(e); err != nil {
			return false, &stopped{err}
		}
		*last = at
		if e.End != nil {
			return true, nil
		}
		name, at, data = "", "", ""
	}
}
