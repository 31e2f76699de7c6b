package layout

import (
	"maps"
	"slices"

	"github.com/tanrad/tanrad/pkg/fault"
)

// overrides changes single pieces as the file tells.
func (r *layer) overrides() {
	of := r.file.Pieces
	if len(of) > r.limits.Pieces {
		r.room("/pieces", len(of))
		return
	}
	var byID map[string]int
	if len(of) > 0 {
		byID = make(map[string]int, len(r.pieces))
		for i := range r.pieces {
			byID[r.pieces[i].ID] = i
		}
	}
	laid := r.faults.Empty() // else pieces may be missing for another reason
	for _, id := range slices.Sorted(maps.Keys(of)) {
		if r.full() {
			return
		}
		o, pointer := of[id], under("/pieces", id)
		i, ok := byID[id]
		if !ok && laid && !r.gone[id] {
			r.add(fault.Fault{Rule: fault.UnknownName, Pointer: pointer, Detail: "no piece of the board has that id", Found: shortened(id),
				Nearest: fault.Nearest(id, slices.Sorted(maps.Keys(byID)), 1), Fix: "take the id of a piece, as in a report on the board"})
		}
		p := Piece{Grain: Grain{Up: true}}
		if ok {
			p = r.pieces[i]
		}
		r.override(pointer, &p, &o)
		if ok {
			r.pieces[i] = p
		}
	}
	for _, key := range slices.Sorted(maps.Keys(r.ringless)) {
		if unused := !slices.ContainsFunc(r.pieces, func(p Piece) bool { return p.Stock == key }); unused && (len(r.pieces) > 0 || !r.ownRings()) {
			r.needRing(key)
		}
	}
}

// ownRings reports whether the field has places of its own for ring angles.
func (r *layer) ownRings() bool {
	f := &r.file.Field
	return f.Grid != nil && f.Grid.Rings != nil || f.Pieces != nil || f.Slices != nil || f.Build != nil
}

func (r *layer) override(pointer string, p *Piece, o *Override) {
	if o.Stock != "" && r.stockKey(pointer+"/stock", o.Stock) {
		s := r.board.Stock[o.Stock]
		p.Stock, p.Species, p.Moisture = s.Key, s.Species, s.Moisture
		if p.Border < 0 {
			p.Grain = s.Grain
		}
		if o.Ring == nil && o.Pith == nil {
			r.needRing(o.Stock)
			p.RingAngle, p.RingUnknown = s.RingAngle, s.RingUnknown
			_, centre := areaAndCentre(p.Outline)
			p.Pith = absolute(s.Pith, p.Grain, centre)
		}
	}
	if o.Species != "" {
		p.Species = r.species(pointer+"/species", o.Species)
	}
	if o.Moisture != nil {
		p.Moisture = *o.Moisture
		r.number(pointer, "/moisture", p.Moisture, moistureMC)
	}
	if o.Ring == nil && o.Pith == nil {
		return
	}
	pith := r.pith(pointer, o.Pith)
	p.RingUnknown, p.Pith = false, nil
	if o.Ring != nil {
		p.RingAngle, p.RingUnknown = r.ring(pointer, o.Ring, pith, p.Grain.Up)
	}
	if ring, ok := ringFromPith(pith, p.Grain.Up); ok {
		p.RingAngle = ring
	}
	if pith != nil && len(p.Outline) > 0 {
		_, centre := areaAndCentre(p.Outline)
		p.Pith = absolute(pith, p.Grain, centre)
	}
}
