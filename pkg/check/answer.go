package check

import (
	"context"
	"math"

	"github.com/tanrad/tanrad/pkg/internal/plate"
)

// answer is one exposure judged.
type answer struct {
	Exposure
	worst     int
	demand    demand
	load      *load
	joints    []demand
	hours     []float64 // per joint
	loads     []*load   // per joint
	place     int       // index of the worst time
	press     float64   // hardest pressure on a joint over what crushes the wood
	pressed   int       // the joint
	pressHour float64
	utilise   []float64 // over time
	cup, bow  []float64
	twist     []float64
	width     []float64
	height    []float64
}

func (m *Model) answer(ctx context.Context, c *course) (*answer, error) {
	a := &answer{worst: -1, joints: make([]demand, len(m.joints)), hours: make([]float64, len(m.joints)), loads: make([]*load, len(m.joints))}
	a.Name, a.Text = c.shown.Key, c.shown.Text
	a.Hours = c.times[len(c.times)-1]
	mc := make([]float64, len(m.kinds))
	for i := range c.times {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for k := range mc {
			mc[k] = c.mean[k][i]
		}
		scale := m.strengths(mc)
		l := m.at(c.stress, i, scale)
		bare := m.at(c.shape, i, scale)
		l.wet = c.wet(i)
		bare.wet = l.wet
		u := 0.0
		for j := range m.joints {
			d := m.worst(j, l)
			if d.u > a.joints[j].u || a.loads[j] == nil {
				a.joints[j], a.hours[j], a.loads[j] = d, c.times[i], l
			}
			u = math.Max(u, d.u)
			if d.press > a.press {
				a.press, a.pressed, a.pressHour = d.press, j, c.times[i]
			}
			if d.u > a.Utilisation {
				a.Utilisation, a.worst, a.demand, a.load, a.place, a.WorstHour = d.u, j, d, l, i, c.times[i]
			}
			a.Elastic = math.Max(a.Elastic, m.worst(j, bare).u)
		}
		s := m.shapeAt(bare)
		a.utilise = append(a.utilise, u)
		a.cup, a.bow, a.twist = append(a.cup, s.cup), append(a.bow, s.bow), append(a.twist, s.twist)
		a.width, a.height = append(a.width, s.width), append(a.height, s.height)
		peak(&a.Cup, &a.CupHour, s.cup, c.times[i])
		peak(&a.Bow, &a.BowHour, s.bow, c.times[i])
		peak(&a.Twist, &a.TwistHour, s.twist, c.times[i])
		m.skins(&a.Exposure, c, i, scale)
	}
	a.Verdict = VerdictOf(a.Utilisation)
	if a.worst >= 0 && a.Utilisation > quiet {
		a.Worst = m.board.Joints[a.worst].ID
	}
	return a, nil
}

// peak keeps the larger of two rises with its hour.
func peak(most, hour *float64, now, at float64) {
	if math.Abs(now) > math.Abs(*most) {
		*most, *hour = now, at
	}
}

// skins looks for tension that balances itself inside a piece: a face that
// dries before the wood below it, or a core pulled by faces that swell. It is
// the same in a block that was never glued; it raises checks across the rays.
// Creep while the moisture changes (mechano-sorption), which is not in the
// model, takes much of it away: the figure errs on the side of warning.
func (m *Model) skins(e *Exposure, c *course, i int, scale []kindScale) {
	for k := range m.kinds {
		worst := &m.kinds[k].skin
		st := &m.sides[worst.piece].Strength
		for l, name := range [3]string{"bottom face", "core", "top face"} {
			// Largest principal tension against the smaller strength across the grain.
			u := -c.stress[k].rest[l][i] * worst.stress / (math.Min(st.TensionR, st.TensionT) * scale[k].tension)
			if u > e.Checking {
				e.Checking, e.CheckingPiece, e.CheckingLevel, e.CheckingHour = u, m.board.Pieces[worst.piece].ID, name, c.times[i]
			}
		}
	}
}

// skin is the piece of a kind that a face drier than the wood below it pulls
// hardest: rings of different direction make different stress of one moisture.
type skin struct {
	piece  int
	stress float64 // MPa for one % MC held back, largest principal one
}

func (s *skin) add(piece int, w *plate.Wood) {
	q := mulStrain(&w.Q, &w.Unit)
	if p := (q[0]+q[1])/2 + math.Hypot((q[0]-q[1])/2, q[2]); p > s.stress {
		s.piece, s.stress = piece, p
	}
}

func mulStrain(q *[3][3]float64, e *[3]float64) (s [3]float64) {
	for a := range s {
		for b := range e {
			s[a] += q[a][b] * e[b]
		}
	}
	return s
}
