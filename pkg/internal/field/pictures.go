// Package field gives what pictures of a prepared board show: moved outlines,
// the bent surface, moisture through the thickness.
package field

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// Board is a board of which pictures are made.
type Board struct{ *influence.Model }

// Instant is the board as it is at one moment: in a uniform end state, or at
// one time of an exposure.
type Instant struct {
	Name, Text string
	Hour       float64 // h from the start of the exposure, 0 for an end state
	When       string  // in words, "" for an end state
	swelling   *influence.Load
	end        *influence.EndState // nil in an exposure
}

// Instant finds a moment by the name of an end state or of an exposure of the
// conditions; of an exposure, the kept time nearest to hour [h]. Errors: a
// fault of rule unknown-name at "/state", and those of Report.
func (m Board) Instant(ctx context.Context, d *influence.Demand, name string, hour float64) (*Instant, error) {
	ends, err := m.EndStates(d)
	if err != nil {
		return nil, err
	}
	var names []string
	for i := range ends {
		if e := &ends[i]; e.Name == name {
			l, _ := m.LoadOf(e)
			return &Instant{Name: e.Name, Text: e.Text, swelling: l, end: e}, nil
		}
		names = append(names, ends[i].Name)
	}
	co, more, err := m.historyOf(ctx, d, name)
	if err != nil {
		return nil, err
	}
	if co == nil {
		return nil, unknownState(name, append(names, more...))
	}
	at := 0
	for i, t := range co.Times {
		if math.Abs(t-hour) < math.Abs(co.Times[at]-hour) {
			at = i
		}
	}
	return &Instant{Name: name, Text: co.Shown.Text, Hour: co.Times[at], When: co.When(at), swelling: m.At(co, co.Shape, at, nil)}, nil
}

func unknownState(name string, names []string) error {
	return fault.List{{Rule: fault.UnknownName, Pointer: "/state", Detail: "no end state or exposure of this check has the name",
		Found: name, Nearest: fault.Nearest(name, names, 3)}}
}

// historyOf follows the exposure of a name. It is nil, with the names there are,
// when the conditions have none such.
func (m Board) historyOf(ctx context.Context, d *influence.Demand, name string) (*influence.LoadHistory, []string, error) {
	ev, in, names, err := m.eventOf(d, name)
	if err != nil || ev == nil {
		return nil, names, err
	}
	co, err := m.Follow(ctx, *ev, in)
	return co, names, err
}

func (m Board) eventOf(d *influence.Demand, name string) (*moisture.Event, moisture.Setting, []string, error) {
	in, err := d.Setting(m.Board)
	if err != nil {
		return nil, in, nil, err
	}
	events, err := d.Exposures(m.Board)
	if err != nil {
		return nil, in, nil, err
	}
	var names []string
	for i := range events {
		if events[i].ID() == name {
			return &events[i], in, nil, nil
		}
		names = append(names, events[i].ID())
	}
	return nil, in, names, nil
}

// Outlines gives the outline of every piece [mm], closed rows of points, as
// glued and as it lies at an instant, point for point. The points are the nodes
// of the mesh along the outline. Only the membrane moves them: bending leaves
// the mid-plane of a plate where it is. How the board lies is taken out: its
// middle stays and it is not turned as a whole.
func (m Board) Outlines(i *Instant) (from, to [][]layout.XY) {
	x := m.settled(m.Stretched(i.swelling))
	rings := m.Board.Partition.Rings
	from, to = make([][]layout.XY, len(rings)), make([][]layout.XY, len(rings))
	for p, ring := range rings {
		for _, re := range ring {
			nodes := m.Mesh.Edges[re.Edge].Nodes
			for k := range len(nodes) - 1 { // the last is the first of the next edge
				n := nodes[k]
				if re.Reversed {
					n = nodes[len(nodes)-1-k]
				}
				q := m.Mesh.Nodes[n]
				from[p] = append(from[p], q)
				to[p] = append(to[p], layout.XY{q[0] + x[2*n], q[1] + x[2*n+1]})
			}
		}
	}
	return from, to
}

// settled takes the mean shift and the mean turn out of a displacement of the
// membrane [mm], which only tell where the model was held.
func (m Board) settled(x []float64) []float64 {
	n := float64(len(m.Mesh.Nodes))
	var c, mean layout.XY
	for i, p := range m.Mesh.Nodes {
		for a := range p {
			c[a] += p[a] / n
			mean[a] += x[2*i+a] / n
		}
	}
	var turn, reach float64
	for i, p := range m.Mesh.Nodes {
		dx, dy := p[0]-c[0], p[1]-c[1]
		turn += dx*(x[2*i+1]-mean[1]) - dy*(x[2*i]-mean[0])
		reach += dx*dx + dy*dy
	}
	turn /= reach
	out := make([]float64, len(x))
	for i, p := range m.Mesh.Nodes {
		out[2*i] = x[2*i] - mean[0] + turn*(p[1]-c[1])
		out[2*i+1] = x[2*i+1] - mean[1] - turn*(p[0]-c[0])
	}
	return out
}
