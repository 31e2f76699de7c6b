// Package layout reads the board file and works out its geometry: which pieces
// of wood there are, where they lie, how their rings and fibres run, and along
// which straight glue lines they meet.
//
// File is what a file says, Board what comes of it:
//
//	text ⇄ File → Board        Parse, File.JSON, File.Board
//
// Whoever asks "what if" edits a Clone of the File and lays it out; a Board does
// not know the File it came from and so cannot belong to another.
//
// # Axes
//
// Lengths in mm whatever the file's units; x to the right, y up, z out of the
// top face; angles in degrees counter-clockwise from +x seen from above. The
// lower left of the finished board's bounding box is the origin, whatever
// coordinates the file used.
//
// The ring angle of a piece gives its radial axis (pith to bark) in the plane
// normal to the fibres. With fibres up (end grain): the angle of the radial axis
// from +x. With fibres along the direction φ in the plane: the angle from the
// face normal +z towards the in-plane direction n = φ+90°, so 0 is flat-sawn on
// the face and 90 is quarter-sawn. It is an axis, the same after half a turn: any
// finite angle may be written, and beyond −180 to 180 it is brought back.
//
// A pith makes the radial axis vary over the piece: at every point it runs from
// the pith to that point; the ring angle is then its direction at the piece's
// centre. In the file a pith is told from the centre of its piece (a whole block
// for a grid cell, also one with a trimmed end; the centroid of the outline
// elsewhere). With fibres up it is [x, y]. With fibres along φ it is [n, z]: how
// far along n, and how far above mid-thickness; Piece.Pith then holds n·p of any
// point p of the pith line on the board, and z.
//
// # The board file
//
// One JSON object, version 1. Lengths are in units, or a text: "1 1/2" in units,
// "1 1/2 in", "38 mm". A key marked * is required.
//
//	key             type             allowed                          default
//	tanrad *        whole number     1
//	name            text             1–200 letters                    none
//	units *         text             "mm", "in" (25.4 mm exactly)
//	thickness *     length           1–500 mm
//	stock *         object           1–20,000 stocks by key           keys of 1–32 letters
//	field *         object           one of grid, slices, build, pieces
//	tiles           object           tiles by key, grid only          none
//	borders         list             0–20 borders                     none
//	pieces          object           what single pieces have otherwise, by piece id   none
//	glue            text             see Glues                        pva, noted in Board.Assumed
//	finish          text             see moisture.Finishes            none
//	ends_finish     text             the same, of the ends and sides   that of the faces
//	bottom_finish   text             likewise, of the bottom face     as finish
//	finish_renewed  number or text   months between two coats, 0.25–120, or "never"   kept as new
//	stands          text             "free", "feet", "flat"           free
//	glue_up         air              see below                        45 %, 20 °C, noted
//	home            text or object   a climate, or {"months": 12 airs} none given
//	exposures       list             0–50 exposures                   none
//	starved         list             0–1,000 stretches of glue lines known to hold less   none
//
// air is {"humidity": 0–98 %, "temperature": −1.1–98.9 °C}, both required. An
// exposure is {"name": text} with any further numbers and texts; it happens besides
// ordinary use, unless ordinary use or a set ("standard", "ordinary", "mishaps") is
// among them. One that wets a face, or sets a pan on it, may do so on a patch of it, {"centre": [length, length],
// "size": [length, length]} or with "radius" in place of size, from the lower left
// corner of the board.
//
// A starved stretch is {"joint": id, "from": length, "length": length, "keeps": 0.01–1}: a
// share of the bond's strength, from the left or lower end of the joint on; from and length
// may be left out.
//
// A stock is one prepared wood:
//
//	species *       text             any name package wood knows
//	ring_angle *    ring             degrees, or "unknown" when nobody has looked; may be left out
//	                                 beside a pith, and where every piece has its own
//	moisture        % MC             0–30                             in balance with glue_up, noted
//	moisture_is     text             "measured", "guessed"            measured, beside a moisture
//	grain           text or degrees  "up", or the way in the plane    "up"
//	pith            [length, length] see above                        straight rings
//	colour          text             "#rrggbb"                        by species
//	heart           text             "down", "up", "alternate"        alternate
//	slope           number           −0.25–0.25, rise over run        0, noted
//	length          length           of its longest stick in the shop  as asked
//
// The chance behind the word takes a guessed moisture for less sure than a measured one, one
// in balance with a told glue_up for something between, and one of which nothing is told for
// anything that wood is sold at for use indoors.
//
// A board stands free or on feet, with air at both faces, or lies flat on a tight
// top, which covers its bottom face whenever it is not being washed.
//
// heart tells which way the heart side of flat-sawn planks of the field lies (rings
// within 45° of level, no pith told): down or up alike, or one up, one down in turn.
// How far off the pith is taken to lie is noted in Board.Assumed.
//
// slope is the slope of grain of long-grain pieces: how far their fibres wind round the
// log, 0.05 for 1 in 20. It is positive as a right-hand screw is, climbing to the right seen
// on the bark side, whichever way a piece lies.
//
// Angles of rings and fibres are those of axes, the same after half a turn; up to a
// thousand turns are taken.
//
// A ring angle beside a pith must agree with it within 1°.
//
// A grid is rows of blocks. Rows run from the top of the picture downwards:
//
//	rows *          list             each row a text of one letter a block, or a list of keys;
//	                                 a letter or key is one of stock or tiles
//	block           [length, length] width and height of every block; or
//	rings           rows of rings    beside rows: each block's ring angle; null as its stock tells   none
//	columns         lengths          one width a column, with
//	row_heights     lengths          one height a row, from the top
//	stagger         number           0–0.99 of a block: rows 2, 4, … shift right   0
//	                or lengths       each row's shift to the right
//	ends            text             "open": shifted rows stick out; "trimmed":    "open"
//	                                 both ends are sawn flush, stagger·block is lost
//
// One number beside columns is a part of the columns that repeat, and where the
// row heights repeat every second repeat shifts: columns [60, 3, 60, 3] and row
// heights [25, 3, 25, 3] with 0.5 are a brick bond with thin strips for mortar.
//
// A tile is a grid cell cut into triangles:
//
//	cut *           text             "rising", "falling", "both"
//	stock *         list of keys     rising: upper left, lower right; falling: upper right,
//	                                 lower left; both: top, right, bottom, left
//
// Slices are how the trade builds a field. Strips are glued side by side into a
// panel, the panel is crosscut, and every slice is stood on end:
//
//	strips *        list             [stock key, width] each, left to right; a third element
//	                                 is the strip's own ring angle
//	height *        length           thickness of the panel: the slice's size in y
//	count *         whole number     slices, the first at the top
//	turn *          text             of slices 2, 4, …: "none", "end-for-end", "over", "both"
//
// What a turn does, seen from above, to a slice of strips A and B with rings at
// θ and a pith at (x, y) from its strip's centre:
//
//	none          end-for-end     over            both
//	+-----+---+   +---+-----+     +-----+---+     +---+-----+
//	|  A  | B |   | B |  A  |     |  A  | B |     | B |  A  |
//	|  /  |   |   |   |  /  |     |  \  |   |     |   |  \  |
//	+-----+---+   +---+-----+     +-----+---+     +---+-----+
//	order  AB      BA              AB              BA
//	rings  θ       θ (θ+180)       −θ              −θ (180−θ)
//	pith  (x, y)  (−x, −y)        (x, −y)         (−x, y)
//
// end-for-end is half a turn about the vertical z, which maps (x, y) to (−x, −y):
// an axis at θ goes to θ+180, the same axis. over is half a turn about the long
// edge x, which maps (x, y, z) to (x, −y, −z): what was the lower face is now on
// top, but the fibres still stand upright, and an axis at θ goes to −θ. both is
// one after the other.
//
// A build is the same in full: sticks of one or several woods, several panels, the
// slices in any order. The end of a stick, as it will be seen on the board, has x
// across the panel and y through its thickness:
//
//	kerf *          length           above 0, up to 20 mm
//	sawn            length           what a slice is sawn off at      the board's thickness
//	sticks *        object           how sticks are made, by key:
//	  stock *       key or keys      of stock: one, or one for each part
//	  section *     [length, length] across and through the panel
//	  cut           text             as of a tile: two or four stocks
//	  layers        lengths          from the top, one a stock; they add up to the section
//	  ring_angle    ring or rings    null in a list is as the stock tells   the stock's
//	  moisture      % MC             0–30                             the stock's
//	panels *        object           glue-ups, by key:
//	  sticks *      list             keys, or objects: stick *, turn, end_for_end, ring_angle, moisture
//	  length *      length
//	  thickness *   length           after planing, from both faces alike
//	slices *        list             keys of panels, or objects: panel *, turn; or stick *,
//	                                 ring_angle for one laid in between, fibres along the row
//	repeat          whole number     all slices so many times         1
//	stick_rest      object           as of borders: of sticks of several woods, before the panels
//	rest            object           of the panels, before they are sliced
//	slice_rest      object           of the slices, before the rows are glued
//
// The turn of a stick is "none", "quarter", "half" or "three-quarters" about its
// length, counter-clockwise on the sawn end; end_for_end then changes its ends,
// which shows the section in a mirror, left for right. Ring angles and moisture are
// the stick's: whatever is cut from it shares them. A ring angle is told before the
// turn. A slice turns as above.
//
// pieces are free outlines:
//
//	outline *       list             3–1000 corners [x, y], either way round, open or closed
//	stock *         text             a key of stock
//	id              text             letters, digits, . _ -           p1, p2, …
//	grain           text or degrees  as in stock                      the stock's
//	ring_angle      ring             as in stock                      the stock's
//	pith            [length, length] see above                        the stock's, unless ring_angle is given
//
// In the place of a piece may stand a motif of pieces that is laid again and again:
//
//	motif *         list             pieces, as above
//	repeat *        list             1–5, the next repeats what the first made:
//	  count *       whole number     1–10,000 copies, the motif itself the first
//	  step *        [length, length] from copy to copy
//	  turn          degrees          from copy to copy                0
//	  mirror        text             of copies 2, 4, …: "left-right", "upside-down"   none
//	  about         [length, length] where turn and mirror act        [0, 0]
//
// Rings, fibres and piths go with a copy; one in a mirror is turned over, as a slice
// is. Twenty cubes of rhombs are three pieces and [{"count": 5, "step": [52, 0]},
// {"count": 2, "step": [26, 45]}, {"count": 2, "step": [0, 90]}].
//
// Borders are glued in the order listed, each round the rectangle that is there:
//
//	stock *         text             a key of stock
//	grain *         text             "along" the edge, or "up"
//	width *         length           above 0
//	panel           text             of a build, instead of stock and width: its slices end to
//	                                 end, centred, what hangs over sawn off; grain up, butt
//	turn            text             of those slices, as above        "none"
//	corner          text             "butt", "mitre" (45°)            "butt"
//	sides *         list             "left", "right", "top", "bottom", each once; the order is
//	                                 that of glueing; a mitre goes round all four and may omit it
//	blocks          whole number     1–1000 equal pieces a side; butt, grain up   1
//	rest            object           days, air, moisture: see below   glued on at once
//
// The fibres of a border along its edge run round counter-clockwise (bottom 0°,
// right 90°, top 180°, left −90°), so that n always points to the field and a
// ring angle means the same on each side. The ring angle of a border with grain
// up is measured from +x, as in the field. A border needs a field that fills its
// bounding box.
//
// A rest is what the wood that is glued already goes through before the border is
// glued on, bare and with both faces free (Board.Stages). It has days, or what was
// measured after it, or both:
//
//	days            number           0–3650                           0
//	air             air              beside days                      that of glue_up
//	moisture        object           % MC (0–30) by stock, of wood    follows the air
//	                                 that is glued in already
//
// The moisture of a stock is that of its pieces when they are glued in themselves.
//
// What a piece has otherwise than its stock stands in pieces under its id, each
// key free to be left out:
//
//	stock           text             a key of stock: its wood, moisture, rings
//	species         text             any name package wood knows
//	ring_angle      ring             as the piece lies on the board; takes away a pith
//	pith            [length, length] see above
//	moisture        % MC             0–30
//
// Pieces are named r1c1 (row from the top, column from the left), r1c1.nw for
// the triangles of a tile or stick (nw, se; ne, sw; n, e, s, w), r1c1.1 for layers from
// the left or the top, p1 for free pieces and p1.2.7 for copy 7 of piece 2 of a motif, b1.left
// for borders, b1.left.1 for their blocks (from the left or the top). A joint is named by its two pieces in the order of Board.Pieces:
// "r1c1|r1c2"; further contacts of the same pair get "#2" and so on.
//
// # What becomes of it
//
// The outlines are joined into a planar map (Partition): every corner is a
// vertex, and an edge is split where another piece's corner stands on it. Places
// within Snap (0.05 mm) are one place. Corners, or a corner and an edge, that
// come nearer than Narrow (0.5 mm) without meeting are refused with the two
// pieces and the place, as are overlaps, outlines that touch themselves, corners
// sharper than 2° and pieces not glued to the rest. A gap is allowed and has no
// joint. Bounds: 10 MB, 20,000 pieces, 200,000 corners, 10 m either way.
//
// The map is ours: it must snap, name the pieces at fault and cost a few
// milliseconds for thousands of blocks, and the overlay of a general library
// answers none of these. It uses hashes and bins and grows as n log n.. The tests
// hold the map against the overlay of github.com/peterstace/simplefeatures.
//
// Rings nobody has looked at lie at 0 until File.Draw puts random ones in their
// place; Piece.RingUnknown tells. What is possible but hardly meant (a moisture of
// 0.08, inches under mm) is taken and asked about in Board.Notices.
//
// # What is missing
//
//  1. Curved edges: an arc is given as corners.
//  2. A piece with a hole in it; a ring of wood is several pieces.
//  3. Pieces that differ through the thickness.
package layout
