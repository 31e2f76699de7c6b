package answer

import (
	"context"
	"encoding/json"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/diagnose"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/strictjson"
)

// AskDiagnose reads a body of a board file and what was seen of it. The error is a
// fault.List with pointers into the body.
func AskDiagnose(src []byte, m *Memory) (*Question, error) {
	doc, err := strictjson.Parse(src, strictjson.Limits{})
	if err != nil {
		return nil, err
	}
	root := doc.Root().Object("board", "observation")
	board := root.Need("board")
	if board.Here() && board.Kind() != strictjson.Object {
		board.Fault(fault.WrongType, "a board file is needed here", "an object")
	}
	o := diagnose.Take(root.Need("observation"))
	var faults fault.List
	for _, f := range doc.Faults() {
		if !strings.HasPrefix(f.Pointer, "/board/") { // reading the board tells its own
			faults = append(faults, f)
		}
	}
	if board.Kind() != strictjson.Object {
		return nil, slices.Concat(o.Faults().At("/observation"), faults).Err()
	}
	var body map[string]json.RawMessage // not a struct: its keys would match in any case
	if err := json.Unmarshal(src, &body); err != nil {
		return nil, err // strict has read it as JSON already
	}
	f, _, err := layout.Open(body["board"], layout.Limits{})
	if list := fault.Of(err); list != nil {
		faults = append(faults, list.At("/board")...)
	} else if err != nil {
		return nil, err
	}
	if len(faults) > 0 { // else the diagnosis tells those of the observation, with its place on the board
		return nil, slices.Concat(o.Faults().At("/observation"), faults)
	}
	return &Question{ask: func(ctx context.Context) (any, error) {
		d, err := lookBack(ctx, f, o, "", m)
		if l := fault.Of(err); l != nil && l[0].Rule == fault.TooLarge { // what solving costs is the board's fault
			return nil, l.At("/board")
		}
		return some(d, fault.At(err, "/observation"))
	}}, nil
}

// DiagnoseBoard answers a board file and an observation that were told apart, in a named climate or, with none, the board's own home. Faults of the
// observation and the climate are Parameters.
func DiagnoseBoard(ctx context.Context, src []byte, o diagnose.Observation, home string) (*diagnose.Diagnosis, error) {
	if home != "" {
		if _, err := moisture.FindClimate(home); err != nil {
			return nil, Parameters{fault.At(err, "/home")}
		}
	}
	f, _, err := layout.Open(src, layout.Limits{})
	if err != nil {
		return nil, err
	}
	d, err := lookBack(ctx, f, o, home, nil)
	return d, parameter(err)
}

func lookBack(ctx context.Context, f *layout.File, o diagnose.Observation, home string, m *Memory) (*diagnose.Diagnosis, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	cond := m.conditions()
	return diagnose.Board(ctx, f, o, diagnose.Options{Home: home, Conditions: cond})
}
