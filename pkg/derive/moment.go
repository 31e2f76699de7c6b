package derive

import (
	"fmt"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// base is a moment of a judged board, with the derivation as it grows.
type base struct {
	work
	m     *influence.Model
	j     *influence.Judged
	state string  // name of the end state or exposure
	hour  float64 // h from the start of the exposure
}

func newBase(m *influence.Model, j *influence.Judged, of, state string, hour float64) base {
	return base{work: work{d: &Derivation{Of: of, Steps: []Step{}, Compare: []Comparison{}}}, m: m, j: j, state: state, hour: hour}
}

// settled is the end state of the moment, nil when it is one of an exposure.
func (b *base) settled() *influence.Settled {
	for i := range b.j.States {
		if b.j.States[i].Name == b.state {
			return &b.j.States[i]
		}
	}
	return nil
}

// history is the exposure of the moment and the number of its time.
func (b *base) history() (*influence.ExposureResult, int) {
	for _, h := range b.j.Histories {
		if h.LoadHistory.ID() == b.state {
			return h, max(0, slices.Index(h.LoadHistory.Times, b.hour))
		}
	}
	b.fail(fmt.Errorf("derive: the board was judged in a state that it has not got: %s", b.state))
	return nil, 0
}

// moment tells when it is.
func (b *base) moment() string {
	if st := b.settled(); st != nil {
		return st.Text
	}
	return fmt.Sprintf("in the exposure %s after %.3g hours", b.state, b.hour)
}

func (b *base) called(piece int) string {
	return fmt.Sprintf("%s (%s)", b.m.Board.Pieces[piece].ID, strings.ToLower(b.m.Sides[piece].Species.CommonName))
}

// air is the moisture in balance with the air of the moment, where there is such air.
func (b *base) air() []Number {
	if st := b.settled(); st != nil {
		if st.Room == nil {
			return nil
		}
		return []Number{b.equilibrium(st.Room.Temperature, st.Room.Humidity, st.Moisture[0])}
	}
	h, time := b.history()
	if h == nil {
		return nil
	}
	room, ok := h.LoadHistory.Air(time)
	if !ok {
		return nil
	}
	mc, err := room.EMC()
	if err != nil {
		return nil
	}
	m := b.equilibrium(room.Temperature, room.Humidity, mc)
	m.Note = "what the air of that hour asks of it; wood lags behind"
	return []Number{m}
}

// member is a kind of piece, or one piece, as it is called in formulas.
type member struct {
	kind   int
	piece  int    // −1 for all of the kind
	letter string // behind its symbols
	called string
}

// piece is one piece as a member.
func (b *base) piece(piece int, letter string) member {
	return member{b.m.KindOf[piece], piece, letter, b.called(piece)}
}

// has is what a member has of amounts that kinds have.
func (b *base) has(perKind []float64, s member) float64 {
	if s.piece < 0 {
		return perKind[s.kind]
	}
	return b.m.Of(perKind, s.piece)
}

// start is its moisture when the last glue-up set.
func (b *base) start(s member) Number {
	mc := b.m.Kinds[s.kind].Start
	if s.piece >= 0 {
		mc = b.m.Start(s.piece)
	}
	return given("m_0"+s.letter, mc, "% MC", "when glued")
}

// moves gives for every side the change of bound water by which it would move, % MC:
// from the air for a settled board, followed in time in an exposure.
func (b *base) moves(l *influence.Load, sides []member, air []Number) []Number {
	out := make([]Number, len(sides))
	st := b.settled()
	h, time := (*influence.ExposureResult)(nil), 0
	if st == nil {
		if h, time = b.history(); h == nil {
			return out
		}
	}
	for i, s := range sides {
		kd := &b.m.Kinds[s.kind]
		start := b.start(s)
		if st == nil {
			hours := given("t", b.hour, "h", "since the exposure began")
			then := b.solved("mean moisture of "+s.called+" by then", "m_"+s.letter, "% MC", b.has(h.LoadHistory.Moistures(time), s),
				[]string{"CRANK75"}, "diffusion through the thickness, followed in time", append(slices.Clone(air), start, hours)...)
			out[i] = b.solved("change by which a free piece of it has moved", "Δm_"+s.letter, "% MC", b.has(l.Mean, s), []string{"BARROS26", "TANRAD-EST"},
				"the change of its moisture, with faces that were crushed or opened on the way", start, then)
			continue
		}
		mc := given("m", b.has(st.Moisture, s), "% MC", "every piece suddenly there")
		if len(air) > 0 {
			mc = air[0]
		}
		out[i] = b.holds("change of bound water of "+s.called, "Δm_"+s.letter+" = min(m, F_"+s.letter+") − min(m_0"+s.letter+", F_"+s.letter+")", "% MC",
			b.has(l.Mean, s), []string{"WH190-CH4"}, "", mc, start, looked("F_"+s.letter, kd.Species.FSPValue(), "% MC"))
	}
	return out
}

// remembered gives for every side the change that stress remembers, % MC.
func (b *base) remembered(l *influence.Load, sides []member) []Number {
	air := b.air()
	out := make([]Number, len(sides))
	if st := b.settled(); st != nil {
		left := b.left(st)
		stiff := b.solved("stiffer as it dries, softer as it swells", "k_s", "1", b.m.Stiffening(st.Moisture), []string{"WH190-T5-14"},
			"mean over the change and over the area of the board")
		for i, change := range b.moves(st.Swelling, sides, air) {
			letter := sides[i].letter
			out[i] = b.holds("the change that stress remembers of "+letter, "μ_"+letter+" = k_r·k_s·Δm_"+letter, "% MC", b.has(l.Mean, sides[i]), nil, "", left, stiff, change)
		}
		return out
	}
	h, time := b.history()
	if h == nil {
		return out
	}
	for i, s := range sides {
		start := b.start(s)
		hours := given("t", b.hour, "h", "since the exposure began")
		then := b.solved("mean moisture of "+s.called+" by then", "m_"+s.letter, "% MC", b.has(h.LoadHistory.Moistures(time), s),
			[]string{"CRANK75"}, "diffusion through the thickness, followed in time", append(slices.Clone(air), start, hours)...)
		out[i] = b.solved("the change that stress remembers of "+s.letter, "μ_"+s.letter, "% MC", b.has(l.Mean, s), []string{"WH190-T5-14", "FERRARA25", "TANRAD-EST"},
			"stiffened as it dries and relaxed as time goes, followed in time", start, hours, then)
	}
	return out
}

// left is the share of its stress that a settled state has.
func (b *base) left(st *influence.Settled) Number {
	return b.solved("share of stress left once the seasons are alike", "k_r", "1", st.Left(), []string{"FERRARA25", "TANRAD-EST"},
		"from the relaxation of stress over the year of the home; 1 for a sudden change")
}

// kinds are all kinds of piece as sides with numbers, as many as a sum writes out.
func (b *base) kinds() []member {
	out := make([]member, 0, mostKinds)
	for k := range b.m.Kinds {
		if k == mostKinds {
			break
		}
		out = append(out, member{k, -1, fmt.Sprint(k + 1), b.m.Kinds[k].Name})
	}
	return out
}

// equilibrium is Equation 4-5 of the Wood Handbook.
func (b *base) equilibrium(temperature, humidity, is float64) Number {
	src := []string{"WH190-EQ4-5"}
	t := given("T", temperature, "°C", "air of the state")
	h := b.reckon("humidity as a fraction", "h = RH/100", "1", nil, given("RH", humidity, "%", "air of the state"))
	w := b.reckon("constant of the sorption law", "W = 349 + 1.29·T + 0.0135·T^2", "1", src, t)
	k := b.reckon("constant of the sorption law", "K = 0.805 + 0.000736·T − 0.00000273·T^2", "1", src, t)
	k1 := b.reckon("constant of the sorption law", "K_1 = 6.27 − 0.00938·T − 0.000303·T^2", "1", src, t)
	k2 := b.reckon("constant of the sorption law", "K_2 = 1.91 + 0.0407·T − 0.000293·T^2", "1", src, t)
	return b.holds("moisture in balance with the air", "m = 1800/W·(K·h/(1 − K·h) + (K_1·K·h + 2·K_1·K_2·K^2·h^2)/(1 + K_1·K·h + K_1·K_2·K^2·h^2))",
		"% MC", is, src, "", w, k, k1, k2, h)
}
