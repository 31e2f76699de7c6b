package oracle

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const records = "../../../testdata/oracle"

// A record belongs to the deck that is written today.
func TestRecordsBelongToTheirDecks(t *testing.T) {
	decks, err := Boards()
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(decks), 8)
	for _, d := range decks {
		r, err := ReadRecord(records, d.Name)
		require.NoError(t, err)
		deck, element, err := Text(d)
		require.NoError(t, err)
		assert.Equal(t, r.DeckHash, Hash(deck), d.Name)
		assert.Equal(t, r.Element, element, d.Name)
	}
}

// The oracle's own error must be far below what is asked of tanrad (0.2 % of
// displacement, 2 % of traction); the change from the coarser mesh bounds it.
func TestOracleIsSharpEnough(t *testing.T) {
	decks, err := Boards()
	require.NoError(t, err)
	for _, d := range decks {
		r, err := ReadRecord(records, d.Name)
		require.NoError(t, err)
		if d.Solid && len(d.Pieces) == 1 {
			continue // closed forms below
		}
		assert.Less(t, r.Doubt.Displacement, 5e-4, "%s, over the largest displacement", d.Name)
		if d.Gradient {
			assert.Less(t, r.Doubt.Deflection, 2e-3, "%s, over the largest deflection", d.Name)
		}
		assert.Less(t, r.Doubt.Whole, 2e-3, "%s, over the largest traction", d.Name)
		assert.Less(t, r.Doubt.Window, 0.01, "%s, over the largest traction", d.Name)
		assert.Less(t, r.Doubt.Split, 0.01, "%s, over the largest traction", d.Name)
	}
}

func record(t *testing.T, name string) *Record {
	t.Helper()
	r, err := ReadRecord(records, name)
	require.NoError(t, err)
	return r
}

// One wood with rings alike moves by the rotated free strain and has no stress:
// u = ε·x with u = 0 at the first support and v = 0 at the second.
func TestAlikeIsFree(t *testing.T) {
	r := record(t, "alike")
	p := r.Board.Pieces[0]
	s, c := math.Sincos(p.Ring * math.Pi / 180)
	exx := p.Strain.R*c*c + p.Strain.T*s*s
	eyy := p.Strain.R*s*s + p.Strain.T*c*c
	gxy := 2 * (p.Strain.R - p.Strain.T) * s * c
	for _, q := range r.Answer.Places {
		assert.InDelta(t, exx*q.At[0]+gxy*q.At[1], q.U[0], 5e-6, "u [mm] at %v; the thin bricks are solved to about six digits", q.At)
		assert.InDelta(t, eyy*q.At[1], q.U[1], 5e-6, "v [mm] at %v", q.At)
	}
	assert.Less(t, r.LargestTraction, noStress)
}

// Rings round a pith: the uniform change u_r = ε_R r, u_θ = (ε_T − ε_R) r θ is
// free of stress in small strain (polar orthotropy; the face curves by
// 2(ε_T − ε_R)/r0). Supports at both lower corners.
func TestCurvedStripIsFree(t *testing.T) {
	r := record(t, "curved-strip")
	p := r.Board.Pieces[0]
	move := func(at Vec2) Vec2 {
		d := at.minus(*p.Pith)
		radius, theta := d.norm(), math.Atan2(d[0], d[1]) // from the upright through the pith, clockwise
		ur, ut := p.Strain.R*radius, (p.Strain.T-p.Strain.R)*radius*theta
		s, c := math.Sincos(theta)
		return Vec2{ur*s + ut*c, ur*c - ut*s}
	}
	left := move(r.Board.Support[0]) // the right one is its mirror image: no rotation
	for _, q := range r.Answer.Places {
		want := move(q.At).minus(left)
		for c := range 2 {
			assert.InDelta(t, want[c], q.U[c], 2e-5*r.Answer.Moved(), "at %v", q.At)
		}
	}
	// the bow over the lower face: (ε_T − ε_R)·w²/(4·r0) to first order in (w/2r0)²
	bow := displacement(t, r, Vec2{50, 0})[1]
	first := (p.Strain.T - p.Strain.R) * 100 * 100 / (4 * -p.Pith[1])
	assert.InEpsilon(t, first, bow, 0.25)
}

func displacement(t *testing.T, r *Record, at Vec2) [3]float64 {
	t.Helper()
	for _, p := range r.Answer.Places {
		if p.At.minus(at).norm() < near {
			return p.U
		}
	}
	require.Fail(t, "not recorded", "place %v", at)
	return [3]float64{}
}

// Far from its ends a sandwich carries uniform stress along the strips, so the
// shear on half a joint holds the force in the outer strip:
// σ = E (ē − e) with ē the stiffness-weighted mean of the free strains.
func TestSandwichHoldsItsForce(t *testing.T) {
	r := record(t, "sandwich")
	outer, inner := r.Board.Pieces[0], r.Board.Pieces[1]
	const ho, hi, half = 15.0, 20.0, 120.0 // mm
	mean := (2*ho*outer.Elastic.ER*outer.Strain.R + hi*inner.Elastic.ER*inner.Strain.R) /
		(2*ho*outer.Elastic.ER + hi*inner.Elastic.ER)
	force := ho * outer.Elastic.ER * (mean - outer.Strain.R) // N per mm of thickness, tension positive
	j := r.Answer.Joints[0]
	require.Equal(t, [2]string{"below", "between"}, j.Pieces)
	require.Equal(t, Vec2{240, 15}, j.From, "the upper edge of the lower strip runs from right to left")
	// the right half of the lower strip (length half, from x = 120 to its free
	// end) is in balance under −force at x = 120 and the shear along −x on its upper edge
	assert.InEpsilon(t, -force/half, j.Start.Shear, 2e-3)
	assert.InEpsilon(t, force/half, j.End.Shear, 2e-3)
}

// A free strain linear in z bends one strip without stress: curvature ε·2/t
// along and across. Camber between the supports, which lie at corners.
func TestCupOfOneStrip(t *testing.T) {
	r := record(t, "cup-strip")
	p := r.Board.Pieces[0]
	w := func(x, y float64) float64 { return displacement(t, r, Vec2{x, y})[2] }
	kx, ky := 2*p.Strain.L/r.Board.Thickness, 2*p.Strain.T/r.Board.Thickness // T is across, in the face
	// longer at the top: the middle stands above the corners
	assert.InEpsilon(t, kx*240*240/8, w(120, 0), 1e-5)
	assert.InEpsilon(t, ky*80*80/8, w(0, 40), 1e-5)
	assert.InEpsilon(t, kx*240*240/8+ky*80*80/8, w(120, 40), 1e-5)
}

// Rings round a line below a flat-sawn strip: u_r = ε_R r, u_θ = (ε_T − ε_R) r θ
// is free of stress, so the middle plane, at distance r0 from the pith line,
// stands (ε_T − ε_R)·x·θ higher in the middle than at x = r0·tan θ across.
func TestCupOfCurvedRings(t *testing.T) {
	r := record(t, "cup-rings")
	p := r.Board.Pieces[0]
	r0 := -p.Pith[1]
	want := (p.Strain.T - p.Strain.R) * 50 * math.Atan(50/r0)
	assert.InEpsilon(t, want, displacement(t, r, Vec2{120, 50})[2], 1e-4)
	assert.InEpsilon(t, want, displacement(t, r, Vec2{0, 50})[2], 1e-4)
	// for narrow strips this is width²/4r0, a curvature of 2(ε_T − ε_R)/r0
	assert.InDelta(t, 1, (p.Strain.T-p.Strain.R)*100*100/(4*r0)/want, math.Pow(50/r0, 2)/3)
}
