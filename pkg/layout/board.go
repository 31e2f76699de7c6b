package layout

import (
	"slices"

	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/notice"
)

// XY is a place on the board in mm: x to the right, y up, origin at the lower
// left corner of the finished board's bounding box.
type XY [2]float64

// Board is a board file laid out, with its geometry worked out. It does not know
// the file: whoever wants another board edits the File and lays it out.
type Board struct {
	Name         string
	Units        string           // "mm" or "in", how the file spoke; everything below is mm
	Thickness    float64          // mm
	Glue         string           // key of an adhesive class
	Finish       string           // key of a finish, "none" when the file has none
	FinishBottom string           // of the bottom face; Finish where the file tells no other
	Ends         string           // key of the finish of its ends and sides
	Renewed      moisture.Renewal // how often they are renewed
	Stands       string           // Free, OnFeet or Flat
	GlueUp       moisture.Room    //  the air of the shop at glue-up
	Home         Home
	Exposures    []moisture.Event
	Starved      []StarvedPart
	Stock        map[string]Stock // by key of the file
	Pieces       []Piece
	Joints       []Joint
	Partition    Partition
	Width        float64 // mm, extent in x
	Height       float64 // mm, extent in y
	// Grids of equal blocks without stagger keep their shape for pictures and
	// remedies, also with tiles and inside borders; Rows is 0 otherwise.
	Rows, Cols int
	// Borders as listed in the file, for remedies and windows.
	Borders []Border
	// Assumed lists what the file left open and how it was filled, one sentence each.
	Assumed []string
	// Notices tell what is possible but hardly meant.
	Notices notice.List
	// Build is set for a field that is built of slices, in the short form or the long.
	Build *Build
	// GlueUps are all glue-ups in order; every joint is made in one of them.
	GlueUps []GlueUp
	// Stages are the glue-ups in the order of time; none for a board glued in one go.
	Stages []Stage
}

// Known says how surely the moisture of its pieces is known: as of the least sure piece
// whose moisture is that of its stock. A piece that has one of its own was measured.
func (b *Board) Known() string {
	least := 0
	surest := [...]string{Measured, ByAir, Guessed, Untold}
	for i := range b.Pieces {
		if s := b.Stock[b.Pieces[i].Stock]; b.Pieces[i].Moisture == s.Moisture {
			least = max(least, slices.Index(surest[:], s.Known))
		}
	}
	return surest[least]
}

// Home is where the board will live: a named climate, or the user's own twelve
// months (January first). Exactly one of the two is set; a file without `home`
// leaves both empty.
type Home struct {
	Name   string
	Months []moisture.Room
}

// Stock is one prepared wood of the maker.
type Stock struct {
	Key       string
	Species   string  // canonical id of package wood
	RingAngle float64 // degrees
	// RingUnknown: nobody has looked at the rings; RingAngle is 0 and means nothing.
	RingUnknown bool
	Grain       Grain   // default for pieces cut from it; borders override it
	Moisture    float64 // % MC when glued; always set (in balance with GlueUp when the file gave none)
	Known       string  // how: Measured, ByAir, Guessed or Untold
	Colour      string  // "#rrggbb" when the file gave one
	Heart       string  // HeartDown, HeartUp or HeartAlternate
	Slope       float64 // of its fibres round the log, see Piece
	Pith        *XY     // mm from the piece's own centre, when the file gave one
}

// Grain is the direction of the fibres of a piece.
type Grain struct {
	Up    bool    // end grain on the face: fibres along z
	Angle float64 // degrees from +x in the board's plane, when not Up
}

// Piece is one piece of wood between glue lines.
type Piece struct {
	ID        string // "r3c4", "r3c4.ne", "b1.left", "p7": unique on the board
	Part      string // "field", or "border 1 left" and so on
	Stock     string // key of Board.Stock
	Species   string // canonical id of package wood
	Grain     Grain
	RingAngle float64 // degrees, see the package comment
	// RingUnknown: nobody has looked at the rings; RingAngle is 0 until a draw.
	RingUnknown bool
	Pith        *XY // absolute place on the board [mm], nil for straight rings; end-grain pieces: the point in the x–y plane; long-grain: see the package comment
	// Heart is how far the pith is taken to lie below the middle of a flat-sawn plank of
	// the field whose pith nobody told [mm]; negative above it, 0 elsewhere.
	Heart float64
	// Slope is how far the fibres of a long-grain piece wind round the log for each mm of
	// its length (dimensionless): positive as a right-hand screw, climbing to the right
	// seen on the bark side, whichever way the piece lies.
	Slope     float64
	Moisture  float64 // % MC when glued
	Outline   []XY    // counter-clockwise, open, corners only
	Area      float64 // mm²
	Centre    XY      // centroid
	Row, Col  int     // place in a grid field from the top left, −1 elsewhere
	Border    int     // index into Board.Borders, −1 for the field
	Stick     int     // index into Board.Build.Sticks it was cut from, −1 when nobody tells
	StickPart int     // index into the stick's parts
	Slice     int     // index into Board.Build.Slices it is of, −1 elsewhere
	Pointer   string  // JSON pointer of what made it
}

// Joint is one glue line between two pieces: a straight segment.
// Seen along From→To, piece A lies on the left and piece B on the right; the
// unit normal points from A to B, so a positive normal traction opens it.
type Joint struct {
	ID       string // "A|B", with "#2" and so on when the same two pieces meet along several segments
	A, B     int    // indices into Board.Pieces
	From, To XY
	Length   float64 // mm
	Edges    []int   // indices into Partition.Edges that make it up, in order From→To
	GlueUp   int     // index into Board.GlueUps: the one it is made in
}

// Partition is the planar map of the board: every corner and every T-junction
// is a vertex, every edge runs between two neighbouring vertices, every piece
// is a ring of edges.
type Partition struct {
	Vertices []XY
	Edges    []Edge
	Rings    [][]RingEdge // per piece, counter-clockwise
}

// Edge is a straight edge of the partition from vertex V0 to vertex V1 with the
// piece on its left and on its right; −1 where there is no wood.
type Edge struct {
	V0, V1      int
	Left, Right int
	Joint       int // index into Board.Joints, −1 on a free edge
}

// RingEdge is an edge as a piece's boundary uses it: Reversed when the ring runs V1→V0.
type RingEdge struct {
	Edge     int
	Reversed bool
}

// Border is one border entry of the file.
type Border struct {
	Stock  string
	Along  bool // fibres along the edge; false: end grain up, like the field
	Width  float64
	Sides  []string
	Mitre  bool
	Blocks int    // pieces a side, 1 when the file says nothing
	Panel  string // key of the panel its slices come from, "" of plain stock
	Turn   string // of those slices
	Pieces []int  // indices into Board.Pieces
}
