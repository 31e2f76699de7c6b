package oracle

import (
	"fmt"
	"math"
)

// Traction is a stress on a joint [MPa], averaged over a stretch; of a deck with
// Moments its gradient over the thickness [MPa/mm].
type Traction struct {
	Normal float64 `json:"normal"` // positive opens
	Shear  float64 `json:"shear"`  // on A's face, along From→To
}

// JointResult is what the oracle says of one joint. Start, End and Whole are
// averages over the first and last Window mm and over the whole joint, each the
// mean of the two sides; Split is the largest difference between the sides.
type JointResult struct {
	Pieces [2]string `json:"pieces"` // ids of A and B
	From   Vec2      `json:"from"`
	To     Vec2      `json:"to"`
	Start  Traction  `json:"start"`
	End    Traction  `json:"end"`
	Whole  Traction  `json:"whole"`
	Split  float64   `json:"split"` // MPa
}

func (r JointResult) all() [6]float64 {
	return [6]float64{r.Start.Normal, r.Start.Shear, r.End.Normal, r.End.Shear, r.Whole.Normal, r.Whole.Shear}
}

// gauss is the place of the two-point rule on −1…1.
const gauss = 0.57735026918962576

// stresses gives xx, yy, xy at the 2 × 2 integration points [η][ξ] of a plane element.
type stresses func(elem int) (at [2][2][3]float64, err error)

// planeStresses takes the mean over the thickness of the expanded element.
func (t *tables) planeStresses(elem int) (at [2][2][3]float64, err error) {
	err = t.addStresses(&at, elem+1, [2]float64{0.5, 0.5})
	return at, err
}

// addStresses adds the stress of brick `number`, its lower and upper layer of
// integration points weighted. Points run ξ fastest, then η, then upwards.
func (t *tables) addStresses(at *[2][2][3]float64, number int, weight [2]float64) error {
	points := t.stress[number]
	if len(points) != 8 {
		return fmt.Errorf("oracle: element %d has stress at %d points, wanted 8", number, len(points))
	}
	for k, p := range points {
		q := &at[k/2%2][k%2]
		for c, v := range [3]float64{p[0], p[1], p[3]} {
			q[c] += weight[k/4] * v
		}
	}
	return nil
}

// jointResult averages the tractions of both sides of joint j.
func (m *faceMesh) jointResult(j Joint, get stresses) (JointResult, error) {
	d := m.deck
	length := j.To.minus(j.From).norm()
	w := math.Min(d.Window, length)
	r := JointResult{Pieces: [2]string{d.Pieces[j.A].ID, d.Pieces[j.B].ID}, From: j.From, To: j.To}
	var faces [2][6]float64
	for k, piece := range [2]int{j.A, j.B} {
		sides := m.sides(j, piece)
		covered := 0.0
		var sum [3][2]float64 // windows × normal, shear
		for _, s := range sides {
			covered += math.Abs(s.s1 - s.s0)
			a, b, err := m.edgeTraction(j, s, get)
			if err != nil {
				return r, err
			}
			for i, span := range [3][2]float64{{0, w}, {length - w, length}, {0, length}} {
				n, tau := integrate(s, a, b, span)
				sum[i][0] += n / (span[1] - span[0])
				sum[i][1] += tau / (span[1] - span[0])
			}
		}
		if math.Abs(covered-length) > 1e-3 {
			return r, fmt.Errorf("oracle: %s: elements cover %g of %g mm of joint %v", d.Name, covered, length, r.Pieces)
		}
		faces[k] = [6]float64{sum[0][0], sum[0][1], sum[1][0], sum[1][1], sum[2][0], sum[2][1]}
	}
	var mean [6]float64
	for i := range mean {
		mean[i] = (faces[0][i] + faces[1][i]) / 2
		r.Split = math.Max(r.Split, math.Abs(faces[0][i]-faces[1][i]))
	}
	r.Start, r.End, r.Whole = Traction{mean[0], mean[1]}, Traction{mean[2], mean[3]}, Traction{mean[4], mean[5]}
	return r, nil
}

// edgeTraction carries the stress at the 2 × 2 integration points linearly to
// the ends of the element's edge and returns normal and shear traction there.
func (m *faceMesh) edgeTraction(j Joint, s side, get stresses) (atFirst, atSecond [2]float64, err error) {
	at, err := get(s.elem)
	if err != nil {
		return atFirst, atSecond, err
	}
	corner := func(k int) [3]float64 {
		xi := [4]float64{-1, 1, 1, -1}[k] / gauss
		eta := [4]float64{-1, -1, 1, 1}[k] / gauss
		var v [3]float64
		for c := range 3 {
			v[c] = ((1-xi)*(1-eta)*at[0][0][c] + (1+xi)*(1-eta)*at[0][1][c] +
				(1-xi)*(1+eta)*at[1][0][c] + (1+xi)*(1+eta)*at[1][1][c]) / 4
		}
		return v
	}
	dir := j.To.minus(j.From)
	dir = Vec2{dir[0] / dir.norm(), dir[1] / dir.norm()}
	n := Vec2{dir[1], -dir[0]} // from A (left) to B (right)
	on := func(v [3]float64) [2]float64 {
		tx, ty := v[0]*n[0]+v[2]*n[1], v[2]*n[0]+v[1]*n[1]
		return [2]float64{tx*n[0] + ty*n[1], tx*dir[0] + ty*dir[1]}
	}
	return on(corner(s.edge)), on(corner((s.edge + 1) % 4)), nil
}

// integrate integrates the linear traction a…b of a side over the part of it inside span.
func integrate(s side, a, b [2]float64, span [2]float64) (normal, shear float64) {
	s0, s1 := s.s0, s.s1
	if s0 > s1 {
		s0, s1, a, b = s1, s0, b, a
	}
	lo, hi := math.Max(s0, span[0]), math.Min(s1, span[1])
	if hi <= lo {
		return 0, 0
	}
	mid := ((lo+hi)/2 - s0) / (s1 - s0)
	return (a[0] + (b[0]-a[0])*mid) * (hi - lo), (a[1] + (b[1]-a[1])*mid) * (hi - lo)
}
