package layout

import (
	"fmt"
	"hash/fnv"
	"maps"
	"math/rand/v2"
	"slices"
	"strconv"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Draw gives the file with every unknown ring angle replaced by one drawn at
// random, uniform over half a turn: a board as it might be. Blocks cut from one
// strip or stick share theirs, every other piece has its own. Equal seeds give
// equal files, and a piece's angle does not hang on what other pieces there are.
func (f *File) Draw(seed uint64) *File {
	d := drawer{c: f.Clone(), seed: seed}
	d.grid()
	if s := d.c.Field.Slices; s != nil {
		for i := range s.Strips {
			strip := &s.Strips[i]
			if strip.Ring == nil && d.unknown(strip.Stock) || strip.Ring != nil && strip.Ring.Unknown {
				strip.Ring = d.ring("strip " + strconv.Itoa(i+1))
			}
		}
	}
	d.build()
	for i := range d.c.Field.Pieces {
		p := &d.c.Field.Pieces[i]
		if len(p.Motif) > 0 {
			d.motif(p, "p"+strconv.Itoa(i+1))
			continue
		}
		if p.Ring == nil && p.Pith == nil && d.unknown(p.Stock) || p.Ring != nil && p.Ring.Unknown {
			id := p.ID
			if id == "" {
				id = "p" + strconv.Itoa(i+1)
			}
			p.Ring = d.ring(id)
		}
	}
	for i, e := range d.c.Borders {
		d.border(i, &e)
	}
	for _, id := range slices.Sorted(maps.Keys(d.c.Pieces)) {
		o := d.c.Pieces[id]
		if o.Ring != nil && o.Ring.Unknown || o.Ring == nil && o.Pith == nil && o.Stock != "" && d.unknown(o.Stock) {
			o.Ring = d.ring(id)
			d.c.Pieces[id] = o
		}
	}
	return d.c
}

// Drawn gives the file whose Board has the unknown rings as Draw of a seed (1 and up)
// has them. Its pieces still tell that nobody has looked, and what is written of it
// says "unknown": a change of it is a change of the file.
func (f *File) Drawn(seed uint64) *File {
	c := f.Clone()
	c.seed = seed
	return c
}

// drawnBoard lays out the file with its rings drawn.
func (f *File) drawnBoard(limits Limits, told fault.List) (*Board, fault.List) {
	bare := f.Clone()
	bare.seed = 0
	plain, faults := bare.board(limits, told)
	if len(faults) > 0 {
		return nil, faults
	}
	b, faults := bare.Draw(f.seed).board(limits, nil)
	if len(faults) > 0 {
		return nil, faults
	}
	for i := range b.Pieces {
		b.Pieces[i].RingUnknown = plain.Pieces[i].RingUnknown
	}
	if b.Build != nil {
		for i := range b.Build.Sticks {
			for k := range b.Build.Sticks[i].Parts {
				b.Build.Sticks[i].Parts[k].RingUnknown = plain.Build.Sticks[i].Parts[k].RingUnknown
			}
		}
	}
	if ids := b.unlooked(); len(ids) > 0 {
		b.Assumed = append(b.Assumed, unlookedAt(ids)+fmt.Sprintf("drawn at random (seed %d)", f.seed))
	}
	return b, nil
}

// motif draws the rings of every copy by itself.
func (d *drawer) motif(f *FreePiece, id string) {
	copies := 1
	for _, a := range f.Repeat {
		copies *= a.Count
	}
	for m, p := range f.Motif {
		if p.Ring == nil && (p.Pith != nil || !d.unknown(p.Stock)) || p.Ring != nil && !p.Ring.Unknown {
			continue
		}
		own := p.ID
		if own == "" {
			own = id + "." + strconv.Itoa(m+1)
		}
		for k := range copies {
			d.own(own + "." + strconv.Itoa(k+1))
		}
	}
}

// build draws the rings of every stick of a build by itself, part by part.
func (d *drawer) build() {
	b := d.c.Field.Build
	if b == nil {
		return
	}
	for _, key := range slices.Sorted(maps.Keys(b.Panels)) {
		for i := range b.Panels[key].Sticks {
			s := &b.Panels[key].Sticks[i]
			kind := b.Sticks[s.Stick]
			rings := make(StickRings, len(kind.Stock))
			copy(rings, s.Rings)
			drawn := false
			for k, stock := range kind.Stock {
				told := rings[k]
				if told == nil && k < len(kind.Rings) {
					told = kind.Rings[k]
				}
				if told != nil && told.Unknown || told == nil && d.unknown(stock) {
					rings[k], drawn = d.ring("stick "+stickID(key, i)+"."+strconv.Itoa(k+1)), true
				}
			}
			if drawn {
				s.Rings = rings
			}
		}
	}
	for i := range b.Slices {
		s := &b.Slices[i]
		if s.Stick == "" {
			continue
		}
		told, kind := s.Ring, b.Sticks[s.Stick]
		if told == nil && len(kind.Rings) > 0 {
			told = kind.Rings[0]
		}
		if told != nil && told.Unknown || told == nil && len(kind.Stock) > 0 && d.unknown(kind.Stock[0]) {
			s.Ring = d.ring("row " + strconv.Itoa(i+1))
		}
	}
}

type drawer struct {
	c    *File
	seed uint64
}

// ring draws the angle [degrees] of one piece.
func (d *drawer) ring(id string) *Ring {
	h := fnv.New64a()
	h.Write([]byte(id))
	rng := rand.New(rand.NewPCG(d.seed, h.Sum64()))
	return RingAt(180*rng.Float64() - 90)
}

func (d *drawer) unknown(stock string) bool {
	m, ok := d.c.Stock[stock]
	return ok && m.Ring != nil && m.Ring.Unknown
}

// own gives a piece a drawn angle unless the file tells its rings under pieces.
func (d *drawer) own(id string) {
	if o := d.c.Pieces[id]; o.Ring == nil && o.Pith == nil && o.Stock == "" {
		d.c.Change(id, Override{Ring: d.ring(id)})
	}
}

func (d *drawer) grid() {
	g := d.c.Field.Grid
	if g == nil {
		return
	}
	for i, row := range g.Rows {
		for k, key := range row.Blocks() {
			id := "r" + strconv.Itoa(i+1) + "c" + strconv.Itoa(k+1)
			if t, ok := d.c.Tiles[key]; ok {
				names, _ := block{}.parts(t.Cut)
				for n, name := range names {
					if n < len(t.Stock) && d.unknown(t.Stock[n]) {
						d.own(id + "." + name)
					}
				}
				continue
			}
			var told *Ring
			if i < len(g.Rings) && k < len(g.Rings[i]) {
				told = g.Rings[i][k]
			}
			switch {
			case told != nil && told.Unknown:
				g.Rings[i][k] = d.ring(id)
			case told != nil || !d.unknown(key):
			case g.Rings != nil && i < len(g.Rings) && k < len(g.Rings[i]):
				g.Rings[i][k] = d.ring(id)
			default:
				d.own(id)
			}
		}
	}
}

func (d *drawer) border(i int, e *Edging) {
	if !d.unknown(e.Stock) {
		return
	}
	sides := e.Sides
	if len(sides) == 0 {
		sides = allSides
	}
	for _, side := range sides {
		id := "b" + strconv.Itoa(i+1) + "." + side
		if e.Blocks <= 1 {
			d.own(id)
			continue
		}
		for k := range e.Blocks {
			d.own(id + "." + strconv.Itoa(k+1))
		}
	}
}
