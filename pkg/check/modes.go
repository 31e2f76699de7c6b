package check

import (
	"fmt"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// The ways in which a board fails.
const (
	LineOpens  = "line"  // a glue line opens
	EndOpens   = "end"   // a glue line opens from its end
	Splits     = "split" // the wood splits
	WoodChecks = "check" // the wood checks
	OutOfFlat  = "flat"  // the board lies not flat
	GlueGives  = "glue"  // the glue gives way
)

// modeNames are the ways as a maker says them, in the order in which they are told.
var modeNames = [...]struct{ key, name string }{
	{LineOpens, "a glue line opens"}, {EndOpens, "opens from its end"}, {Splits, "the wood splits"},
	{WoodChecks, "the wood checks"}, {OutOfFlat, "lies not flat"}, {GlueGives, "the glue gives way"},
}

// Mode is one way in which a board fails, in ordinary use and in what its own file
// says will happen to it.
type Mode struct {
	Mode    string         `json:"mode"`
	Name    string         `json:"name"`
	Verdict Verdict        `json:"verdict,omitempty"`
	Figure  *float64       `json:"figure,omitempty"`     // over its limit; left out where the mode was not judged
	Low     *float64       `json:"low,omitempty"`        // what nineteen boards in twenty pass,
	High    *float64       `json:"high,omitempty"`       // and one in twenty
	Words   *verdict.Scale `json:"words_from,omitempty"` // figures at which its words begin
	Counts  bool           `json:"counts"`               // the board's word is that of the worst that counts
	Beyond  string         `json:"beyond,omitempty"`     // why "holds" is not said whatever the figure: the model does not answer for it
	Joint   string         `json:"joint,omitempty"`
	Piece   string         `json:"piece,omitempty"`
	Place   *layout.XY     `json:"place,omitempty"` // mm
	Where   string         `json:"where,omitempty"` // joint or piece in words that can be counted on the board
	State   string         `json:"state,omitempty"` // end state or exposure
	Hour    float64        `json:"hour,omitempty"`  // h from its start
	When    string         `json:"when,omitempty"`
	Gap     float64        `json:"gap,omitempty"`        // mm off a flat top, of a board out of flat
	Rocks   float64        `json:"rocks,omitempty"`      // mm that a corner travels
	Back    *bool          `json:"comes_back,omitempty"` // flat again when the exposure ends
	Face    *FaceOpening   `json:"face,omitempty"`       // how a glue line opens from a face
	Why     string         `json:"why"`
	Helps   string         `json:"helps"`
	RestsOn string         `json:"rests_on"`

	scatter []risk.Part // of the figure's logarithm; none of a rule
}

// judged enters a figure, and range and word by what scatters its logarithm.
func (o *Mode) judged(figure float64, scatter []risk.Part) {
	sigma := risk.Together(scatter)
	low, high := figure*math.Exp(-risk.OneInTwenty*sigma), figure*math.Exp(risk.OneInTwenty*sigma)
	o.scatter = scatter
	words := risk.Scale(scatter)
	o.Figure, o.Low, o.High, o.Words, o.Verdict = &figure, &low, &high, &words, words.Of(figure)
	if o.Beyond != "" && o.Verdict == Holds {
		o.Verdict = Tight
	}
}

// Deviation is the standard deviation of the figure's logarithm (dimensionless); 0 where
// nothing scatters, or where nothing was judged.
func (o *Mode) Deviation() float64 {
	if o.Figure == nil || o.High == nil || !(*o.Figure > 0) {
		return 0
	}
	return math.Log(*o.High / *o.Figure) / risk.OneInTwenty
}

// at enters when it is worst.
func (o *Mode) at(j *influence.Judged, state string, time int) {
	o.State = state
	for i := range j.States {
		if v := &j.States[i]; v.Name == state {
			o.When = v.When
			return
		}
	}
	for _, h := range j.Histories {
		if h.LoadHistory.ID() == state {
			o.Hour, o.When = h.LoadHistory.Times[time], h.LoadHistory.When(time)
		}
	}
}

// modes tells every way, in the order of modeNames.
func (m reporter) modes(j *influence.Judged) []Mode {
	out := []Mode{m.lineOpens(j), m.endOpens(j), m.splits(j), m.woodChecks(j), m.outOfFlat(j), m.glueGives(j)}
	for i := range out {
		out[i].Mode, out[i].Name = modeNames[i].key, modeNames[i].name
		out[i].Where = m.where(out[i].Joint, out[i].Piece)
	}
	return out
}

// where names a joint or a piece by its id, "" for none.
func (m reporter) where(joint, piece string) string {
	for k := range m.Board.Joints {
		if m.Board.Joints[k].ID == joint {
			return m.Board.WhereJoint(k)
		}
	}
	for i := range m.Board.Pieces {
		if m.Board.Pieces[i].ID == piece {
			return m.Board.WherePiece(i)
		}
	}
	return ""
}

// ModeName is a way as a maker says it, "" of none.
func ModeName(mode string) string {
	for _, n := range modeNames {
		if n.key == mode {
			return n.name
		}
	}
	return ""
}

// IsCrack tells whether a board gives by a crack under load, which Worst is about.
func IsCrack(mode string) bool { return mode == "" || mode == LineOpens || mode == Splits }

// Governing is the way that gives the word, nil where none was judged.
func (r *Report) Governing() *Mode {
	for i := range r.Modes {
		if r.Modes[i].Mode == r.Mode {
			return &r.Modes[i]
		}
	}
	return nil
}

// ByWorst says that Worst is about the way that gives the word: a crack through under
// load, and no other line comes nearer, as one that opens from its end may.
func (r *Report) ByWorst() bool {
	o := r.Governing()
	return o == nil || IsCrack(o.Mode) && !o.fromFace() && !verdict.Worse(r.Utilisation, *o.Figure)
}

// governing is the mode that gives the board's word, the worst of those that count
// (of equal words one that the model does not answer for, then the larger chance),
// with the largest figure of any of them and the word.
func governing(modes []Mode) (by int, index float64, word Verdict) {
	by, word = -1, Holds
	for i := range modes {
		o := &modes[i]
		if o.Figure == nil || !o.Counts {
			continue
		}
		index = math.Max(index, *o.Figure)
		switch {
		case by < 0 || o.Verdict.Severity() > word.Severity():
		case o.Verdict.Severity() < word.Severity():
			continue
		case (o.Beyond == "") != (modes[by].Beyond == ""):
			if o.Beyond == "" {
				continue
			}
		case !verdict.Worse(o.asCrack(), modes[by].asCrack()):
			continue
		}
		by, word = i, o.Verdict
	}
	return by, index, word
}

const crackHelps = "rings of neighbours turned alike, woods that move alike, a thinner or no long-grain border; advise and improve try them"

func (m reporter) lineOpens(j *influence.Judged) Mode {
	o := Mode{Counts: true, Why: "No glue line is stressed.", Helps: crackHelps,
		RestsOn: "the coupled criterion of stress and energy along the whole glue line, and from its faces to more than a third of the thickness; scatter of wood, climate and gluing"}
	worst, at := 0.0, influence.Moment{Joint: -1}
	for k := range j.Joints {
		if c := j.Joints[k].D.Crack; c != nil && c.FromEnd(m.Model) {
			continue // told apart, see endOpens
		}
		u, bears := j.Joints[k].D.U, j.Joints[k].D.Crack != nil && at.D.Crack == nil
		if verdict.Worse(u, worst) || bears && !verdict.Worse(worst, u) { // of equals the one that bears the crack
			worst, at = max(u, worst), j.Joints[k]
		}
	}
	if at.Joint >= 0 && at.Load != nil {
		place := roundXY(m.Place(at.Joint, at.D.Window))
		o.Joint, o.Place, o.Why = m.Board.Joints[at.Joint].ID, &place, m.why(at.Joint, at.Load.Mean)
		o.at(j, at.State, m.timeOf(j, at.State, at.Hour))
	}
	for _, h := range j.Histories {
		f := m.opensAtFace(&h.Faces)
		if h.LoadHistory.Aside() || f == nil {
			continue
		}
		if o.Face == nil || verdict.Worse(f.Utilisation, o.Face.Utilisation) {
			o.Face = f
		}
		if m.governsFrom(f.Utilisation, worst) {
			worst = f.Utilisation
			o.Joint, o.Place, o.Why = f.Joint, &f.From, "The faces dry ahead of the core and pull at the line. "+f.Text
			o.at(j, h.LoadHistory.ID(), h.Faces.Worst.Time)
		}
	}
	o.judged(worst, m.scatter())
	return o
}

// timeOf is the index of an hour [h] in a history.
func (m reporter) timeOf(j *influence.Judged, state string, hour float64) int {
	for _, h := range j.Histories {
		if h.LoadHistory.ID() != state {
			continue
		}
		for i, t := range h.LoadHistory.Times {
			if t >= hour {
				return i
			}
		}
	}
	return 0
}

// endOpens tells the glue line that comes nearest to opening from the rim. What its
// end bears is known as a range, which widens that of the figure.
func (m reporter) endOpens(j *influence.Judged) Mode {
	o := Mode{Counts: true, Why: "No glue line ends where the rim runs ahead of the middle.", Helps: "joints pressed and glued right to their ends, or trimmed there after gluing; ends sealed like the faces; wood glued at the moisture of the home",
		RestsOn: "moisture of the rim, the coupled criterion, and ends of glue lines of long grain that bear 0.4 to all of their strength; openings shorter than a third of the thickness do not count"}
	if len(j.Histories) == 0 {
		o.Why = "Not judged: no exposure was followed."
		return o
	}
	worst, scatter := 0.0, m.scatter()
	for i := range j.Lines {
		l := &j.Lines[i]
		if !l.FromEnd(m.Model) || !verdict.Worse(risk.Scale(m.endScatter(l)).AsCrack(l.Result.V), risk.Scale(scatter).AsCrack(worst)) {
			continue
		}
		worst, scatter = l.Result.V, m.endScatter(l)
		e := m.end(l)
		o.Joint, o.Place = e.Joint, &e.At
		o.Why = "The rim dries and drinks ahead of the middle, which holds it. " + e.Text
		o.at(j, l.State, l.Time)
	}
	o.judged(worst, scatter)
	return o
}

func (m reporter) splits(j *influence.Judged) Mode {
	o := Mode{Counts: true, Why: "Nothing keeps the wood from moving.", Helps: crackHelps,
		RestsOn: "the coupled criterion along the two likeliest paths through the wood"}
	worst := 0.0
	for i := range j.Paths {
		p := &j.Paths[i]
		if p.Load == nil || !verdict.Worse(p.Result.V, worst) {
			continue
		}
		worst = p.Result.V
		who := m.Board.Pieces[p.Piece].ID
		l, s := &p.Path.Line, (p.Result.From+p.Result.To)/2/p.Path.Line.Length
		place := roundXY(layout.XY{l.From[0] + s*(l.To[0]-l.From[0]), l.From[1] + s*(l.To[1]-l.From[1])})
		o.Piece, o.Place, o.Why = who, &place, fmt.Sprintf("The pieces around %s keep it from moving as freely as it would.", m.describe(p.Piece))
		o.at(j, p.State, p.Time)
	}
	if len(j.Paths) == 0 { // judged by stress alone
		for i := range j.Pieces {
			if verdict.Worse(j.Pieces[i].U, worst) {
				worst, o.Piece, o.Why = j.Pieces[i].U, m.Board.Pieces[i].ID, fmt.Sprintf("The pieces around %s keep it from moving as freely as it would.", m.describe(i))
				o.at(j, j.Pieces[i].State, 0)
			}
		}
	}
	o.judged(worst, m.scatter())
	return o
}

// woodChecks tells how deep the wood opens from a face, over the depth from which a
// check counts for the word; a shallower one is told.
func (m reporter) woodChecks(j *influence.Judged) Mode {
	o := Mode{Why: "Faces and core of the wood take up and give off water at different times.", Helps: "a slower change of air, a denser finish, wood dried to the moisture of the home",
		RestsOn: "stress through the thickness of a piece, glued or not, with creep and crushing; checks shallower than a third of the thickness do not give the word"}
	if len(j.Histories) == 0 {
		o.Why = "Not judged: no exposure was followed."
		return o
	}
	worst := 0.0
	for _, h := range j.Histories {
		k := &h.Opens
		index := k.Index(m.Board.Thickness)
		if h.LoadHistory.Aside() || !k.Told() || !verdict.Worse(index, worst) {
			continue
		}
		worst, o.Piece = index, m.Board.Pieces[k.Piece].ID
		o.Why = m.checks(k).Text
		o.at(j, h.LoadHistory.ID(), m.timeOf(j, h.LoadHistory.ID(), k.Hour))
	}
	o.judged(worst, m.scatter())
	o.Counts = worst >= verdict.FromFails
	return o
}
