package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/relax"
)

// slowly is how stress relaxes, in figures of the function itself.
var slowly = fmt.Sprintf("Slow stress relaxes by one function for all woods: of a change held for a season %.0f %% is left, of one that came evenly over the season %.0f %%, and %.0f %% when the wood took up or lost 4 %% meanwhile, since wood gives way most while its moisture changes (measured on spruce); of a year at home what its own course leaves; sudden changes are taken whole.",
	100*relax.Factor(relax.Season(), relax.Typical), 100*relax.Seasonal(0, relax.Typical), 100*relax.Seasonal(4, relax.Typical))

// assumed is taken for granted in every answer.
var assumed = []string{
	"The board is a flat plate of one thickness, every piece alike through it; glue lines are thin, stiff and without gaps.",
	"Wood answers in proportion to strain (linear, orthotropic, clear wood) with one set of constants a wood, at the moisture it was glued at; that wood stiffens as it dries and softens as it swells is one factor on the stress of the whole board, by the tabulated trend at the mean moisture on the way.",
	"Size changes in a straight line with moisture below fibre saturation, by the published mean shrinkage of the wood.",
	"One curve of equilibrium moisture serves all woods, wetting and drying alike.",
	"Liquid water enters a wet face with the root of time, by the class of the wood, its direction and the finish, until the water on the face is gone; no printed coefficient was found for any wood, so half and double are as likely.",
	slowly,
	begins,
	"The bond is sound and as strong as side grain, less the gluing class of the wood, the slope of the fibres to the face, what water leaves of the glue, and wood too dry or too damp when it was spread.",
	"The board lies free: nothing holds its edges, and nothing weighs on it.",
}

var begins = fmt.Sprintf("A joint or a split begins where the mean stress over %g mm, one length for all woods, reaches what the weakest part bears, each part by its own tension and shear, opening and sliding counted together as the root of the sum of squares.",
	joint.AveragingLength().V)

// notModelled is what no figure of the report contains.
var notModelled = []string{
	"Hysteresis: wood that dries holds more moisture than wood that takes it up.",
	"Liquid water that leaks into open joints, and what the sides of thin end-grain boards take up.",
	"Knots, slope of grain that no file tells, and that of planks whose pith is neither told nor taken, reaction and juvenile wood, checks from drying, and other faults of the pieces.",
	"Creep, ageing and softening of the glue, starved joints that the file does not tell, badly clamped ones, and stress from clamping.",
	"Air that changes from day to day: it would let the skin of the wood forget sooner that it was crushed, so that a board wetted on one face may come out hollower here than it is.",
	"Years of washing: no law of fatigue or of ageing under repeated wetting was found for glue lines or wood, so that every change is judged as if it came once.",
	"Weight, knives and knocks.",
	"In the chance: the errors of the tables and of this model itself, and that any of several bad places may give, not the worst alone.",
	"Friction between the faces of a joint that is pressed together while it slides.",
}

// scatterTaken says what scatter the chance is made of.
func scatterTaken(of []risk.Part) string {
	var parts []string
	for _, p := range of {
		parts = append(parts, fmt.Sprintf("%s %.0f %%", p.Name, 100*p.Spread))
	}
	return fmt.Sprintf("Scatter put into the chance, one standard deviation of what it does to the answer: %s; together %.0f %%, all independent. Strength and shrinkage are from memory of the handbook, toughness, relaxation, climate and gluing are ours.",
		strings.Join(parts, ", "), 100*risk.Together(of))
}

// assumptions lists what is always assumed, what scatter the chance is made of
// when there is one, and what the board file left open.
func (m reporter) assumptions(c Conditions) []string {
	out := append([]string{}, assumed...)
	if !c.NoChance {
		out = append(out, scatterTaken(m.scatter()))
		if text := m.gluedAt(); text != "" {
			out = append(out, text)
		}
	}
	for _, events := range [2][]moisture.Event{m.Board.Exposures, c.Events} {
		if slices.ContainsFunc(events, func(e moisture.Event) bool { return e.Patch != nil }) {
			out = append(out, "A patch acts on whole pieces: one that it covers in part moves and bends as the mean of all of it, in quarters, and its wet or hot part opens as if all were; where it covers an eighth of no piece it moves nothing. Glue lines count as wet over the whole face where one lies under it. Where a patch crosses blocks the rise is off by up to a sixth and sizes in the plane by two fifths of those of blocks cut at its edges (independent finite elements).")
			break
		}
	}
	for i := range m.Board.Starved {
		s := &m.Board.Starved[i]
		out = append(out, fmt.Sprintf("Joint %s is starved of glue over %s, as the file says: its bond keeps %.0f %% of its strength there.", s.Joint, m.length(s.Length(), 0), 100*s.Keeps))
	}
	if c.ByStress {
		out = append(out, "Judged by stress over strength alone, over one short length: no verdict. A crack most often takes more load; one that is shorter, or that opens a weak end of a line of long grain or a starved joint, can take less.")
	}
	if text := m.wear(); text != "" {
		out = append(out, text)
	}
	return append(out, m.Board.Assumed...)
}

// wear says how the finish is taken to wear; "" of bare wood.
func (m reporter) wear() string {
	b := m.Board
	f, err := moisture.FindFinish(b.Finish)
	if err != nil || f.Life() == 0 {
		return ""
	}
	switch r := b.Renewed; {
	case r.Never:
		return "The finish is never renewed and taken as worn off: the wood is judged bare."
	case r.Months > 0:
		return fmt.Sprintf("The finish is renewed every %g months and taken to lose a fixed share a month, all but 1/e in %g months (judged: no measured wear was found): %.0f %% of it is there in the mean.", r.Months, f.Life(), 100*f.Left(r))
	}
	return "The finish is taken to be kept as good as new; finish_renewed in the file says how often it is."
}
