package deck

import (
	"fmt"
	"strings"
)

// piece writes the elements, the wood and the axes of one piece. Where rings
// curve about a pith, each element has axes (end grain) or constants (long
// grain) of its own; elements that share both share a section.
func (d *writer) piece(i int) error {
	pc := &d.b.Pieces[i]
	w := d.p.Woods[i]
	d.f("**\n** Piece %d is %s: %s, glued at %.4g %% MC, changes by %+.6g %% MC;\n** %s, %s\n",
		i+1, plain(pc.ID, "?"), pc.Species, pc.Moisture, d.c.Change[i], grainText(pc.Grain.Up, pc.Grain.Angle), ringText(w.At != nil, pc.RingAngle))
	d.f("*ELSET, ELSET=PIECE%d\n", i+1)
	d.list(d.m.ByPiece[i])
	if w.At == nil {
		m, a, err := turned(pc, w, pc.Centre)
		if err != nil {
			return err
		}
		return d.section(fmt.Sprintf("PIECE%d", i+1), d.material(m, d.c.Change[i]), a)
	}
	type part struct {
		material string
		a        [2]float64
		els      []int32
	}
	var parts []*part
	known := map[string]*part{}
	for _, e := range d.m.ByPiece[i] {
		at := d.p.Centre(int(e))
		m, a, err := turned(pc, w.At(at), at)
		if err != nil {
			return err
		}
		name := d.material(m, d.c.Change[i])
		key := name + number(a[0]) + number(a[1])
		p := known[key]
		if p == nil {
			p = &part{material: name, a: a}
			known[key] = p
			parts = append(parts, p)
		}
		p.els = append(p.els, e)
	}
	for k, p := range parts {
		set := fmt.Sprintf("PIECE%d_%d", i+1, k+1)
		d.f("*ELSET, ELSET=%s\n", set)
		d.list(p.els)
		if err := d.section(set, p.material, p.a); err != nil {
			return err
		}
	}
	return nil
}

func grainText(up bool, angle float64) string {
	if up {
		return "end grain (1 radial, 2 tangential, 3 along the fibres)"
	}
	return fmt.Sprintf("fibres at %g degrees (1 along them, 2 across)", angle)
}

func ringText(curved bool, angle float64) string {
	if curved {
		return "rings about a pith, taken at the middle of each element"
	}
	return fmt.Sprintf("ring angle %g degrees", angle)
}

// section gives a set of elements its wood, its axes and the board's thickness.
func (d *writer) section(set, material string, a [2]float64) error {
	name := "AXES_" + strings.TrimPrefix(set, "PIECE")
	d.f("*ORIENTATION, NAME=%s, SYSTEM=RECTANGULAR\n%s, %s, 0., %s, %s, 0.\n", name, number(a[0]), number(a[1]), number(-a[1]), number(a[0]))
	d.f("*SOLID SECTION, ELSET=%s, MATERIAL=%s, ORIENTATION=%s\n%s\n", set, material, name, number(d.b.Thickness))
	return nil
}

// material writes a wood under its change of moisture [% MC] unless one like it
// stands there already, and gives its name.
func (d *writer) material(m material, change float64) string {
	// CalculiX wants E1, E2, E3, ν12, ν13, ν23, G12, G13 / G23, temperature.
	text := "*ELASTIC, TYPE=ENGINEERING CONSTANTS\n"
	for _, v := range []float64{m.e1, m.e2, m.e3, m.nu12, 0, 0, m.g12} {
		text += number(v) + ", "
	}
	text += number(m.g13) + "\n" + number(m.g23) + ", 0.\n"
	text += "*EXPANSION, TYPE=ORTHO, ZERO=0.\n" + number(m.swell[0]*change) + ", " + number(m.swell[1]*change) + ", 0., 0.\n"
	if name, ok := d.materials[text]; ok {
		return name
	}
	name := fmt.Sprintf("WOOD%d", len(d.materials)+1)
	d.materials[text] = name
	d.f("*MATERIAL, NAME=%s\n%s", name, text)
	return name
}
