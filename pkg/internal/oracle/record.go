package oracle

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"math"
)

// Place is a corner of the board's pieces with its displacement [mm], relative
// to the supports.
type Place struct {
	At Vec2       `json:"at"`
	U  [3]float64 `json:"u"`
}

// Answer is what the solver said of one deck at one fineness.
type Answer struct {
	Level    Level         `json:"level"`
	Layers   int           `json:"layers,omitempty"` // of the solid model
	Elements int           `json:"elements"`
	Nodes    int           `json:"nodes"`
	Places   []Place       `json:"places"`
	Width    float64       `json:"width_change"`  // mm, change of the extent of the corners in x
	Height   float64       `json:"height_change"` // mm, in y
	Joints   []JointResult `json:"joints,omitempty"`
}

// Doubt is how far two finenesses differ: the oracle's estimate of its own
// error, cautious because the coarser one has most of it.
type Doubt struct {
	Displacement float64 `json:"displacement"`         // largest difference of u and v over the largest displacement
	Deflection   float64 `json:"deflection,omitempty"` // the same of w over the largest w, solid models only
	Whole        float64 `json:"whole"`                // largest difference of a whole-joint average over the board's largest traction
	Window       float64 `json:"window"`               // the same of the end windows
	Split        float64 `json:"split"`                // largest difference between a joint's two sides over the board's largest traction
}

// Record is a deck with its answer, as kept in testdata/oracle.
type Record struct {
	Solver   string  `json:"solver"` // name and version
	Element  string  `json:"element"`
	DeckHash string  `json:"deck_sha256"`
	Board    *Deck   `json:"board"`
	Answer   *Answer `json:"answer"`
	Doubt    Doubt   `json:"doubt"`
	Coarser  Level   `json:"coarser"`
	// Largest traction of the board [MPa] over all windows, by magnitude.
	LargestTraction float64 `json:"largest_traction"`
}

// MembraneDeck is the text of the deck ccx solves for d at fineness l.
func MembraneDeck(d *Deck, l Level) ([]byte, error) {
	m, err := newMesh(d, l, false)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = m.writeMembrane(&b)
	return b.Bytes(), err
}

// Hash is the SHA-256 of a deck's text.
func Hash(deck []byte) string {
	sum := sha256.Sum256(deck)
	return hex.EncodeToString(sum[:])
}

// solve runs ccx on what write writes of d.
func (d *Deck) solve(write func(io.Writer) error) (*tables, error) {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return nil, err
	}
	t, err := solve(b.Bytes())
	if err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	return t, nil
}

// SolveMembrane runs ccx on d in plane stress.
func SolveMembrane(d *Deck, l Level) (*Answer, error) {
	m, err := newMesh(d, l, false)
	if err != nil {
		return nil, err
	}
	t, err := d.solve(m.writeMembrane)
	if err != nil {
		return nil, err
	}
	a := &Answer{Level: l, Elements: len(m.elems), Nodes: len(m.place)}
	if err := a.readPlaces(d, t, m.find); err != nil {
		return nil, err
	}
	return a, a.readJoints(m, t.planeStresses)
}

// readJoints averages the tractions of every joint.
func (a *Answer) readJoints(m *faceMesh, get stresses) error {
	for _, j := range m.deck.Joints {
		r, err := m.jointResult(j, get)
		if err != nil {
			return err
		}
		a.Joints = append(a.Joints, r)
	}
	return nil
}

// readPlaces reads the displacement of every corner and the change of the board's extent.
func (a *Answer) readPlaces(d *Deck, t *tables, find func(Vec2) int) error {
	for _, p := range d.points() {
		u, ok := t.displacement[find(p)+1]
		if !ok {
			return fmt.Errorf("oracle: %s: no displacement at %v", d.Name, p)
		}
		a.Places = append(a.Places, Place{p, u})
	}
	a.Width, a.Height = a.growth(0), a.growth(1)
	return nil
}

// growth is the change of the corners' extent in direction c.
func (a *Answer) growth(c int) float64 {
	lo0, hi0, lo1, hi1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range a.Places {
		lo0, hi0 = math.Min(lo0, p.At[c]), math.Max(hi0, p.At[c])
		lo1, hi1 = math.Min(lo1, p.At[c]+p.U[c]), math.Max(hi1, p.At[c]+p.U[c])
	}
	return hi1 - lo1 - (hi0 - lo0)
}

// Largest is the largest traction [MPa] of any window of any joint.
func (a *Answer) Largest() float64 {
	var m float64
	for _, j := range a.Joints {
		for _, v := range j.all() {
			m = math.Max(m, math.Abs(v))
		}
	}
	return m
}

// Moved is the largest displacement of a corner [mm].
func (a *Answer) Moved() float64 {
	var m float64
	for _, p := range a.Places {
		m = math.Max(m, math.Sqrt(p.U[0]*p.U[0]+p.U[1]*p.U[1]+p.U[2]*p.U[2]))
	}
	return m
}

// noStress [MPa] is what rounding in a result file of seven digits can feign.
const noStress = 1e-5

// Compare estimates the error of fine from what coarse says.
func Compare(fine, coarse *Answer) Doubt {
	var d Doubt
	var w float64
	for i, p := range fine.Places {
		q := coarse.Places[i]
		for c := range 2 {
			d.Displacement = math.Max(d.Displacement, math.Abs(p.U[c]-q.U[c])/fine.Moved())
		}
		d.Deflection = math.Max(d.Deflection, math.Abs(p.U[2]-q.U[2]))
		w = math.Max(w, math.Abs(p.U[2]))
	}
	if w > 0 {
		d.Deflection /= w
	}
	largest := fine.Largest()
	if largest < noStress {
		return d
	}
	for i, j := range fine.Joints {
		f, c := j.all(), coarse.Joints[i].all()
		for k := range f {
			diff := math.Abs(f[k]-c[k]) / largest
			if k < 4 {
				d.Window = math.Max(d.Window, diff)
			} else {
				d.Whole = math.Max(d.Whole, diff)
			}
		}
		d.Split = math.Max(d.Split, j.Split/largest)
	}
	return d
}
