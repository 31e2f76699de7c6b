package deck

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/internal/sparse"
	"github.com/tanrad/tanrad/pkg/layout"
)

// Write writes the membrane of a model under one change of moisture as an input
// deck that CalculiX runs as it is. Errors: a case of another board, a piece
// whose constants are not orthotropic in its own axes, those of w.
func Write(w io.Writer, p *plate.Model, c Case) error {
	if len(c.Change) != len(p.Board.Pieces) {
		return fmt.Errorf("deck: %d changes for %d pieces", len(c.Change), len(p.Board.Pieces))
	}
	d := &writer{out: bufio.NewWriterSize(w, 1<<16), p: p, b: p.Board, m: p.Mesh, c: c, materials: map[string]string{}}
	d.head()
	d.nodes()
	d.elements()
	d.joints()
	for i := range d.b.Pieces {
		if err := d.piece(i); err != nil {
			return err
		}
	}
	d.supports()
	d.step()
	return d.out.Flush()
}

// WriteMatrix writes the assembled stiffness of a model's membrane (bending:
// of its bending) in Matrix Market form, N and mm, rows and columns in the order
// u, v (w, φx, φy) of node after node, without those that are held.
func WriteMatrix(w io.Writer, p *plate.Model, bending bool) error {
	system, k := p.Problem(bending)
	return sparse.WriteMatrixMarket(w, system, k)
}

// MatrixBytes tells about how many bytes WriteMatrix would write: the entries of
// one triangle of every element's stiffness, half of them shared with neighbours.
func MatrixBytes(p *plate.Model, bending bool) int64 {
	dof, line := 2, int64(30) // letters of a line: two numbers of up to seven digits and one of sixteen
	if bending {
		dof = 3
	}
	total := int64(0)
	for i := range p.Mesh.Elements {
		n := int64(dof * p.Mesh.Elements[i].N)
		total += n * (n + 1) / 2
	}
	return total * line * 3 / 4
}

type writer struct {
	out       *bufio.Writer
	p         *plate.Model
	b         *layout.Board
	m         *mesh.Mesh
	c         Case
	materials map[string]string // name by text, so that equal ones are written once
}

func (d *writer) f(format string, args ...any) { fmt.Fprintf(d.out, format, args...) }

// number writes ten digits in at most 18 letters, with a point: CalculiX reads at
// most 20 a field and 132 a line.
func number(v float64) string {
	s := strconv.FormatFloat(v+0, 'G', 10, 64)
	if !strings.ContainsAny(s, ".E") {
		s += "."
	}
	return s
}

func (d *writer) head() {
	d.f("** %s\n", plain(d.b.Name, "a board without a name"))
	d.f("** Membrane of the board as tanrad solved it. Units: mm, N, MPa. x to the right, y up, z out of the top face.\n")
	d.f("** %d pieces, %d glue lines, %d elements, %d nodes; thickness %g mm\n", len(d.b.Pieces), len(d.b.Joints), len(d.m.Elements), len(d.m.Nodes), d.b.Thickness)
	d.f("** Load: %s\n", plain(d.c.Text, d.c.Name))
	d.f("** One degree is the change of moisture of each piece: nodes are warmed from 0 to 1,\n")
	d.f("** and *EXPANSION holds the piece's free strain for its whole change.\n")
	d.f("** Constants of a wood: E1, E2, E3, nu12, nu13, nu23, G12, G13 / G23 (MPa). E3, G13 and G23 take no part in\n")
	d.f("** plane stress; nu13, nu23 and the strain along 3 are nil so that pieces do not hinder each other's change of\n")
	d.f("** thickness, which CalculiX makes continuous from element to element.\n")
	d.f("** Pieces are glued by the nodes they share. Run: ccx -i this file's name without .inp\n")
	d.f("*HEADING\n%s\n", plain(d.b.Name, "tanrad"))
}

// plain keeps a text on one line of letters any program reads.
func plain(s, otherwise string) string {
	out := make([]rune, 0, len(s))
	for _, r := range s {
		if r < ' ' || r > '~' {
			r = '?'
		}
		if len(out) < 100 {
			out = append(out, r)
		}
	}
	if len(out) == 0 {
		return otherwise
	}
	return string(out)
}

func (d *writer) nodes() {
	d.f("**\n** Nodes: first the corners and T-junctions of the board, then those of the mesh.\n*NODE, NSET=NALL\n")
	for i, n := range d.m.Nodes {
		d.f("%d, %s, %s, 0.\n", i+1, number(n[0]), number(n[1]))
	}
}

func (d *writer) elements() {
	for _, kind := range [2]struct {
		n    int
		name string
		text string
	}{{8, "CPS8", "quadrilaterals: four corners counter-clockwise, then the middles of the sides"}, {6, "CPS6", "triangles, likewise"}} {
		first := true
		for i := range d.m.Elements {
			e := &d.m.Elements[i]
			if e.N != kind.n {
				continue
			}
			if first {
				d.f("**\n** Plane-stress %s.\n*ELEMENT, TYPE=%s, ELSET=EALL\n", kind.text, kind.name)
				first = false
			}
			d.f("%d", i+1)
			for _, n := range e.Nodes[:e.N] {
				d.f(", %d", n+1)
			}
			d.f("\n")
		}
	}
}

// joints names the nodes of every glue line, for whoever wants tractions.
func (d *writer) joints() {
	d.f("**\n** Glue lines, nodes in the order from one end to the other; the first piece lies on the left.\n")
	for j := range d.b.Joints {
		jt := &d.b.Joints[j]
		d.f("** JOINT%d is %s\n*NSET, NSET=JOINT%d\n", j+1, plain(jt.ID, "?"), j+1)
		var line []int32
		for _, e := range jt.Edges {
			on := d.m.Edges[e].Nodes
			if d.b.Partition.Edges[e].Left != jt.A {
				on = backwards(on)
			}
			if len(line) > 0 {
				on = on[1:] // its first node is the last of the edge before
			}
			line = append(line, on...)
		}
		d.list(line)
	}
}

func backwards(n []int32) []int32 {
	out := make([]int32, len(n))
	for i, v := range n {
		out[len(n)-1-i] = v
	}
	return out
}

// list writes numbers, counted from one, ten a line.
func (d *writer) list(n []int32) {
	for i, v := range n {
		switch {
		case i == len(n)-1:
			d.f("%d\n", v+1)
		case i%10 == 9:
			d.f("%d,\n", v+1)
		default:
			d.f("%d, ", v+1)
		}
	}
}

func (d *writer) supports() {
	system, _ := d.p.Problem(false)
	d.f("**\n** Supports that take away the rigid motion and nothing else.\n*BOUNDARY\n")
	for _, u := range system.Fixed {
		d.f("%d, %d, %d\n", u/2+1, u%2+1, u%2+1)
	}
}

func (d *writer) step() {
	d.f("**\n** Everything is as glued at 0 and has changed at 1.\n*INITIAL CONDITIONS, TYPE=TEMPERATURE\nNALL, 0.\n")
	d.f("*STEP\n*STATIC\n*TEMPERATURE\nNALL, 1.\n")
	d.f("**\n** Displacements (mm) and stress (MPa, board axes) for a viewer; displacements again as text.\n")
	d.f("*NODE FILE, OUTPUT=2D\nU\n*EL FILE, OUTPUT=2D\nS, E\n*NODE PRINT, NSET=NALL\nU\n*END STEP\n")
}
