package layout

// Build is a field as it comes out of the shop: sticks glued side by side into
// panels, the panels crosscut, the slices stood on end and glued into rows. Borders
// of sliced panels take part in it too. Pieces know their place in it by index.
type Build struct {
	Kerf   float64 // mm the saw takes, 0 when the file does not tell
	Sawn   float64 // mm a slice is sawn off at, before the board is flattened
	Sticks []Stick // every single one, by panel and place
	Panels []Panel // of the field by key, then of the borders by key
	Slices []Slice // of the field from the top, then of the borders in order
}

// Stick is one stick of wood, or of several woods glued to one stick. Whatever is
// cut from it shares its rings and its moisture.
type Stick struct {
	ID        string  // "A.3": the third of panel A; "row.4": laid in as row 4
	Kind      string  // key of the file's sticks; "" in the short form
	Panel     int     // index into Build.Panels, −1 when it is laid in by itself
	Place     int     // from the left in its panel, from 0
	Turn      string  // about its length before the glue-up: see StickTurns
	EndForEnd bool    // and its ends changed, after the turn
	Width     float64 // mm across the panel, as it lies
	Height    float64 // mm through the panel, as it lies, before planing
	Length    float64 // mm, 0 when the file does not tell
	Parts     []StickPart
	Cut       string // "rising", "falling", "both", "layers", "" of one wood: as made
	Pointer   string // JSON pointer of its place in the file
	MadeAt    string // JSON pointer of its kind in the file
}

// StickPart is one wood of a stick.
type StickPart struct {
	Stock       string  // key of Board.Stock
	RingAngle   float64 // degrees, on the end of the stick as it lies in its panel
	RingUnknown bool
	Moisture    float64 // % MC when glued
	Pith        *XY     // mm from the centroid of Outline, nil for straight rings
	Outline     []XY    // mm from the middle of the stick's end as it lies, before planing
}

// AsMade is the stick before its turn.
func (s *Stick) AsMade() Stick {
	back := stickMotion(s.Turn, s.EndForEnd).back()
	c := *s
	if c.Turn, c.EndForEnd = "none", false; back.swaps() {
		c.Width, c.Height = s.Height, s.Width
	}
	c.Parts = make([]StickPart, len(s.Parts))
	for i, p := range s.Parts {
		p.RingAngle, p.Pith = back.rings(p.RingAngle, p.Pith)
		p.Outline = back.outline(p.Outline)
		c.Parts[i] = p
	}
	return c
}

// Panel is a glue-up of sticks side by side.
type Panel struct {
	Key       string
	Sticks    []int   // indices into Build.Sticks, left to right on the sawn end
	Width     float64 // mm, all sticks
	Thickness float64 // mm after planing; the height of its rows on the board
	Length    float64 // mm, 0 when the file does not tell
	Slices    int     // how many the board takes
	Pointer   string
}

// Slice is one slice of a panel where it lies on the board.
type Slice struct {
	Panel   int    // index into Build.Panels, −1 for a stick laid in by itself
	Turn    string // "none", "end-for-end", "over", "both"
	Row     int    // of the field from the top, −1 in a border
	Border  int    // index into Board.Borders, −1 in the field
	Side    string // of that border
	Pieces  []int  // indices into Board.Pieces
	Pointer string
}

// GlueUp is one glue-up of the shop. What it glues are its joints; what is there when
// its glue has set are its pieces, in as many assemblies as they hang together in.
// Where parts rest between them, Board.Stages tells.
type GlueUp struct {
	ID     string // "stick.d", "panel.A", "field", "b1"
	Kind   StageKind
	Panel  int   // index into Build.Panels, −1 elsewhere
	Border int   // index into Board.Borders, −1 elsewhere
	Pieces []int // indices into Board.Pieces: all that is in the assemblies it makes
	Joints []int // indices into Board.Joints that are glued in it
}

// Lies tells how the slice lies on the board against its panel, seen on the sawn end:
// turned over first (y to −y), or not, and then so many quarters counter-clockwise.
func (s *Slice) Lies() (over bool, quarters int) {
	m := sliceMotion(s.Turn).then(frame{side: s.Side}.turn())
	if m.mirror { // left to right is over and half round
		m.quarters = (m.quarters + 2) % 4
	}
	return m.mirror, m.quarters
}

// StickTurns are the ways a stick is turned about its length, counter-clockwise
// as seen on its sawn end.
var StickTurns = []string{"none", "quarter", "half", "three-quarters"}
