package check

import (
	"math"

	"github.com/tanrad/tanrad/pkg/plate"
	"github.com/tanrad/tanrad/pkg/wood"
)

// insideResult is the worst place of the wood away from glue lines.
type insideResult struct {
	u     float64
	piece int
	at    int // element
}

// inside judges the wood of every piece under one load of the membrane: tension
// across the grain and shear on the planes that hold the fibres, averaged over
// at least the wood's characteristic length, against the same quadratic form as
// the joints. It returns the utilisation per piece and the worst of all.
func (m *Model) inside(l *load) ([]float64, insideResult) {
	x := combine(m.shift, l.mean)
	out := make([]float64, len(m.board.Pieces))
	var worst insideResult
	for i := range m.board.Pieces {
		d, _ := m.sides[i].Species.CharacteristicLength()
		els := m.Mesh.ByPiece[i]
		sig := make([][3]float64, len(els))
		for k, e := range els {
			sig[k] = m.Plate.Stress(plate.Membrane, int(e), x, l.mean[m.kindOf[i]])
		}
		for k, e := range els {
			s := m.average(els, sig, k, d)
			u := m.splits(i, int(e), s, l)
			if u > out[i] {
				out[i] = u
			}
			if u > worst.u {
				worst = insideResult{u, i, int(e)}
			}
		}
	}
	return out, worst
}

// average takes the mean over the elements whose middles lie within half of d
// of element k's, when that element alone is smaller.
func (m *Model) average(els []int32, sig [][3]float64, k int, d float64) [3]float64 {
	if m.Plate.Area(int(els[k])) >= d*d {
		return sig[k]
	}
	c := m.Plate.Centre(int(els[k]))
	var sum [3]float64
	area := 0.0
	for q, e := range els {
		p := m.Plate.Centre(int(e))
		if math.Max(math.Abs(p[0]-c[0]), math.Abs(p[1]-c[1])) > d/2 {
			continue
		}
		a := m.Plate.Area(int(e))
		area += a
		for r := range sum {
			sum[r] += a * sig[q][r]
		}
	}
	for r := range sum {
		sum[r] /= area
	}
	return sum
}

// splits gives the utilisation of wood under plane stress s (xx, yy, xy): the
// worst plane through the fibres.
func (m *Model) splits(i, e int, s [3]float64, l *load) float64 {
	f := m.sides[i].Frame
	if m.board.Pieces[i].Pith != nil {
		f = FrameOf(&m.board.Pieces[i], m.Plate.Centre(e))
	}
	st := &m.sides[i].Strength
	ks := kindScale{1, 1}
	if l.strength != nil {
		ks = l.strength[m.kindOf[i]]
	}
	if !m.board.Pieces[i].Grain.Up {
		// Fibres in the face: the plane along the fibres, square to the face.
		n, t := [2]float64{-f.L[1], f.L[0]}, [2]float64{f.L[0], f.L[1]}
		sn, sh := traction(s, n, t)
		ring := math.Atan2(math.Abs(f.T[0]*n[0]+f.T[1]*n[1]), math.Abs(f.R[0]*n[0]+f.R[1]*n[1])) * 180 / math.Pi
		ft := wood.Hankinson(st.TensionR, st.TensionT, ring, 2)
		return math.Hypot(math.Max(0, sn)/(ft*ks.tension), sh/(st.ShearLong*ks.shear))
	}
	worst := 0.0
	for a := 0.0; a < 180; a += 15 {
		sin, cos := math.Sincos(a * math.Pi / 180)
		n, t := [2]float64{cos, sin}, [2]float64{-sin, cos}
		sn, sh := traction(s, n, t)
		ring := math.Atan2(math.Abs(f.T[0]*n[0]+f.T[1]*n[1]), math.Abs(f.R[0]*n[0]+f.R[1]*n[1])) * 180 / math.Pi
		ft := wood.Hankinson(st.TensionR, st.TensionT, ring, 2)
		worst = math.Max(worst, math.Hypot(math.Max(0, sn)/(ft*ks.tension), sh/(st.ShearRolling*ks.shear)))
	}
	return worst
}

func traction(s [3]float64, n, t [2]float64) (sn, sh float64) {
	px, py := s[0]*n[0]+s[2]*n[1], s[2]*n[0]+s[1]*n[1]
	return n[0]*px + n[1]*py, t[0]*px + t[1]*py
}
