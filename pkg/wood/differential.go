package wood

import (
	"io/fs"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

// differential is the movement per % MC of one wood as one table prints it,
// % of the size per % MC.
type differential struct {
	r, t Value
}

func (d differential) mean() float64 { return (d.r.V + d.t.V) / 2 }

// loadDifferential reads the tables of differential shrinkage by wood and source.
func loadDifferential(files fs.FS, byID map[string]*Species, sources map[string]source.Citation) (map[string][]differential, error) {
	rows, err := data.Read(files, "differential_shrinkage.csv", "species", "printed_name", "property", "value", "unit", "source", "status")
	if err != nil {
		return nil, err
	}
	out := make(map[string][]differential)
	for _, r := range rows {
		v, err := readValue(r, r.Get("property"), sources)
		if err != nil {
			return nil, err
		}
		id := r.Get("species")
		if id == "" {
			continue // woods of the printed tables that are not in species.csv
		}
		if _, err := woodOf(r, byID); err != nil {
			return nil, err
		}
		list := out[id]
		if n := len(list); n == 0 || list[n-1].r.Source != v.Source {
			if r.Get("property") != "differential_r" {
				return nil, r.Errorf("the radial figure of %s must stand before the tangential one", id)
			}
			out[id] = append(list, differential{r: v})
			continue
		}
		last := &list[len(list)-1]
		if last.t.Known || r.Get("property") != "differential_t" {
			return nil, r.Errorf("%s of %s in %s is given twice", r.Get("property"), id, v.Source)
		}
		if v.V < last.r.V {
			return nil, r.Errorf("%s moves less tangentially (%v) than radially (%v)", id, v.V, last.r.V)
		}
		last.t = v
	}
	for id, list := range out {
		for _, d := range list {
			if !d.t.Known {
				return nil, rows[0].Errorf("%s has no tangential figure in %s", id, d.r.Source)
			}
		}
	}
	return out, nil
}

// TotalShrinkage returns the total shrinkage [% of the green size] that the law has to
// have for a movement c [per % MC, of the size at 10 % MC] and a fibre saturation point
// [% MC]: S = 100·F·C/(1 + C·(F−10)), the inverse of ChangePerMC.
func TotalShrinkage(c, fsp float64) float64 {
	return 100 * fsp * c / (1 + c*(fsp-10))
}

// settle weighs a wood's own shrinkages against the movement per % MC that other
// tables print for it, mean of radial and tangential. Within 15 % they agree and its own figures stand. Further apart,
// the larger is taken, since a board that moves less than reckoned breaks nothing, and
// the other bounds the range; the figures not taken go to the alternatives. A wood
// without shrinkages of its own takes the table's.
func (s *Species) settle(tables []differential, disagreement float64) {
	if len(tables) == 0 {
		return
	}
	most, least := tables[0], tables[0]
	for _, d := range tables {
		if d.mean() > most.mean() {
			most = d
		}
		// a table read at second hand may warn, not reassure
		if d.mean() < least.mean() && d.t.Status == Seen {
			least = d
		}
	}
	if s.ShrinkR.Known != s.ShrinkT.Known {
		return // half a row is a fault of the tables, not a gap to fill
	}
	if !s.ShrinkR.Known {
		s.ShrinkR, s.ShrinkT = s.fromTable(most.r, least.r), s.fromTable(most.t, least.t)
		s.Disputed = most.mean() > disagreement*least.mean()
		return
	}
	mean := 50 * (ChangePerMC(s.ShrinkR.V, s.fsp.V) + ChangePerMC(s.ShrinkT.V, s.fsp.V))
	switch {
	case most.mean() > disagreement*mean:
		const why = "moves less than another table has it; the larger movement is used"
		r, t := s.ShrinkR, s.ShrinkT
		s.set(&s.ShrinkR, s.fromTable(most.r, Value{}), "shrinkage_r", why)
		s.set(&s.ShrinkT, s.fromTable(most.t, Value{}), "shrinkage_t", why)
		s.ShrinkR.Lo, s.ShrinkT.Lo = min(s.ShrinkR.V, r.V), min(s.ShrinkT.V, t.V)
		s.ShrinkR.Hi, s.ShrinkT.Hi = s.ShrinkR.V, s.ShrinkT.V
		s.set(&s.CR, Value{}, "coefficient_r", why)
		s.set(&s.CT, Value{}, "coefficient_t", why)
		s.Disputed = true
	case mean > disagreement*least.mean():
		// its own figures move more: the table bounds them from below
		s.ShrinkR.Lo = min(s.ShrinkR.V, TotalShrinkage(least.r.V/100, s.fsp.V))
		s.ShrinkT.Lo = min(s.ShrinkT.V, TotalShrinkage(least.t.V/100, s.fsp.V))
		s.ShrinkR.Hi, s.ShrinkT.Hi = max(s.ShrinkR.V, s.ShrinkR.Hi), max(s.ShrinkT.V, s.ShrinkT.Hi)
		s.Disputed = true
	}
	for _, d := range tables {
		const why = "movement per % MC in another table"
		s.alternatives = append(s.alternatives, Alternative{"differential_r", d.r, why}, Alternative{"differential_t", d.t, why})
	}
}

// set replaces a figure and keeps the old one among the alternatives.
func (s *Species) set(at *Value, v Value, property, why string) {
	if at.Known {
		s.alternatives = append(s.alternatives, Alternative{Property: property, Value: *at, Reason: why})
	}
	*at = v
}

// fromTable turns a printed movement per % MC [%/%] into the total shrinkage of the
// law, with that of another table as the lower end where one is given.
func (s *Species) fromTable(v, other Value) Value {
	total := Value{V: TotalShrinkage(v.V/100, s.fsp.V), Known: true, Source: v.Source, Status: worst(Derived, v.Status),
		Note: "total shrinkage that gives the printed movement per % MC"}
	if v.Note != "" {
		total.Note += "; " + v.Note
	}
	if other.Known && other.V < v.V {
		total.Lo, total.Hi = TotalShrinkage(other.V/100, s.fsp.V), total.V
	}
	return total
}
