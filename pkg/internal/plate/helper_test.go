package plate

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/internal/mesh"
	"github.com/tanrad/tanrad/pkg/layout"
)

// ugly is an orthotropic wood of made-up constants (MPa and per % MC), its first
// axis turned by an angle [degrees] in the board's plane: nothing is equal,
// nothing is nil.
type ugly struct {
	e1, e2, nu12, g12 float64
	gx, gy            float64
	swell1, swell2    float64
	angle             float64
}

var (
	maple  = ugly{1430, 760, 0.81, 295, 910, 1180, 0.0017, 0.0036, 37}
	walnut = ugly{1210, 655, 0.72, 240, 870, 990, 0.0019, 0.0027, -21}
)

func (u ugly) at(angle float64) Wood {
	u.angle = angle
	return u.wood()
}

func (u ugly) wood() Wood {
	nu21 := u.nu12 * u.e2 / u.e1
	d := 1 - u.nu12*nu21
	q := [3][3]float64{{u.e1 / d, nu21 * u.e1 / d, 0}, {u.nu12 * u.e2 / d, u.e2 / d, 0}, {0, 0, u.g12}}
	s, c := math.Sincos(u.angle * math.Pi / 180)
	// Strain in wood axes from strain in board axes.
	t := [3][3]float64{{c * c, s * s, s * c}, {s * s, c * c, -s * c}, {-2 * s * c, 2 * s * c, c*c - s*s}}
	var w Wood
	for i := range t {
		for j := range t {
			for a := range t {
				for b := range t {
					w.Q[i][j] += t[a][i] * q[a][b] * t[b][j]
				}
			}
		}
	}
	w.G = [2][2]float64{{u.gx*c*c + u.gy*s*s, (u.gx - u.gy) * s * c}, {(u.gx - u.gy) * s * c, u.gx*s*s + u.gy*c*c}}
	w.Unit = [3]float64{u.swell1*c*c + u.swell2*s*s, u.swell1*s*s + u.swell2*c*c, 2 * (u.swell1 - u.swell2) * s * c}
	w.Shear = [2]float64{0.0007 * c, 0.0007 * s}
	w.Bend = [3]float64{2e-5 * c * c, 2e-5 * s * s, 4e-5 * s * c}
	return w
}

// pieces makes a board file of outlines; stock is of no account here.
func pieces(t testing.TB, thickness float64, outlines ...string) *layout.Board {
	t.Helper()
	var list []string
	for _, o := range outlines {
		list = append(list, fmt.Sprintf(`{"stock":"M","outline":%s}`, o))
	}
	return read(t, fmt.Sprintf(`{"tanrad":1,"name":"pieces","units":"mm","thickness":%g,
		"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8}},
		"field":{"pieces":[%s]},"glue":"pva-crosslinking","finish":"none","glue_up":{"humidity":45,"temperature":20}}`,
		thickness, strings.Join(list, ",")))
}

// grid makes a board of equal blocks.
func grid(t testing.TB, rows, cols int, block, thickness float64, more string) *layout.Board {
	t.Helper()
	row := `"` + strings.Repeat("M", cols) + `"`
	return read(t, fmt.Sprintf(`{"tanrad":1,"name":"grid","units":"mm","thickness":%g,
		"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8}},
		"field":{"grid":{"block":[%g,%g],"rows":[%s]%s}},"glue":"pva-crosslinking","finish":"none","glue_up":{"humidity":45,"temperature":20}}`,
		thickness, block, block, strings.TrimSuffix(strings.Repeat(row+",", rows), ","), more))
}

func read(t testing.TB, src string) *layout.Board {
	t.Helper()
	b, err := layout.Read([]byte(src))
	require.NoError(t, err)
	return b
}

// rect is the outline of a rectangle.
func rect(x0, y0, x1, y1 float64) string {
	return fmt.Sprintf("[[%g,%g],[%g,%g],[%g,%g],[%g,%g]]", x0, y0, x1, y0, x1, y1, x0, y1)
}

func model(t testing.TB, b *layout.Board, woods []Wood, mo mesh.Options, opt Options) *Model {
	t.Helper()
	m, err := mesh.Build(t.Context(), b, mo)
	require.NoError(t, err)
	p, err := New(context.Background(), b, m, woods, opt)
	require.NoError(t, err)
	return p
}

func same(w Wood, n int) []Wood {
	out := make([]Wood, n)
	for i := range out {
		out[i] = w
	}
	return out
}

// mixed gives pieces different woods at random angles.
func mixed(n int, seed uint64) []Wood {
	r := rand.New(rand.NewPCG(seed, 5))
	out := make([]Wood, n)
	for i := range out {
		u := []ugly{maple, walnut}[r.IntN(2)]
		out[i] = u.at(180 * r.Float64())
	}
	return out
}

// ringed is a wood whose first axis points away from a pith.
func ringed(u ugly, pith layout.XY) Wood {
	at := func(p layout.XY) Wood {
		return u.at(math.Atan2(p[1]-pith[1], p[0]-pith[0]) * 180 / math.Pi)
	}
	w := at(layout.XY{pith[0] + 20, pith[1] + 13})
	w.At = at
	return w
}

func some(n int, seed uint64) []float64 {
	r := rand.New(rand.NewPCG(seed, 9))
	out := make([]float64, n)
	for i := range out {
		out[i] = 6*r.Float64() - 2
	}
	return out
}

func norm(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x * x
	}
	return math.Sqrt(s)
}

// isotropic is the plane-stress stiffness of a modulus [MPa] and Poisson's ratio.
func isotropic(e, nu float64) [3][3]float64 {
	f := e / (1 - nu*nu)
	return [3][3]float64{{f, nu * f, 0}, {nu * f, f, 0}, {0, 0, f * (1 - nu) / 2}}
}
