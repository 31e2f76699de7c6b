// Package client asks a tanrad service. Answers have the types of the library, so
// that a program can move between asking over HTTP and calling the packages.
//
// A question is sent again when the service is busy (429, 503) after the time it
// names, and when the connection breaks: every question of this package may be
// asked twice, a job because it carries a key.
package client

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	mrand "math/rand/v2"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/window"
)

// Client asks one service. Its fields are not to be changed once it is used; it is
// safe for concurrent use.
type Client struct {
	Base    string        // address of the service, "http://127.0.0.1:8080"
	Key     string        // secret of a key, "" for none
	HTTP    *http.Client  // nil is http.DefaultClient
	Tries   int           // how often a question is sent at most; 0 is 5
	Longest time.Duration // longest wait before it is sent again; 0 is 30 s
}

// Problem is a refusal of the service (RFC 9457).
type Problem struct {
	Type      string  `json:"type"`
	Title     string  `json:"title"`
	Status    int     `json:"status"`
	Detail    string  `json:"detail"`
	RequestID string  `json:"request_id"`
	Errors    []Fault `json:"errors"`
}

// Fault is one thing that is wrong with a question.
type Fault struct {
	Rule      string   `json:"rule"`
	Pointer   string   `json:"pointer"`   // into the body, with "#" before it
	Parameter string   `json:"parameter"` // or the name of a parameter
	Detail    string   `json:"detail"`
	Found     string   `json:"found"`
	Allowed   string   `json:"allowed"`
	Nearest   []string `json:"nearest"`
	Fix       string   `json:"fix"`
}

func (p *Problem) Error() string {
	text := fmt.Sprintf("tanrad: %s (%d)", p.Title, p.Status)
	if p.Detail != "" {
		text += ": " + p.Detail
	}
	for _, f := range p.Errors {
		text += fmt.Sprintf("; %s%s: %s", f.Pointer, f.Parameter, f.Detail)
	}
	return text
}

// Conditions say what a board is asked to bear, beyond its file. The zero value
// asks for all there is.
type Conditions struct {
	Home      string    // named climate; "" is the board's own
	Air       []string  // further end states, as "45@21" (% humidity @ °C)
	Moistures []float64 // further end states, % MC of every piece
	Shifts    []float64 // further end states, change of % MC from glue-up
	Exposures []string  // names; "none" alone leaves them out
	Refine    int       // halvings of every element
	NoCracks  bool      // of Check: leave the energy check out
	NoChance  bool      // of Check: leave the chance out
}

// Edit are the conditions of the quick answer that a drawing asks at every edit.
var Edit = Conditions{Exposures: []string{"none"}, NoCracks: true, NoChance: true}

func (c Conditions) query() url.Values {
	q := url.Values{}
	if c.Home != "" {
		q.Set("home", c.Home)
	}
	q["air"], q["exposures"] = c.Air, c.Exposures
	for _, v := range c.Moistures {
		q.Add("mc", strconv.FormatFloat(v, 'g', -1, 64))
	}
	for _, v := range c.Shifts {
		q.Add("shift", strconv.FormatFloat(v, 'g', -1, 64))
	}
	if c.Refine > 0 {
		q.Set("refine", strconv.Itoa(c.Refine))
	}
	return q
}

// Check asks whether a board holds. The board is the JSON of a board file, or
// anything that marshals to it.
func (c *Client) Check(ctx context.Context, board any, in Conditions) (*answer.Report, error) {
	return ask[answer.Report](ctx, c, boardPath, in.ofCheck(), board)
}

const boardPath = "/v1/board"

// ofCheck are the conditions of a check.
func (c Conditions) ofCheck() url.Values {
	q := c.query()
	if c.NoCracks {
		q.Set("cracks", "false")
	}
	if c.NoChance {
		q.Set("chance", "false")
	}
	return q
}

// Improve looks for a better arrangement of a board's blocks; search holds further
// parameters of the route, nil for none.
func (c *Client) Improve(ctx context.Context, board any, in Conditions, search url.Values) (*arrange.Result, error) {
	q := in.query()
	for k, v := range search {
		q[k] = v
	}
	return ask[arrange.Result](ctx, c, "/v1/board/improve", q, board)
}

// Windows asks what a board bears, for its care card.
func (c *Client) Windows(ctx context.Context, board any, in Conditions) (*window.Windows, error) {
	return ask[window.Windows](ctx, c, "/v1/board/windows", in.query(), board)
}

// Advice asks what would help a board.
func (c *Client) Advice(ctx context.Context, board any, in Conditions) (*advice.Advice, error) {
	return ask[advice.Advice](ctx, c, "/v1/board/advice", in.query(), board)
}

// Pair asks whether two woods go together along one joint; the body is as the
// contract tells.
func (c *Client) Pair(ctx context.Context, body any) (*pair.Result, error) {
	return ask[pair.Result](ctx, c, "/v1/pair", nil, body)
}

func ask[A any](ctx context.Context, c *Client, path string, q url.Values, body any) (*A, error) {
	text, err := textOf(body)
	if err != nil {
		return nil, err
	}
	if len(q) > 0 {
		path += "?" + q.Encode()
	}
	out := new(A)
	return out, c.do(ctx, http.MethodPost, path, text, nil, out)
}

func textOf(body any) ([]byte, error) {
	switch b := body.(type) {
	case nil:
		return nil, nil
	case []byte:
		return b, nil
	case json.RawMessage:
		return b, nil
	case string:
		return []byte(b), nil
	}
	return json.Marshal(body)
}

// do sends a request until it is answered, and decodes the answer into out.
func (c *Client) do(ctx context.Context, method, path string, body []byte, header http.Header, out any) error {
	_, err := c.exchange(ctx, method, path, body, header, out)
	return err
}

// exchange is do and gives the header of the answer as well.
func (c *Client) exchange(ctx context.Context, method, path string, body []byte, header http.Header, out any) (http.Header, error) {
	tries := c.Tries
	if tries <= 0 {
		tries = 5
	}
	for try := 1; ; try++ {
		r, err := c.send(ctx, method, path, body, header)
		wait := c.pause(try)
		if err == nil {
			var text []byte
			text, err = io.ReadAll(r.Body)
			r.Body.Close()
			switch {
			case err != nil: // cut off: as a broken connection
			case r.StatusCode < 300:
				if err := json.Unmarshal(text, out); err != nil {
					return nil, fmt.Errorf("tanrad: %s %s: %w", method, path, err)
				}
				return r.Header, nil
			default:
				err = problemOf(r, text)
				after, told := again(r)
				if !told {
					return nil, err
				}
				wait = max(wait, after)
			}
		}
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if try >= tries {
			return nil, err
		}
		select {
		case <-ctx.Done():
			return nil, errors.Join(ctx.Err(), err)
		case <-time.After(wait):
		}
	}
}

func (c *Client) send(ctx context.Context, method, path string, body []byte, header http.Header) (*http.Response, error) {
	r, err := http.NewRequestWithContext(ctx, method, strings.TrimSuffix(c.Base, "/")+path, bytes.NewReader(body))
	if err != nil {
		return nil, fmt.Errorf("tanrad: %w", err)
	}
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	for k, v := range header {
		r.Header[k] = v
	}
	if c.Key != "" {
		r.Header.Set("Authorization", "Bearer "+c.Key)
	}
	h := c.HTTP
	if h == nil {
		h = http.DefaultClient
	}
	resp, err := h.Do(r)
	if err != nil {
		return nil, fmt.Errorf("tanrad: %w", err)
	}
	return resp, nil
}

// pause doubles with every try, and is spread so that many clients that were sent
// away together do not come back together.
func (c *Client) pause(try int) time.Duration {
	longest := c.Longest
	if longest <= 0 {
		longest = 30 * time.Second
	}
	d := time.Duration(float64(250*time.Millisecond) * math.Pow(2, float64(min(try, 20)-1)))
	d = min(d, longest)
	return d/2 + mrand.N(d/2+1)
}

// again tells whether it pays to send a refused request once more, and after what
// time.
func again(r *http.Response) (time.Duration, bool) {
	if r.StatusCode != http.StatusTooManyRequests && r.StatusCode != http.StatusServiceUnavailable {
		return 0, false
	}
	s, err := strconv.Atoi(r.Header.Get("Retry-After"))
	if err != nil || s < 0 {
		s = 0
	}
	return time.Duration(s) * time.Second, true
}

func problemOf(r *http.Response, text []byte) error {
	p := &Problem{}
	if json.Unmarshal(text, p) != nil || p.Status == 0 {
		return &Problem{Title: http.StatusText(r.StatusCode), Status: r.StatusCode, Detail: "not an answer of a tanrad service"}
	}
	return p
}

// newKey makes an idempotency key.
func newKey() string { return rand.Text() }
