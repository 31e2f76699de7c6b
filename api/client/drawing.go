package client

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"

	jsonpatch "github.com/evanphx/json-patch/v5"

	"github.com/tanrad/tanrad/api/answer"
)

// Drawing is a board that is changed step by step: only what changes is sent, and the
// service works out anew only what the step touches. It is for one goroutine.
type Drawing struct {
	c    *Client
	file []byte
	name string // under which the service keeps the board; "" for none
}

// Draw begins with a board, as of Check. The error is one of JSON.
func (c *Client) Draw(board any) (*Drawing, error) {
	file, err := textOf(board)
	return &Drawing{c: c, file: file}, err
}

// File is the board file as it is now.
func (d *Drawing) File() []byte { return d.file }

// Check asks whether the board holds as it is.
func (d *Drawing) Check(ctx context.Context, in Conditions) (*answer.Report, error) {
	return d.ask(ctx, http.MethodPost, boardPath, d.file, nil, in)
}

// Change asks whether the board holds with a change, a JSON merge patch (RFC 7396) or
// anything that marshals to one. The drawing takes the change over when it is answered;
// otherwise it stays as it was. A service that does not keep the board any more gets it
// whole.
func (d *Drawing) Change(ctx context.Context, patch any, in Conditions) (*answer.Report, error) {
	text, err := textOf(patch)
	if err != nil {
		return nil, err
	}
	file, err := jsonpatch.MergePatch(d.file, text)
	if err != nil {
		return nil, fmt.Errorf("tanrad: the change: %w", err)
	}
	var r *answer.Report
	if d.name != "" {
		kind := http.Header{"Content-Type": {"application/merge-patch+json"}}
		r, err = d.ask(ctx, http.MethodPatch, boardPath+"/"+url.PathEscape(d.name), text, kind, in)
	}
	var p *Problem
	if d.name == "" || errors.As(err, &p) && p.Type == "/problems/board-gone" {
		r, err = d.ask(ctx, http.MethodPost, boardPath, file, nil, in)
	}
	if err == nil {
		d.file = file
	}
	return r, err
}

func (d *Drawing) ask(ctx context.Context, method, path string, body []byte, header http.Header, in Conditions) (*answer.Report, error) {
	if q := in.ofCheck(); len(q) > 0 {
		path += "?" + q.Encode()
	}
	r := new(answer.Report)
	h, err := d.c.exchange(ctx, method, path, body, header, r)
	if err != nil {
		return nil, err
	}
	d.name = h.Get("Tanrad-Board")
	return r, nil
}
