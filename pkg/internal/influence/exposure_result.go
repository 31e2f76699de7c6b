package influence

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/flatness"
	"github.com/tanrad/tanrad/pkg/internal/matrix"
	"github.com/tanrad/tanrad/pkg/internal/plate"
	"github.com/tanrad/tanrad/pkg/joint"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// ExposureResult is one exposure judged.
type ExposureResult struct {
	LoadHistory *LoadHistory
	Worst       int          // the worst joint, −1 when wood governs or nothing is stressed
	Wood        insideResult // the place, when wood governs
	Critical    Critical     // there
	load        *Load        // at its worst time
	Place       int          // index of the worst time
	Hour        float64      // h, the worst time
	Elastic     float64      // worst utilisation with no relaxation
	Line        LineMoment   // the worst glue line, by the coupled criterion
	End         LineMoment   // the worst that opens from the rim of the board; no line where none does
	Faces       Faces        // glue lines that open from a face
	Path        PathMoment   // the worst split of the wood
	InWood      [2]float64   // where it governs, the most of its wood by stress over strength: eased, and if nothing eased
	most        float64      // highest stress over strength of any joint, and of any line at the rim
	joints      []Moment     // every joint at its own worst time
	loads       []*Load      // at every time
	press       Moment       // the joint pressed hardest
	Utilise     []float64    // over time
	Cup         []float64    // mm, over time
	Bow         []float64    // mm
	Twist       []float64    // mm
	Width       []float64    // mm
	Height      []float64    // mm
	Most        peaks
	Stands      Standing     // how it lies when it is furthest out of flat
	OutOfFlat   []float64    // over its limit, over time
	Bond        Bonding      // what it asks of the glue itself
	Check       selfStress   // tension that balances itself inside a piece
	Opens       SurfaceCheck // how deep the wood opens from a face; no depth where it does not
}

// peaks are the largest cup, bow and twist [mm] of a history with their hours.
type peaks struct{ Cup, CupHour, Bow, BowHour, Twist, TwistHour float64 }

// selfStress is the worst self-balanced tension of a history.
type selfStress struct {
	U     float64
	Piece int
	Level string  // "top face", "core", "bottom face"
	Hour  float64 // h
}

// judgeExposure judges every time of an exposure. Errors: the context's own.
func (m *Model) judgeExposure(ctx context.Context, c *LoadHistory) (*ExposureResult, error) {
	a := &ExposureResult{LoadHistory: c, Worst: -1, press: Moment{Joint: -1}, joints: make([]Moment, len(m.Joints))}
	square := 0.0 // of stress over strength with no relaxation, at worst
	for i := range c.Times {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		scale := m.Strengths(c.Moistures(i))
		l := m.At(c, c.Stress, i, scale)
		l.rims, l.at, l.rim = c.rims, i, 1
		a.loads = append(a.loads, l)
		bare := m.At(c, c.Shape, i, scale)
		elastic := m.elasticAt(c, i, scale)
		u := 0.0
		for j := range m.Joints {
			jm := &m.Joints[j]
			lim := m.limitsAt(jm, l)
			d := m.worst(jm, l, &lim)
			now := Moment{Joint: j, D: d, Load: l, State: c.ID(), Hour: c.Times[i]}
			if a.joints[j].Load == nil || verdict.Worse(d.U, a.joints[j].D.U) {
				a.joints[j] = now
			}
			u = max(u, d.U)
			if verdict.Worse(d.Press, a.press.D.Press) {
				a.press = now
			}
			if verdict.Worse(d.U, a.Critical.U) {
				a.Worst, a.Critical, a.load, a.Place, a.Hour = j, d, l, i, c.Times[i]
			}
			for w := range jm.Intervals {
				m.levels(jm, elastic, w, func(level int, n, t float64) { square = max(square, lim.at(level).Square(n, t)) })
			}
		}
		u = max(u, m.rimPeak(l))
		a.most, a.Elastic = max(a.most, u), max(a.Elastic, u, math.Sqrt(square))
		s := m.shapeAt(bare)
		a.Utilise = append(a.Utilise, u)
		a.Cup, a.Bow, a.Twist = append(a.Cup, s.cup), append(a.Bow, s.bow), append(a.Twist, s.twist)
		a.Width, a.Height = append(a.Width, s.width), append(a.Height, s.height)
		peak(&a.Most.Cup, &a.Most.CupHour, s.cup, c.Times[i])
		peak(&a.Most.Bow, &a.Most.BowHour, s.bow, c.Times[i])
		peak(&a.Most.Twist, &a.Most.TwistHour, s.twist, c.Times[i])
		a.OutOfFlat = append(a.OutOfFlat, m.index(&s))
		a.Stands.Peak = max(a.Stands.Peak, a.OutOfFlat[i])
		m.surfaceStresses(&a.Check, c, i)
	}
	a.Bond = m.bonding(c)
	if at := flatness.Default().Longest(c.Times, a.OutOfFlat); at >= 0 {
		a.Stands.Index, a.Stands.Hour, a.Stands.Time = a.OutOfFlat[at], c.Times[at], at
		m.lies(&a.Stands, c, at)
	}
	a.Opens = c.deepest()
	return a, nil
}

// conclude tells an exposure by the worst crack of its glue lines and of its wood.
// Errors: those of near, and the context's.
func (a *ExposureResult) conclude(ctx context.Context, m *Model, near func(piece int) (*pieceUnits, error)) error {
	most := a.most // by stress
	a.Worst, a.Critical, a.load = -1, Critical{}, nil
	if a.Line.Load != nil {
		at := m.MomentOf(&a.Line)
		a.Worst, a.Critical, a.load, a.Place, a.Hour = at.Joint, at.D, at.Load, a.Line.Time, at.Hour
	}
	if p := &a.Path; p.Load != nil && verdict.Worse(p.Result.V, a.Critical.U) {
		a.Worst, a.Wood = -1, p.wood()
		a.Critical, a.load, a.Place, a.Hour = Critical{U: p.Result.V, Stress: p.Result.Stress, How: joint.Splits}, p.Load, p.Time, p.Hour
		n, err := near(p.Piece)
		if err == nil {
			err = a.byWood(ctx, m, p.Piece, n)
		}
		if err != nil {
			return err
		}
		most, a.Elastic = a.InWood[0], a.InWood[1]
	}
	if most > 0 { // of degree one in the load: between the times told it follows the stress
		for i := range a.Utilise {
			a.Utilise[i] *= a.Critical.U / most
		}
		a.Elastic *= a.Critical.U / most
	}
	return nil
}

// byWood tells over time what is asked of the wood of a piece, by stress over strength, in
// the place of the joints. Errors: the context's.
func (a *ExposureResult) byWood(ctx context.Context, m *Model, piece int, near *pieceUnits) error {
	c := a.LoadHistory
	for i, l := range a.loads {
		if err := ctx.Err(); err != nil {
			return err
		}
		a.Utilise[i] = m.woodNear(l, near, piece).U
		elastic := m.woodNear(m.elasticAt(c, i, m.Strengths(c.Moistures(i))), near, piece).U
		a.InWood = [2]float64{math.Max(a.InWood[0], a.Utilise[i]), math.Max(a.InWood[1], elastic)}
	}
	return nil
}

// peak keeps the larger of two rises with its hour.
func peak(most, hour *float64, now, at float64) {
	if verdict.Worse(math.Abs(now), math.Abs(*most)) {
		*most, *hour = now, at
	}
}

// surfaceStresses looks for tension that balances itself inside a piece: a face that
// dries before the wood below it, or a core pulled by faces that swell. It is
// the same in a block that was never glued; it raises checks across the rays.
func (m *Model) surfaceStresses(e *selfStress, c *LoadHistory, i int) {
	for k := range m.Kinds {
		for l, name := range [3]string{"bottom face", "core", "top face"} {
			if u := c.Shape[k].through.pull[l][i]; verdict.Worse(u, e.U) {
				*e = selfStress{u, m.Kinds[k].surface.piece, name, c.Times[i]}
			}
		}
	}
}

// deepest is the deepest check of all kinds.
func (c *LoadHistory) deepest() (out SurfaceCheck) {
	for k := range c.Mean {
		if s := c.Shape[k].through.check; s.Depth > out.Depth {
			out = s
		}
	}
	return out
}

// surfaceStress is the piece of a kind that a face drier than the wood below it pulls
// hardest: rings of different direction make different stress of one moisture.
type surfaceStress struct {
	piece  int
	stress float64 // MPa for one % MC held back, largest principal one
}

func (s *surfaceStress) add(piece int, w *plate.Wood) {
	q := matrix.Times(&w.Q, &w.Unit)
	if p := (q[0]+q[1])/2 + math.Hypot((q[0]-q[1])/2, q[2]); p > s.stress {
		s.piece, s.stress = piece, p
	}
}
