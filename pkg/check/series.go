package check

import "math"

// series thins a history to at most n points, always keeping the first, the
// last and the worst.
func (a *answer) series(m *Model, c *course, n int) *Series {
	if n <= 0 {
		return nil
	}
	s := &Series{Moisture: map[string][]float64{}}
	total := len(c.times)
	step := math.Max(1, float64(total-1)/math.Max(1, float64(n-1)))
	last := -1
	for x := 0.0; ; x += step {
		i := int(math.Round(x))
		if i >= total {
			break
		}
		if last < a.place && i > a.place {
			s.take(m, a, c, a.place)
		}
		if i != a.place || last < i {
			s.take(m, a, c, i)
		}
		last = i
	}
	if last != total-1 {
		s.take(m, a, c, total-1)
	}
	return s
}

func (s *Series) take(m *Model, a *answer, c *course, i int) {
	if n := len(s.Hours); n > 0 && s.Hours[n-1] >= c.times[i] {
		return
	}
	s.Hours = append(s.Hours, c.times[i])
	s.Utilisation = append(s.Utilisation, a.utilise[i])
	s.Cup, s.Bow, s.Twist = append(s.Cup, a.cup[i]), append(s.Bow, a.bow[i]), append(s.Twist, a.twist[i])
	s.Width, s.Height = append(s.Width, a.width[i]), append(s.Height, a.height[i])
	for k := range m.kinds {
		s.Moisture[m.kinds[k].name] = append(s.Moisture[m.kinds[k].name], c.mean[k][i])
	}
}
