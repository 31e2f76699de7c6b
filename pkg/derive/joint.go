package derive

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Worst asks for the worst place of the board.
const Worst = "worst"

// Find gives the joint that a word means on a board that was judged: its own id,
// the worst joint of the piece of that id, or Worst. Errors: a fault.List with one
// fault of rule not-one-of, pointer "".
func Find(m *influence.Model, j *influence.Judged, word string) (int, error) {
	if word == Worst && j.Worst.Joint >= 0 {
		return j.Worst.Joint, nil
	}
	known := []string{Worst}
	best, most := -1, -1.0
	for k := range m.Board.Joints {
		jt := &m.Board.Joints[k]
		if jt.ID == word {
			return k, nil
		}
		known = append(known, jt.ID)
		if word != Worst && m.Board.Pieces[jt.A].ID != word && m.Board.Pieces[jt.B].ID != word {
			continue
		}
		if u := j.Joints[k].D.U; best < 0 || verdict.Worse(u, most) {
			best, most = k, u
		}
	}
	if best >= 0 {
		return best, nil
	}
	for i := range m.Board.Pieces {
		known = append(known, m.Board.Pieces[i].ID)
	}
	return -1, fault.List{{Rule: fault.NotOneOf, Detail: "the board has no joint and no glued piece of this name", Found: fault.Short(word),
		Allowed: "the id of a joint or a piece, or " + Worst, Nearest: fault.Nearest(word, known, 3)}}
}

// joint is what is known of the joint that is derived.
type joint struct {
	work
	m        *influence.Model
	j        *influence.Judged
	index    int
	at       *influence.Moment
	n, t     [2]float64
	side     [2]int    // pieces A and B
	extent   [2]Number // mm, how deep they reach across the joint
	change   [2]Number // % MC as stress remembers it
	strain   [2]Number // along the joint
	modulus  [2]Number
	mismatch Number
}

// Joint derives one joint at its own worst moment, down to the word of the board's
// chance. Errors: those of the solver.
func Joint(ctx context.Context, m *influence.Model, j *influence.Judged, index int) (*Derivation, error) {
	jt := &m.Board.Joints[index]
	d := &joint{work: work{d: &Derivation{Of: jt.ID, Steps: []Step{}, Compare: []Comparison{}}}, m: m, j: j, index: index, at: &j.Joints[index], side: [2]int{jt.A, jt.B}}
	d.n, d.t = influence.Normal(jt)
	if d.at.Load == nil {
		d.d.Text = "Nothing that was considered stresses " + jt.ID + "."
		d.cite()
		return d.d, nil
	}
	d.d.Text = fmt.Sprintf("%s between %s and %s, %s.", jt.ID, d.called(0), d.called(1), d.moment())
	d.moisture()
	d.freeStrain()
	d.stiffness()
	hand := d.byHand()
	d.stress()
	if err := d.criterion(ctx, hand); err != nil {
		return nil, err
	}
	d.cite()
	return d.d, d.err
}

func (d *joint) called(s int) string {
	pc := &d.m.Board.Pieces[d.side[s]]
	return fmt.Sprintf("%s (%s)", pc.ID, strings.ToLower(d.m.Sides[d.side[s]].Species.CommonName))
}

// moment tells when the joint is at its worst.
func (d *joint) moment() string {
	if st := d.settled(); st != nil {
		return st.Text
	}
	return fmt.Sprintf("in the exposure %s after %.3g hours", d.at.State, d.at.Hour)
}

// settled is the end state of the moment, nil when it is one of an exposure.
func (d *joint) settled() *influence.Settled {
	for i := range d.j.States {
		if d.j.States[i].Name == d.at.State {
			return &d.j.States[i]
		}
	}
	return nil
}

// sides go with the two letters.
var sides = [2]string{"A", "B"}

// moisture goes from the air to the change of moisture that stress remembers.
func (d *joint) moisture() {
	st := d.settled()
	if st == nil {
		d.followed()
		return
	}
	mc := [2]Number{}
	if st.Room != nil {
		m := d.equilibrium(st.Room.Temperature, st.Room.Humidity, st.Moisture[0])
		mc = [2]Number{m, m}
	} else {
		for s := range mc {
			mc[s] = given("m", st.Moisture[d.m.KindOf[d.side[s]]], "% MC", "every piece suddenly there")
		}
	}
	left := d.solved("share of stress left once the seasons are alike", "k_r", "1", st.Left(), []string{"FERRARA25", "TANRAD-EST"},
		"from the relaxation of stress over the year of the home; 1 for a sudden change")
	stiff := d.solved("stiffer as it dries, softer as it swells", "k_s", "1", d.m.Stiffening(st.Moisture), []string{"WH190-T5-14"},
		"mean over the change and over the area of the board")
	for s, letter := range sides {
		k := d.m.KindOf[d.side[s]]
		kd := &d.m.Kinds[k]
		change := d.holds("change of bound water of "+d.called(s), "Δm_"+letter+" = min(m, F_"+letter+") − min(m_0"+letter+", F_"+letter+")", "% MC",
			st.Swelling.Mean[k], []string{"WH190-CH4"}, "", mc[s], given("m_0"+letter, kd.Start, "% MC", "when glued"), looked("F_"+letter, kd.Species.FSPValue(), "% MC"))
		d.change[s] = d.holds("the change that stress remembers of "+letter, "μ_"+letter+" = k_r·k_s·Δm_"+letter, "% MC", st.Load.Mean[k], nil, "", left, stiff, change)
	}
}

// equilibrium is Equation 4-5 of the Wood Handbook.
func (d *joint) equilibrium(temperature, humidity, is float64) Number {
	src := []string{"WH190-EQ4-5"}
	t := given("T", temperature, "°C", "air of the state")
	h := d.reckon("humidity as a fraction", "h = RH/100", "1", nil, given("RH", humidity, "%", "air of the state"))
	w := d.reckon("constant of the sorption law", "W = 349 + 1.29·T + 0.0135·T^2", "1", src, t)
	k := d.reckon("constant of the sorption law", "K = 0.805 + 0.000736·T − 0.00000273·T^2", "1", src, t)
	k1 := d.reckon("constant of the sorption law", "K_1 = 6.27 − 0.00938·T − 0.000303·T^2", "1", src, t)
	k2 := d.reckon("constant of the sorption law", "K_2 = 1.91 + 0.0407·T − 0.000293·T^2", "1", src, t)
	return d.holds("moisture in balance with the air", "m = 1800/W·(K·h/(1 − K·h) + (K_1·K·h + 2·K_1·K_2·K^2·h^2)/(1 + K_1·K·h + K_1·K_2·K^2·h^2))",
		"% MC", is, src, "", w, k, k1, k2, h)
}

// followed tells what diffusion and relaxation over an exposure leave.
func (d *joint) followed() {
	course, time := d.course()
	if course == nil {
		return
	}
	air := []Number{}
	if room, ok := course.Air(time); ok {
		if mc, err := room.EMC(); err == nil {
			m := d.equilibrium(room.Temperature, room.Humidity, mc)
			m.Note = "what the air of that hour asks of it; wood lags behind"
			air = append(air, m)
		}
	}
	for s, letter := range sides {
		k := d.m.KindOf[d.side[s]]
		start := given("m_0"+letter, d.m.Kinds[k].Start, "% MC", "when glued")
		hours := given("t", d.at.Hour, "h", "since the exposure began")
		then := d.solved("mean moisture of "+d.called(s)+" by then", "m_"+letter, "% MC", course.Mean[k][time],
			[]string{"CRANK75"}, "diffusion through the thickness, followed in time", append(air, start, hours)...)
		d.change[s] = d.solved("the change that stress remembers of "+letter, "μ_"+letter, "% MC", d.at.Load.Mean[k], []string{"WH190-T5-14", "FERRARA25", "TANRAD-EST"},
			"stiffened as it dries and relaxed as time goes, followed in time", start, hours, then)
	}
}

// course is the exposure of the moment and the number of its time.
func (d *joint) course() (*influence.Course, int) {
	for _, h := range d.j.Histories {
		if h.Course.ID() != d.at.State {
			continue
		}
		return h.Course, max(0, slices.Index(h.Course.Times, d.at.Hour))
	}
	d.err = fmt.Errorf("derive: the board was judged in a state that it has not got: %s", d.at.State)
	return nil, 0
}

// freeStrain is how far each would move along the joint by itself.
func (d *joint) freeStrain() {
	for s, letter := range sides {
		i := d.side[s]
		pc, sp := &d.m.Board.Pieces[i], d.m.Sides[i].Species
		rate := d.m.Rate(i)
		var rates [3]Number
		for a, axis := range [3]string{"L", "R", "T"} {
			shrink := sp.LongitudinalShrinkage()
			switch axis {
			case "R":
				shrink = sp.ShrinkR
			case "T":
				shrink = sp.ShrinkT
			}
			sym := axis + letter
			rates[a] = d.holds("strain of "+pc.ID+" for one % of moisture along "+axis, "β_"+sym+" = S_"+sym+"/(100·F_"+letter+" − S_"+sym+"·(F_"+letter+" − min(m_0"+letter+", F_"+letter+")))",
				"1/% MC", rate[a], []string{"WH190-EQ13-3"}, "", looked("S_"+sym, shrink, "% of the green size"), looked("F_"+letter, sp.FSPValue(), "% MC"), given("m_0"+letter, pc.Moisture, "% MC", "when glued"))
		}
		cos := d.directions(s)
		text := "ε_" + letter + " = μ_" + letter + "·("
		in := []Number{d.change[s]}
		for a, axis := range [3]string{"L", "R", "T"} {
			if cos[a].Value == 0 {
				continue
			}
			if len(in) > 1 {
				text += " + "
			}
			text += "β_" + axis + letter + "·c_" + axis + letter + "^2"
			in = append(in, rates[a], cos[a])
		}
		d.strain[s] = d.reckon("free strain of "+d.called(s)+" along the joint", text+")", "1", []string{"TENSOR"}, in...)
	}
	d.mismatch = d.reckon("mismatch along the joint", "Δ = ε_B − ε_A", "1", nil, d.strain[0], d.strain[1])
}

// directions are the cosines between the joint and the axes L, R and T of a side.
func (d *joint) directions(s int) (c [3]Number) {
	letter := sides[s]
	pc := &d.m.Board.Pieces[d.side[s]]
	f := d.m.Sides[d.side[s]].Frame
	along := given("φ", math.Atan2(d.t[1], d.t[0])*180/math.Pi, "°", "direction of the joint from the board's x")
	cosine := func(v [3]float64) float64 { return v[0]*d.t[0] + v[1]*d.t[1] }
	if pc.Pith != nil {
		for a, v := range [3][3]float64{f.L, f.R, f.T} {
			axis := [3]string{"L", "R", "T"}[a]
			c[a] = d.solved("cosine between the joint and "+axis+" of "+pc.ID, "c_"+axis+letter, "1", cosine(v), []string{"TENSOR"}, "rings curve about the pith; taken at the middle of the piece")
		}
		return c
	}
	ring := given("θ_"+letter, pc.RingAngle, "°", "ring angle of "+pc.ID)
	if pc.Grain.Up {
		c[0] = given("c_L"+letter, 0, "1", "fibres stand up")
		c[1] = d.holds("cosine between the joint and R of "+pc.ID, "c_R"+letter+" = cos(θ_"+letter+" − φ)", "1", cosine(f.R), []string{"TENSOR"}, "", ring, along)
		c[2] = d.holds("cosine between the joint and T of "+pc.ID, "c_T"+letter+" = sin(φ − θ_"+letter+")", "1", cosine(f.T), []string{"TENSOR"}, "", ring, along)
		return c
	}
	fibres := given("α_"+letter, pc.Grain.Angle, "°", "direction of the fibres of "+pc.ID)
	c[0] = d.holds("cosine between the joint and L of "+pc.ID, "c_L"+letter+" = cos(α_"+letter+" − φ)", "1", cosine(f.L), []string{"TENSOR"}, "", fibres, along)
	c[1] = d.holds("cosine between the joint and R of "+pc.ID, "c_R"+letter+" = sin(θ_"+letter+")·sin(φ − α_"+letter+")", "1", cosine(f.R), []string{"TENSOR"}, "", ring, fibres, along)
	c[2] = d.holds("cosine between the joint and T of "+pc.ID, "c_T"+letter+" = cos(θ_"+letter+")·sin(α_"+letter+" − φ)", "1", cosine(f.T), []string{"TENSOR"}, "", ring, fibres, along)
	return c
}
