package check

import (
	"github.com/tanrad/tanrad/pkg/derive"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/notice"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Verdict is one of the four words of package verdict.
type Verdict = verdict.Word

// The words again, for callers who read only this package.
const (
	Holds    = verdict.Holds
	Tight    = verdict.Tight
	Doubtful = verdict.Doubtful
	Fails    = verdict.Fails
)

// VerdictOf gives the word for a utilisation u (dimensionless, ≥ 0).
func VerdictOf(u float64) Verdict { return verdict.Of(u) }

// Report is the answer to one board. It marshals to the JSON that the service
// and the command print; lengths are mm, stress MPa, moisture % of oven-dry
// mass, times hours from the start of the exposure.
type Report struct {
	Name        string  `json:"name"`
	Units       string  `json:"units"`       // how the board file spoke: "mm" or "in"; numbers below stay mm
	Verdict     Verdict `json:"verdict"`     // of the worst mode that counts, over all states and exposures
	Mode        string  `json:"mode"`        // the mode that gives the word, see Modes
	Index       float64 `json:"index"`       // largest figure of the modes that count, each over its limit, dimensionless
	Utilisation float64 `json:"utilisation"` // the worst, dimensionless: the load over that at which a crack starts and runs
	Headline    string  `json:"headline"`    // the verdict in one sentence of a maker's words

	Words verdict.Scale `json:"words_from"` // loads over the critical one at which the words of joints, lines, splits and states begin

	Notices notice.List `json:"notices,omitempty"` // of the board file: what is possible but hardly meant

	Rings *Rings `json:"rings,omitempty"` // of a board whose rings nobody has looked at: how it comes out by luck

	Modes []Mode `json:"modes"` // the ways in which a board fails, side by side

	Worst *Worst `json:"worst,omitempty"` // nil when nothing is stressed at all

	Width     float64 `json:"width"`     // mm at glue-up
	Height    float64 `json:"height"`    // mm at glue-up
	Thickness float64 `json:"thickness"` // mm

	States    []State    `json:"states"`              // uniform end states: the driest and dampest month, and the user's own
	Exposures []Exposure `json:"exposures,omitempty"` // histories over time
	Joints    []Joint    `json:"joints"`              // every glue line, in the order of the board
	Pieces    []Piece    `json:"pieces"`              // every piece

	Crushing    *Crushing    `json:"crushing,omitempty"` // joints that are pressed; nil when none is
	Size        Range        `json:"size"`               // smallest and largest over everything considered
	Causes      []Share      `json:"causes,omitempty"`   // shares of the worst joint's demand; they sum to 1 per kind of share
	Stages      []Stage      `json:"stages,omitempty"`   // glue-ups in the order of time; none of a board glued in one go
	AtOnce      float64      `json:"at_once,omitempty"`  // utilisation of the worst glue line at the worst moment, had all been glued at once, every piece at the moisture of its own glue-up
	Chance      *Chance      `json:"chance,omitempty"`
	Lines       []Crack      `json:"lines,omitempty"`  // every glue line, whole
	Splits      []Crack      `json:"splits,omitempty"` // the likeliest splits of the wood, worst first
	SplitsBound float64      `json:"splits_bound"`     // what the wood beside and between them comes to at most, by a generous estimate
	Limitations Limitations  `json:"limitations"`
	GlueUp      []Caution    `json:"glue_up"` // what to mind when the glue is spread
	Safety      []Caution    `json:"cautions"`
	Check       *SanityCheck `json:"sanity,omitempty"` // closed-form check when the board is one wood with rings alike
	Model       ModelFacts   `json:"model"`

	Derivation *derive.Derivation `json:"derivation,omitempty"` // of the joint that was asked for
}

// Worst names the joint (or piece) that comes nearest to a crack under load; its
// utilisation is the report's. What gives the word may be another way: see Report.Mode.
type Worst struct {
	Joint   string    `json:"joint,omitempty"`     // joint id, or
	Piece   string    `json:"piece,omitempty"`     // piece id when wood splits away from any glue line
	Where   string    `json:"where"`               // the same in words that can be counted on the board: "row 4, between block 4 and block 5"
	State   string    `json:"state"`               // name of the state or exposure
	Hour    float64   `json:"hour"`                // h from the start of the exposure; 0 for a uniform state
	When    string    `json:"when"`                // in words: "in February", "3 hours after the face was wetted"
	How     string    `json:"how"`                 // "opens", "slides", "wood splits"
	Place   layout.XY `json:"place"`               // mm, where on the board
	Level   string    `json:"level"`               // "top face", "mid-thickness", "bottom face", "through"
	Normal  float64   `json:"normal"`              // MPa, mean over the averaging length; positive opens
	Shear   float64   `json:"shear"`               // MPa, along the joint
	Weakest string    `json:"weakest"`             // what gives: "the wood of block 4 of row 3 (black walnut), rolling shear"
	Why     string    `json:"why"`                 // one sentence
	Elastic float64   `json:"elastic_utilisation"` // with no relaxation of stress
	Stress  float64   `json:"stress"`              // mean stress over strength, over the averaging length
}

// State is one uniform end state: every piece at its own end moisture.
type State struct {
	Name        string             `json:"name"`
	Text        string             `json:"text"`
	Humidity    float64            `json:"humidity,omitempty"`    // %
	Temperature float64            `json:"temperature,omitempty"` // °C
	Moisture    map[string]float64 `json:"moisture"`              // % MC by stock key
	Width       float64            `json:"width_change"`          // mm, of the whole board
	Height      float64            `json:"height_change"`         // mm
	Utilisation float64            `json:"utilisation"`
	Elastic     float64            `json:"elastic_utilisation"` // with no relaxation of stress
	Verdict     Verdict            `json:"verdict"`
	Worst       string             `json:"worst"` // joint or piece id
}

// Checking is the worst self-balanced tension inside a piece during one exposure, glued
// or not. It stands beside the verdict, not in it: a check is not an open joint.
type Checking struct {
	Utilisation float64 `json:"utilisation"` // tension over the wood's strength across the grain
	Hour        float64 `json:"hour"`
	Piece       string  `json:"piece,omitempty"`
	Level       string  `json:"level,omitempty"` // "top face", "core", "bottom face"
}

// Checks are those of one exposure that open deepest from a face.
type Checks struct {
	Fine   float64 `json:"fine"`   // mm to which tension stands at strength: too fine to be one crack
	Depth  float64 `json:"depth"`  // mm to which one of them runs by the energy it sets free; Fine at least
	Index  float64 `json:"index"`  // depth over the depth from which it counts for the word, a third of the thickness
	Face   string  `json:"face"`   // "top face", "bottom face"
	Piece  string  `json:"piece"`  // of the kind that checks deepest, the one pulled hardest
	Hour   float64 `json:"hour"`   // when they are deepest
	Closes bool    `json:"closes"` // the face was shut again after it had opened, when it was damp
	Text   string  `json:"text"`   // one sentence
}

// End is the glue line that comes nearest to opening from its end at the rim of the
// board during one exposure. A line of long grain bears a share of its strength
// there, which is known as a range.
type End struct {
	Joint           string    `json:"joint"`
	Utilisation     float64   `json:"utilisation"`
	UtilisationLow  float64   `json:"utilisation_low"`  // with the strongest ends of the range
	UtilisationHigh float64   `json:"utilisation_high"` // with the weakest
	Verdict         Verdict   `json:"verdict"`
	Length          float64   `json:"length"` // mm, how far from the end it opens
	At              layout.XY `json:"at"`     // mm, that end
	Hour            float64   `json:"hour"`
	Text            string    `json:"text"` // one sentence
}

// Crushing is the hardest pressure on any joint. Crushed wood keeps its new
// size, so the joint may open when the wood shrinks again; it stands beside the
// verdict.
type Crushing struct {
	Verdict     Verdict `json:"verdict"`
	Utilisation float64 `json:"utilisation"` // pressure over the wood's strength in compression across the grain
	Joint       string  `json:"joint"`
	State       string  `json:"state"`
	Hour        float64 `json:"hour"`
	Text        string  `json:"text"`
}

// Exposure is one history.
type Exposure struct {
	Name         string  `json:"name"`            // the event, with a number when there are several of it
	Event        string  `json:"event"`           // key of the kind of event
	Given        string  `json:"given,omitempty"` // the values it was given, "minutes 240"
	Text         string  `json:"text"`
	Mishap       bool    `json:"mishap"`          // one of the standard set's mishaps: told beside the verdict, not in it
	Hours        float64 `json:"hours"`           // length
	Never        string  `json:"never,omitempty"` // why no board should meet it
	Mode         string  `json:"mode,omitempty"`  // by which it fails, or comes nearest to; see Mode
	Index        float64 `json:"index"`           // figure of that mode over its limit; of what no board should meet the largest of any mode
	Verdict      Verdict `json:"verdict"`         // its word
	words        verdict.Scale
	After        *float64 `json:"after,omitempty"` // h, when that mode first passes its limit
	Utilisation  float64  `json:"utilisation"`
	Worst        string   `json:"worst"`
	WorstHour    float64  `json:"worst_hour"`
	Elastic      float64  `json:"elastic_utilisation"`
	Cup          float64  `json:"cup"` // mm, largest rise of the edges over the middle, across the board (see cupsAlongX); positive: edges up
	CupHour      float64  `json:"cup_hour"`
	Bow          float64  `json:"bow"` // mm, the same along the board
	BowHour      float64  `json:"bow_hour"`
	Twist        float64  `json:"twist"` // mm, one corner out of the plane of the other three
	TwistHour    float64  `json:"twist_hour"`
	Gap          float64  `json:"gap"`           // mm, furthest that the lower face stands off a flat top
	Rocks        float64  `json:"rocks"`         // mm that a corner travels when the board is pressed at one after another
	Flatness     float64  `json:"flatness"`      // rise over the limit of its own length, as it lasts for half a day; 1 is the limit
	FlatnessPeak float64  `json:"flatness_peak"` // the same, however short
	FlatnessHour float64  `json:"flatness_hour"`
	FlatnessEnd  float64  `json:"flatness_end"` // the same when the exposure ends: what has not come back
	Checking     Checking `json:"checking"`
	Checks       *Checks  `json:"checks,omitempty"` // left out where nothing opens
	End          *End     `json:"end,omitempty"`    // left out where no glue line is pulled at the rim

	Face *FaceOpening `json:"face,omitempty"` // left out where no face pulls at a glue line

	Series    *Series `json:"series,omitempty"`
	Responses []Reply `json:"responses,omitempty"`
}

// Series is a history on request, one entry of each list a time.
type Series struct {
	Hours       []float64            `json:"hours"`
	Utilisation []float64            `json:"utilisation"`
	Cup         []float64            `json:"cup"`
	Bow         []float64            `json:"bow"`
	Twist       []float64            `json:"twist"`
	Width       []float64            `json:"width_change"`
	Height      []float64            `json:"height_change"`
	Moisture    map[string][]float64 `json:"moisture"` // mean % MC by kind of piece
}

// Reply tells how fast a kind of piece follows a change of air.
type Reply struct {
	Kind        string   `json:"kind"`
	Half        *float64 `json:"half_hours"` // nil when it takes longer than BeyondYears
	Ninety      *float64 `json:"ninety_hours"`
	BeyondYears float64  `json:"beyond_years,omitempty"` // how long was looked, when a time is missing
}

// Joint is the answer for one glue line, at its own worst time and place.
type Joint struct {
	ID              string    `json:"id"`
	A               string    `json:"a"`
	B               string    `json:"b"`
	From            layout.XY `json:"from"`        // mm
	To              layout.XY `json:"to"`          // mm
	Utilisation     float64   `json:"utilisation"` // the least of its own stress and the utilisation of the worst path it is on, its glue line or one that turns through it: see Crack
	Verdict         Verdict   `json:"verdict"`
	State           string    `json:"state"`
	Hour            float64   `json:"hour"`
	How             string    `json:"how"`
	Place           layout.XY `json:"place"`
	Level           string    `json:"level"`
	Normal          float64   `json:"normal"`
	Shear           float64   `json:"shear"`
	Stress          float64   `json:"stress"`           // mean stress over strength, over the averaging length
	TensionCapacity float64   `json:"tension_capacity"` // MPa
	ShearCapacity   float64   `json:"shear_capacity"`   // MPa
	Weakest         string    `json:"weakest"`
	Length          float64   `json:"averaging_length"` // mm, over which stress is averaged
}

// Piece is the answer for one piece.
type Piece struct {
	ID          string      `json:"id"`
	Part        string      `json:"part"`
	Stock       string      `json:"stock"`
	Species     string      `json:"species"`
	Outline     []layout.XY `json:"outline"`
	RingAngle   float64     `json:"ring_angle"`
	GrainUp     bool        `json:"grain_up"`
	GrainAngle  float64     `json:"grain_angle"`
	Moisture    float64     `json:"moisture"`    // % MC when glued
	Utilisation float64     `json:"utilisation"` // wood inside the piece
	State       string      `json:"state,omitempty"`
}

// Range is the board's extent over all states, mm.
type Range struct {
	WidthMin  float64 `json:"width_min"`
	WidthMax  float64 `json:"width_max"`
	HeightMin float64 `json:"height_min"`
	HeightMax float64 `json:"height_max"`
}

// Share is a part of the worst joint's demand. Shares of one Kind sum to 1;
// a negative share relieves the joint.
type Share struct {
	Kind  string  `json:"kind"` // "piece", "wood", "mechanism"; "scatter" in a chance
	Name  string  `json:"name"`
	Share float64 `json:"share"`
}

// Chance is the probability of the model, not of the world, that the board gives in the
// way that governs, in its own worst moment; the verdict is its word. Where a glue's own
// rule gives the word nothing scatters: Board is nil, and Text says so.
type Chance struct {
	Mode         string   `json:"mode"`               // the way it is of, see Mode
	Board        *float64 `json:"board,omitempty"`    // probability; left out of a rule
	Measured     *float64 `json:"measured,omitempty"` // what it would be had the moisture at gluing been measured; left out where it was
	Spread       float64  `json:"spread"`             // standard deviation of the logarithm of the mode's figure; 0 of a rule
	Low          float64  `json:"low"`                // figure that one board in twenty stays below, the mode's own,
	High         float64  `json:"high"`               // and that one in twenty exceeds
	Contribution []Share  `json:"contribution"`       // of the variance, by cause; they sum to 1; none of a rule
	Text         string   `json:"text"`
}

// Limitations tell what the answer leans on.
type Limitations struct {
	Estimated   []Input  `json:"estimated"` // inputs that are estimated or from memory, most influential first
	Assumptions []string `json:"assumptions"`
	NotModelled []string `json:"not_modelled"`
	Low         float64  `json:"utilisation_low"` // range of the worst utilisation when each of these inputs is off as far as its Effect says, all independent of each other
	High        float64  `json:"utilisation_high"`
}

// Input is one weak input.
type Input struct {
	What   string  `json:"what"`
	Status string  `json:"status"` // "memory" or "estimated"
	Source string  `json:"source"` // citation key
	Effect float64 `json:"effect"` // relative change of the worst utilisation for one standard deviation of the input, or half its published range
}

// Caution is a safety note with its source.
type Caution struct {
	Topic  string `json:"topic"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

// SanityCheck compares a board of one wood and one ring direction with the
// closed form: no stress, and exactly the free movement.
type SanityCheck struct {
	Stress float64 `json:"stress"`      // MPa, largest traction found; should be round-off
	Width  float64 `json:"width_error"` // relative difference of the change of width from the free movement
	Height float64 `json:"height_error"`
}

// ModelFacts says how big the sum was.
type ModelFacts struct {
	Pieces   int     `json:"pieces"`
	Joints   int     `json:"joints"`
	Elements int     `json:"elements"`
	Nodes    int     `json:"nodes"`
	Unknowns int     `json:"unknowns"`
	MinAngle float64 `json:"min_angle"` // degrees, worst corner of any element
}
