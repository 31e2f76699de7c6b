package layout

// Bounds of the geometry, in mm. They are printed in the faults that state them.
const (
	// Snap is how far apart two corners, or a corner and an edge, may lie and
	// still be taken for one place: well above rounding in a file, well below
	// what a saw leaves.
	Snap = 0.05
	// Narrow is the smallest contact, edge, gap or width that is worked with.
	// Anything between Snap and Narrow is refused: it can be neither snapped
	// without moving wood visibly nor meshed sensibly.
	Narrow = 0.5
	// MaxLength bounds every length and the extent of the board.
	MaxLength = 10000.0
	// MaxThickness and MinThickness bound the thickness of the board.
	MinThickness, MaxThickness = 1.0, 500.0
)

// Limits bounds what Read accepts. Zero fields mean the defaults.
type Limits struct {
	Bytes  int // of the file; default 10 MB (10·2²⁰)
	Pieces int // on the board; default 20,000
}

func (l Limits) orDefault() Limits {
	if l.Bytes <= 0 {
		l.Bytes = 10 << 20
	}
	if l.Pieces <= 0 {
		l.Pieces = 20000
	}
	return l
}

// mostTrunk is how far a piece can lie from the pith of its tree, mm: half of the
// thickest trunks that are sawn, and some more (judged).
const mostTrunk = 3000.0

// MaxKerf is the widest cut of a saw that is taken, mm.
const MaxKerf = 20.0

const (
	maxName          = 200 // letters of the board's name
	maxWord          = 100 // letters of a name that is looked up
	maxKeyRunes      = 32  // letters of a key or an id
	maxBorders       = 20
	maxBorderBlocks  = 1000 // a side
	maxStrips        = 1000 // of a panel
	maxSlices        = 1_000_000_000
	maxRows          = 10_000 // of a build
	maxPanels        = 1000
	maxLayers        = 100 // of a stick
	maxRepeats       = 5   // of a motif, one within the other
	maxExposures     = 50
	maxExposureTerms = 20
)

// Words of the file.
var (
	cuts         = []string{"rising", "falling", "both"}
	ends         = []string{"open", "trimmed"}
	turns        = []string{"none", "end-for-end", "over", "both"}
	corners      = []string{"butt", "mitre"}
	edgingGrains = []string{"along", "up"}
	mirrors      = []string{"left-right", "upside-down"}
	allSides     = []string{"left", "right", "top", "bottom"}
)

const (
	maxCorners    = 1000    // of one outline
	maxAllCorners = 200_000 // of all outlines together
	maxFaults     = 20      // geometric faults told before the search stops
	minCorner     = 2.0     // degrees; a sharper corner cannot be sawn, glued or meshed
)
