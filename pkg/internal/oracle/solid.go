package oracle

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
)

// solid is a plane mesh drawn up through the thickness in equal layers.
type solid struct {
	*faceMesh
	layers int
	first  []int // number of the lowest brick on each plane element
}

// id is the number of the node above plane node n at half layer k (0 … 2·layers).
func (s solid) id(n, k int) int { return n*(2*s.layers+1) + k + 1 }

// middle is the number of the corner node at p at half thickness.
func (s solid) middle(p Vec2) int { return s.id(s.find(p), s.layers) - 1 }

// SolidDeck is the text of the deck ccx solves for the solid model of d; layers is even.
func SolidDeck(d *Deck, l Level, layers int) ([]byte, error) {
	s, err := newSolid(d, l, layers)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = s.write(&b)
	return b.Bytes(), err
}

func newSolid(d *Deck, l Level, layers int) (solid, error) {
	if layers%2 != 0 {
		return solid{}, fmt.Errorf("oracle: %s: %d layers have no node at half thickness", d.Name, layers)
	}
	m, err := newMesh(d, l, true)
	if err != nil {
		return solid{}, err
	}
	s := solid{m, layers, make([]int, len(m.elems))}
	next := 1
	for i := range d.Pieces {
		for k, e := range m.elems {
			if e.piece == i {
				s.first[k] = next
				next += layers
			}
		}
	}
	return s, nil
}

// gradient is the slope over the thickness that carries the same moment as the
// stress of the bricks on a plane element: 12/h³·∫ σ z dz.
func (s solid) gradient(t *tables) stresses {
	h := s.deck.Thickness
	layer := h / float64(s.layers)
	return func(elem int) (at [2][2][3]float64, err error) {
		for k := range s.layers {
			middle := (float64(k)+0.5)*layer - h/2
			var weight [2]float64
			for i, g := range [2]float64{-gauss, gauss} {
				weight[i] = 12 / (h * h * h) * (middle + g*layer/2) * layer / 2
			}
			if err = t.addStresses(&at, s.first[elem]+k, weight); err != nil {
				break
			}
		}
		return at, err
	}
}

// write writes twenty-node bricks of the true thickness, bonded by common
// nodes; the temperature carries the free strain: 2z/t for a gradient, else 1.
func (s solid) write(w io.Writer) error {
	out := bufio.NewWriter(w)
	d := s.deck
	fmt.Fprintf(out, "*HEADING\n%s\n*NODE, NSET=NALL\n", d.Name)
	corner := make([]bool, len(s.place))
	for _, e := range s.elems {
		for _, n := range e.node[:4] {
			corner[n] = true
		}
	}
	half := d.Thickness / float64(2*s.layers)
	type heat struct {
		node  int
		value float64
	}
	var heats []heat
	for n, p := range s.place {
		for k := 0; k <= 2*s.layers; k++ {
			if k%2 == 1 && !corner[n] {
				continue
			}
			z := float64(k)*half - d.Thickness/2
			fmt.Fprintf(out, "%d, %.12g, %.12g, %.12g\n", s.id(n, k), p[0], p[1], z)
			h := 1.0
			if d.Gradient {
				h = 2 * z / d.Thickness
			}
			heats = append(heats, heat{s.id(n, k), h})
		}
	}
	for i := range d.Pieces {
		fmt.Fprintf(out, "*ELEMENT, TYPE=C3D20R, ELSET=P%d\n", i)
		for n, e := range s.elems {
			if e.piece != i {
				continue
			}
			for k := range s.layers {
				s.writeElement(out, s.first[n]+k, e, 2*k)
			}
		}
	}
	d.writeMaterials(out, "")
	a, b, c := s.middle(d.Support[0]), s.middle(d.Support[1]), s.middle(d.Support[2])
	fmt.Fprintf(out, "*BOUNDARY\n%d, 1, 3\n%d, 2, 3\n%d, 3, 3\n", a+1, b+1, c+1)
	fmt.Fprint(out, "*INITIAL CONDITIONS, TYPE=TEMPERATURE\nNALL, 0.\n")
	s.writePoints(out, s.middle)
	if d.Moments {
		s.writeJointElements(out, s.layers, func(e int) int { return s.first[e] })
	}
	fmt.Fprint(out, "*STEP\n*STATIC\n*TEMPERATURE\n")
	for _, h := range heats {
		fmt.Fprintf(out, "%d, %.12g\n", h.node, h.value)
	}
	fmt.Fprint(out, "*NODE PRINT, NSET=POINTS\nU\n")
	if d.Moments {
		fmt.Fprint(out, "*EL PRINT, ELSET=BESIDE, GLOBAL=YES\nS\n")
	}
	fmt.Fprint(out, "*END STEP\n")
	return out.Flush()
}

// writeElement writes one brick: lower corners, upper corners, lower, upper and upright mid-sides.
func (s solid) writeElement(out io.Writer, number int, e element, k int) {
	var n [20]int
	for i := range 4 {
		n[i], n[4+i] = s.id(e.node[i], k), s.id(e.node[i], k+2)
		n[8+i], n[12+i] = s.id(e.node[4+i], k), s.id(e.node[4+i], k+2)
		n[16+i] = s.id(e.node[i], k+1)
	}
	fmt.Fprintf(out, "%d", number)
	for i, v := range n {
		sep := ", "
		if i == 14 {
			sep = ",\n" // ccx reads at most sixteen entries a line
		}
		fmt.Fprintf(out, "%s%d", sep, v)
	}
	fmt.Fprintln(out)
}

// SolveSolid runs ccx on the solid model of d. Places are read at half thickness.
func SolveSolid(d *Deck, l Level, layers int) (*Answer, error) {
	s, err := newSolid(d, l, layers)
	if err != nil {
		return nil, err
	}
	t, err := d.solve(s.write)
	if err != nil {
		return nil, err
	}
	a := &Answer{Level: l, Layers: layers, Elements: len(s.elems) * layers, Nodes: len(s.place)}
	if err := a.readPlaces(d, t, s.middle); err != nil || !d.Moments {
		return a, err
	}
	return a, a.readJoints(s.faceMesh, s.gradient(t))
}
