package oracle

import (
	"bufio"
	"fmt"
	"io"
)

// plateThickness [mm] of the membrane model. Plane stress does not depend on
// the thickness; thin enough, the bricks into which CalculiX turns the elements
// store no energy in the slope of their faces.
const plateThickness = 0.005

// writeMembrane writes the plane-stress deck of m.
func (m *faceMesh) writeMembrane(w io.Writer) error {
	out := bufio.NewWriter(w)
	d := m.deck
	fmt.Fprintf(out, "*HEADING\n%s\n*NODE, NSET=NALL\n", d.Name)
	for n, p := range m.place {
		fmt.Fprintf(out, "%d, %.12g, %.12g, 0\n", n+1, p[0], p[1])
	}
	for i := range d.Pieces {
		fmt.Fprintf(out, "*ELEMENT, TYPE=CPS8R, ELSET=P%d\n", i)
		for k, e := range m.elems {
			if e.piece != i {
				continue
			}
			fmt.Fprintf(out, "%d", k+1)
			for _, n := range e.node {
				fmt.Fprintf(out, ", %d", n+1)
			}
			fmt.Fprintln(out)
		}
	}
	d.writeMaterials(out, fmt.Sprintf("%g", plateThickness))
	for _, g := range m.ties() {
		for _, n := range g[1:] {
			for dof := 1; dof <= 2; dof++ {
				fmt.Fprintf(out, "*EQUATION\n2\n%d, %d, 1., %d, %d, -1.\n", n+1, dof, g[0]+1, dof)
			}
		}
	}
	a, b := m.find(d.Support[0]), m.find(d.Support[1])
	if a < 0 || b < 0 {
		return fmt.Errorf("oracle: %s: a support is not a corner", d.Name)
	}
	fmt.Fprintf(out, "*BOUNDARY\n%d, 1, 2\n%d, 2, 2\n", a+1, b+1)
	fmt.Fprint(out, "*INITIAL CONDITIONS, TYPE=TEMPERATURE\nNALL, 0.\n*STEP\n*STATIC\n*TEMPERATURE\nNALL, 1.\n")
	m.writePoints(out, m.find)
	m.writeJointElements(out, 1, func(e int) int { return e + 1 })
	fmt.Fprint(out, "*NODE PRINT, NSET=POINTS\nU\n*EL PRINT, ELSET=BESIDE, GLOBAL=YES\nS\n*END STEP\n")
	return out.Flush()
}

// writeMaterials writes material, orientation and section of every piece. The
// material's axes 1, 2, 3 are R, T, L, so that one order of constants serves
// straight rings and rings round a pith (cylindrical: radius, circumference, axis).
func (d *Deck) writeMaterials(out io.Writer, thickness string) {
	for i, p := range d.Pieces {
		e := p.Elastic
		fmt.Fprintf(out, "*MATERIAL, NAME=M%d\n*ELASTIC, TYPE=ENGINEERING CONSTANTS\n", i)
		// E1, E2, E3, nu12, nu13, nu23, G12, G13 / G23; a minor ratio is the major one times E/E
		fmt.Fprintf(out, "%.12g, %.12g, %.12g, %.12g, %.12g, %.12g, %.12g, %.12g\n%.12g\n",
			e.ER, e.ET, e.EL, e.NuRT, e.NuLR*e.ER/e.EL, e.NuLT*e.ET/e.EL, e.GRT, e.GLR, e.GLT)
		fmt.Fprintf(out, "*EXPANSION, TYPE=ORTHO, ZERO=0.\n%.12g, %.12g, %.12g\n", p.Strain.R, p.Strain.T, p.Strain.L)
		switch {
		case p.Pith != nil && !p.Up:
			fmt.Fprintf(out, "*ORIENTATION, NAME=O%d, SYSTEM=CYLINDRICAL\n0., %.12g, %.12g, 1., %.12g, %.12g\n",
				i, p.Pith[0], p.Pith[1], p.Pith[0], p.Pith[1])
		case p.Pith != nil:
			fmt.Fprintf(out, "*ORIENTATION, NAME=O%d, SYSTEM=CYLINDRICAL\n%.12g, %.12g, 0., %.12g, %.12g, 1.\n",
				i, p.Pith[0], p.Pith[1], p.Pith[0], p.Pith[1])
		default:
			fmt.Fprintf(out, "*ORIENTATION, NAME=O%d\n%.14f, %.14f, %.14f, %.14f, %.14f, %.14f\n",
				i, p.AxisR[0], p.AxisR[1], p.AxisR[2], p.AxisT[0], p.AxisT[1], p.AxisT[2])
		}
		fmt.Fprintf(out, "*SOLID SECTION, ELSET=P%d, MATERIAL=M%d, ORIENTATION=O%d\n%s\n", i, i, i, thickness)
	}
}

func (m *faceMesh) writePoints(out io.Writer, find func(Vec2) int) {
	fmt.Fprint(out, "*NSET, NSET=POINTS\n")
	for _, p := range m.deck.points() {
		fmt.Fprintf(out, "%d,\n", find(p)+1)
	}
}

// writeJointElements lists the elements beside joints; number is that of the
// lowest of the layers that stand on a plane element.
func (m *faceMesh) writeJointElements(out io.Writer, layers int, number func(elem int) int) {
	fmt.Fprint(out, "*ELSET, ELSET=BESIDE\n")
	if len(m.deck.Joints) == 0 {
		fmt.Fprint(out, "1,\n") // a set may not be empty
	}
	seen := map[int]bool{}
	for _, j := range m.deck.Joints {
		for _, piece := range [2]int{j.A, j.B} {
			for _, s := range m.sides(j, piece) {
				for k := 0; k < layers && !seen[s.elem]; k++ {
					fmt.Fprintf(out, "%d,\n", number(s.elem)+k)
				}
				seen[s.elem] = true
			}
		}
	}
}
