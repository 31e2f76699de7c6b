package oracle

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
)

// The finenesses at which boards are recorded, and the coarser ones that tell
// how much the answer still moves.
var (
	membraneFine   = Level{N: 16, Graded: 11, Ratio: 1.8}
	membraneCoarse = Level{N: 13, Graded: 9, Ratio: 1.8}
	solidFine      = Level{N: 6, Graded: 4, Ratio: 1.7}
	solidCoarse    = Level{N: 4, Graded: 2, Ratio: 1.7}
	momentsFine    = Level{N: 10, Graded: 8, Ratio: 1.8}
	momentsCoarse  = Level{N: 8, Graded: 6, Ratio: 1.8}
)

// solidMesh is how fine a solid model is: over the face, and in elements over the
// thickness.
type solidMesh struct {
	level  Level
	layers int
}

// solidMeshes are the recorded fineness of a solid model and the coarser one; sheets
// need few elements over the thickness.
func solidMeshes(d *Deck) (fine, coarse solidMesh) {
	switch {
	case d.Moments:
		return solidMesh{momentsFine, 2}, solidMesh{momentsCoarse, 2}
	case d.Gradient:
		return solidMesh{solidFine, 4}, solidMesh{solidCoarse, 2}
	}
	return solidMesh{momentsCoarse, 2}, solidMesh{solidFine, 2}
}

// Text is the deck ccx solves for d at the recorded fineness, and the element type in it.
func Text(d *Deck) (deck []byte, element string, err error) {
	if d.Solid {
		fine, _ := solidMeshes(d)
		deck, err = SolidDeck(d, fine.level, fine.layers)
		return deck, "C3D20R", err
	}
	deck, err = MembraneDeck(d, membraneFine)
	return deck, "CPS8R", err
}

// Solve runs ccx at the recorded fineness.
func Solve(d *Deck) (*Answer, error) {
	if d.Solid {
		fine, _ := solidMeshes(d)
		return SolveSolid(d, fine.level, fine.layers)
	}
	return SolveMembrane(d, membraneFine)
}

// solveCoarse runs ccx at the coarser fineness.
func solveCoarse(d *Deck) (*Answer, error) {
	if d.Solid {
		_, coarse := solidMeshes(d)
		return SolveSolid(d, coarse.level, coarse.layers)
	}
	return SolveMembrane(d, membraneCoarse)
}

// Make solves d at both finenesses and puts the record together.
func Make(d *Deck) (*Record, error) {
	version, err := Version()
	if err != nil {
		return nil, err
	}
	deck, element, err := Text(d)
	if err != nil {
		return nil, err
	}
	fine, err := Solve(d)
	if err != nil {
		return nil, err
	}
	coarse, err := solveCoarse(d)
	if err != nil {
		return nil, err
	}
	return &Record{
		Solver: version, Element: element, DeckHash: Hash(deck), Board: d, Answer: fine,
		Doubt: Compare(fine, coarse), Coarser: coarse.Level, LargestTraction: fine.Largest(),
	}, nil
}

// Write keeps r in dir as <name>.json.
func (r *Record) Write(dir string) error {
	b, err := json.MarshalIndent(r, "", " ")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, r.Board.Name+".json"), append(b, '\n'), 0o644)
}

// ReadRecord reads the record of the named board from dir.
func ReadRecord(dir, name string) (*Record, error) {
	b, err := os.ReadFile(filepath.Join(dir, name+".json"))
	if err != nil {
		return nil, err
	}
	r := new(Record)
	if err := json.Unmarshal(b, r); err != nil {
		return nil, fmt.Errorf("oracle: %s: %w", name, err)
	}
	return r, nil
}

// Boards lists every board, membrane and solid.
func Boards() ([]*Deck, error) {
	a, err := Membrane()
	if err != nil {
		return nil, err
	}
	b, err := Solid()
	return append(a, b...), err
}
