package check

import (
	"math"
	"sort"
	"strings"

	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/verdict"
)

const (
	shareFloor = 0.005 // shares smaller than this are not listed
	roundOff   = 1e-9  // nor is a rest that is nothing else
)

// causes lists the shares of the worst joint's demand by mechanism, by wood and
// by piece; those of one kind sum to 1, the small ones gathered at the end.
func (m reporter) causes(in *influence.Linear, l *influence.Load) []Share {
	out := tidy("mechanism", m.MechanismShares(in, l), "the rest", 8)
	per := m.PieceShares(in, l)
	all := 0.0
	for _, v := range per {
		all += v
	}
	woods := map[string]float64{}
	pieces := make([]influence.Share, 0, len(per))
	for i, v := range per {
		pc := &m.Board.Pieces[i]
		name := strings.ToLower(m.Sides[i].Species.CommonName)
		if pc.Border >= 0 {
			name += " of the border"
		}
		woods[name] += v / all
		pieces = append(pieces, influence.Share{Name: pc.ID, Share: v / all})
	}
	var byWood []influence.Share
	for n, v := range woods {
		byWood = append(byWood, influence.Share{Name: n, Share: v})
	}
	out = append(out, tidy("wood", byWood, "other woods", 8)...)
	return append(out, tidy("piece", pieces, "all other pieces", 8)...)
}

// tidy sorts shares by size and gathers all but the largest few.
func tidy(kind string, s []influence.Share, rest string, most int) []Share {
	sort.SliceStable(s, func(a, b int) bool {
		if x, y := verdict.Rank(math.Abs(s[a].Share)), verdict.Rank(math.Abs(s[b].Share)); x != y {
			return x > y
		}
		return s[a].Name < s[b].Name
	})
	var out []Share
	left := 0.0
	for i, v := range s {
		if i < most && math.Abs(v.Share) >= shareFloor {
			out = append(out, Share{kind, v.Name, v.Share})
		} else {
			left += v.Share
		}
	}
	if math.Abs(left) > roundOff && len(s) > len(out) {
		out = append(out, Share{kind, rest, left})
	}
	return out
}
