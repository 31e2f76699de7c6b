package check

import (
	"context"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/derive"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Words of Conditions.Explain beside the ids of joints and pieces and the keys of the
// modes.
const (
	WhyWorst  = "worst"  // the mode that gives the board's word
	WhyChance = "chance" // the mode of the chance
	WhySize   = "size"   // how small and how large the board gets

	WhyElastic   = "elastic"   // what the worst place would bear if no stress eased with time
	WhyCauses    = "causes"    // the shares of what is asked of the worst joint
	WhyCrushing  = "crushing"  // the hardest pressure on a joint
	WhyResponses = "responses" // how fast the pieces follow the air
	WhyStages    = "stages"    // what the rests between glue-ups left
	WhyAtOnce    = "at_once"   // what the worst line would bear, had all been glued at once
)

// whyWords are the words that are neither an id nor the key of a mode.
var whyWords = []string{WhyWorst, WhyChance, WhySize, WhyElastic, WhyCauses, WhyCrushing, WhyResponses, WhyStages, WhyAtOnce}

// whyAt stands between a word and the end state or exposure in which it is asked.
const whyAt = "@"

// derivation opens the numbers that a word means: of a joint, of the worst joint of a
// piece, of a mode or of the size of the board, where it is worst or, behind an @, in one
// end state or exposure; of a split also in one piece. Errors: a fault at "/explain" for a word that means none.
func (m reporter) derivation(ctx context.Context, j *influence.Judged, modes []Mode, word string) (*derive.Derivation, error) {
	joint, known := derive.Find(m.Model, j, word)
	if joint >= 0 {
		return derive.Joint(ctx, m.Model, j, joint, derive.Figure{Of: word, Scatter: m.scatter()})
	}
	what, state, _ := strings.Cut(word, whyAt)
	words := slices.Clone(whyWords)
	for _, n := range modeNames {
		words = append(words, n.key)
	}
	refused := func(detail, found, allowed string, near []string) error {
		return fault.List{{Rule: fault.NotOneOf, Pointer: "/explain", Detail: detail, Found: fault.Short(found), Allowed: allowed, Nearest: fault.Nearest(found, near, 3)}}
	}
	if !slices.Contains(words, what) {
		return nil, refused("the board has no joint and no piece of this name", word, "the id of a joint or a piece, or "+strings.Join(words, ", "), append(known, words...))
	}
	if state == "" {
		switch what {
		case WhySize:
			return derive.Sizes(m.Model, j, word, m.extremes(j, ""))
		case WhyWorst, WhyChance:
			by, _, _ := governing(modes)
			if what == WhyChance {
				by = chancy(modes)
			}
			if by < 0 {
				return derive.Nothing(derive.Figure{Of: word}, "Nothing is asked of this board."), nil
			}
			what = modes[by].Mode
		}
		at := modeIndex(what)
		if at < 0 {
			return m.deriveBeside(ctx, j, what, word)
		}
		o := &modes[at]
		if w := &j.Worst; o.Mode == LineOpens && w.Joint >= 0 && o.Figure != nil && w.D.U == *o.Figure { // of places alike the one that is told
			return derive.Joint(ctx, m.Model, j, w.Joint, derive.Figure{Of: word, Scatter: o.scatter})
		}
		return m.deriveMode(ctx, j, o, word)
	}
	for i := range j.Paths {
		if p := &j.Paths[i]; what == Splits && p.Load != nil && m.Board.Pieces[p.Piece].ID == state {
			return derive.Split(m.Model, j, p, derive.Figure{Of: word, Scatter: m.scatter()})
		}
	}
	if what == Splits {
		if i := slices.IndexFunc(m.Board.Pieces, func(p layout.Piece) bool { return p.ID == state }); i >= 0 {
			return derive.Wood(m.Model, j, i, derive.Figure{Of: word})
		}
	}
	var states []string
	for i := range j.States {
		if v := &j.States[i]; v.Name == state {
			return m.deriveSettled(ctx, j, v, what, word)
		}
		states = append(states, j.States[i].Name)
	}
	for _, h := range j.Histories {
		if h.LoadHistory.ID() == state {
			return m.deriveHistory(ctx, j, h, what, word)
		}
		states = append(states, h.LoadHistory.ID())
	}
	return nil, refused("the board was judged in no such end state or exposure", state, strings.Join(states, ", "), states)
}

func modeIndex(key string) int {
	for i, n := range modeNames {
		if n.key == key {
			return i
		}
	}
	return -1
}

// deriveMode opens a mode where it is worst.
func (m reporter) deriveMode(ctx context.Context, j *influence.Judged, o *Mode, word string) (*derive.Derivation, error) {
	f := derive.Figure{Of: word, Name: o.Name, State: o.State, Scatter: o.scatter}
	if o.Figure == nil || *o.Figure <= 0 || o.State == "" {
		return derive.Nothing(f, o.Why), nil
	}
	f.Value = *o.Figure
	switch o.Mode {
	case LineOpens:
		joint, _ := derive.Find(m.Model, j, o.Joint)
		return derive.Joint(ctx, m.Model, j, joint, f)
	case EndOpens:
		joint, _ := derive.Find(m.Model, j, o.Joint)
		line, _ := m.LineOf(joint)
		return derive.Line(ctx, m.Model, j, &j.Lines[line], f)
	case Splits:
		for i := range j.Paths { // the worst stands first
			if p := &j.Paths[i]; p.Load != nil {
				return derive.Split(m.Model, j, p, f)
			}
		}
		return derive.Nothing(f, "The wood was judged by stress alone."), nil
	}
	return m.deriveRest(j, o.Mode, f)
}

// deriveRest opens the modes that are no cracks, in the state or history of the figure.
func (m reporter) deriveRest(j *influence.Judged, mode string, f derive.Figure) (*derive.Derivation, error) {
	switch mode {
	case WoodChecks:
		return derive.Checks(m.Model, j, f)
	case OutOfFlat:
		return derive.Flat(m.Model, j, f)
	}
	return derive.Bond(m.Model, j, f)
}

// deriveSettled opens a word in one end state: a settled board has no rim, no check and
// no water.
func (m reporter) deriveSettled(ctx context.Context, j *influence.Judged, v *influence.Settled, what, word string) (*derive.Derivation, error) {
	f := derive.Figure{Of: word, State: v.Name, Value: v.U, Scatter: m.scatter()}
	if what == WhyWorst || what == WhyChance {
		what = LineOpens
		if v.Worst < 0 {
			what = Splits
		}
	}
	switch what {
	case WhySize:
		return derive.Sizes(m.Model, j, word, m.extremes(j, v.Name))
	case LineOpens:
		if v.Line.Load != nil {
			return derive.Line(ctx, m.Model, j, &v.Line, f)
		}
	case Splits:
		if p := j.PathOf(&v.Path); p != nil && p.Load != nil {
			return derive.Split(m.Model, j, p, f)
		}
	case OutOfFlat:
		if f.Value, f.Scatter = v.OutOfFlat, m.flatScatter(); m.Bends && v.OutOfFlat > 0 {
			return derive.Flat(m.Model, j, f)
		}
	case WhyElastic:
		return derive.ElasticSettled(m.Model, j, f)
	}
	return derive.Nothing(f, "Nothing of this kind is asked of the board, "+v.Text+"."), nil
}

// deriveHistory opens a word in one exposure.
func (m reporter) deriveHistory(ctx context.Context, j *influence.Judged, h *influence.ExposureResult, what, word string) (*derive.Derivation, error) {
	if what == WhyWorst || what == WhyChance {
		what = m.worstOfHistory(h).mode
	}
	f := derive.Figure{Of: word, State: h.LoadHistory.ID(), Scatter: m.scatter()}
	switch what {
	case WhySize:
		return derive.Sizes(m.Model, j, word, m.extremes(j, h.LoadHistory.ID()))
	case WhyElastic:
		return derive.ElasticFollowed(m.Model, j, h, f)
	case LineOpens, EndOpens:
		l := &h.Line
		if what == EndOpens {
			l, f.Scatter = &h.End, m.endScatter(&h.End)
		}
		if f.Value = l.Result.V; l.Load != nil {
			return derive.Line(ctx, m.Model, j, l, f)
		}
	case Splits:
		if p := j.PathOf(&h.Path); p != nil && p.Load != nil {
			f.Value = p.Result.V
			return derive.Split(m.Model, j, p, f)
		}
	case WoodChecks:
		f.Value = h.Opens.Index(m.Board.Thickness)
	case OutOfFlat:
		f.Value, f.Scatter = h.Stands.Index, m.flatScatterOf(h)
	case GlueGives:
		f.Value, f.Scatter = h.Bond.Figure, nil
	}
	if f.Value > 0 && (what == OutOfFlat || what == GlueGives) || what == WoodChecks && (f.Value > 0 || h.Check.U > 0) {
		return m.deriveRest(j, what, f)
	}
	return derive.Nothing(f, "Nothing of this kind is asked of the board in "+h.LoadHistory.ID()+"."), nil
}

// extremes are the moments at which the board is smallest and largest: of one state or
// exposure, or of all that count.
func (m reporter) extremes(j *influence.Judged, state string) []derive.Extreme {
	b := m.Board
	out := make([]derive.Extreme, 0, 4)
	for axis, name := range [2]string{"width", "height"} {
		glued := [2]float64{b.Width, b.Height}[axis]
		low, high := derive.Extreme{Size: math.Inf(1)}, derive.Extreme{Size: math.Inf(-1)}
		see := func(of string, time int, grows float64) {
			now := derive.Extreme{Axis: axis, State: of, Time: time, Size: glued + grows}
			if now.Size < low.Size {
				low = now
			}
			if now.Size > high.Size {
				high = now
			}
		}
		for i := range j.States {
			if v := &j.States[i]; state == "" || state == v.Name {
				see(v.Name, 0, [2]float64{v.Width, v.Height}[axis])
			}
		}
		for _, h := range j.Histories {
			if state != h.LoadHistory.ID() && (state != "" || h.LoadHistory.Aside()) {
				continue
			}
			for t, grows := range [2][]float64{h.Width, h.Height}[axis] {
				see(h.LoadHistory.ID(), t, grows)
			}
		}
		low.Name, high.Name = "smallest "+name, "largest "+name
		if low.State == high.State && low.Time == high.Time {
			low.Name = name
			out = append(out, low)
			continue
		}
		out = append(out, low, high)
	}
	return out
}
