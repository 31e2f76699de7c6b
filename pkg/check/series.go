package check

import (
	"math"

	"github.com/tanrad/tanrad/pkg/internal/influence"
)

// series thins a history to at most n points, always keeping the first, the
// last and the worst.
func (m reporter) series(a *influence.ExposureResult, n int) *Series {
	if n <= 0 {
		return nil
	}
	c := a.LoadHistory
	s := &Series{Moisture: map[string][]float64{}}
	total := len(c.Times)
	step := math.Max(1, float64(total-1)/math.Max(1, float64(n-1)))
	last := -1
	for x := 0.0; ; x += step {
		i := int(math.Round(x))
		if i >= total {
			break
		}
		if last < a.Place && i > a.Place {
			s.take(m, a, a.Place)
		}
		if i != a.Place || last < i {
			s.take(m, a, i)
		}
		last = i
	}
	if last != total-1 {
		s.take(m, a, total-1)
	}
	return s
}

func (s *Series) take(m reporter, a *influence.ExposureResult, i int) {
	c := a.LoadHistory
	if n := len(s.Hours); n > 0 && s.Hours[n-1] >= c.Times[i] {
		return
	}
	s.Hours = append(s.Hours, c.Times[i])
	s.Utilisation = append(s.Utilisation, a.Utilise[i])
	s.Cup, s.Bow, s.Twist = append(s.Cup, a.Cup[i]), append(s.Bow, a.Bow[i]), append(s.Twist, a.Twist[i])
	s.Width, s.Height = append(s.Width, a.Width[i]), append(s.Height, a.Height[i])
	for k, name := range m.KindNames() {
		s.Moisture[name] = append(s.Moisture[name], c.Mean[k][i])
	}
}
