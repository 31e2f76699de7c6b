package derive

import (
	"fmt"

	"github.com/tanrad/tanrad/pkg/internal/risk"
	"github.com/tanrad/tanrad/pkg/verdict"
)

// Figure is how near a board comes to a limit, as it was judged.
type Figure struct {
	Of      string      // the word that asks for it
	Name    string      // the way to fail, in a maker's words
	State   string      // end state or exposure
	Value   float64     // over its limit, dimensionless
	Scatter []risk.Part // of its logarithm; none of a rule
}

// chance goes from a figure over its limit to its word: what scatters it, the chance
// that it passes the limit, and the range that nine boards in ten are in.
func (b *base) chance(u Number, f Figure) {
	if u.Value <= 0 {
		return
	}
	if len(f.Scatter) == 0 {
		b.holds("the word: a rule does not scatter", "v_w = "+u.Symbol, "1", u.Value, nil, wordOf(u.Value, "v_w"), u)
		return
	}
	text, in := "σ = √(", make([]Number, 0, len(f.Scatter))
	for k, p := range f.Scatter {
		if k > 0 {
			text += " + "
		}
		n := Number{Symbol: fmt.Sprintf("σ_%d", k+1), Value: p.Spread, Unit: "1", Source: p.Source, Status: p.Status, Note: p.Name}
		text, in = text+n.Symbol+"^2", append(in, n)
	}
	together, crack := risk.Together(f.Scatter), risk.Spread()
	spread := b.holds("scatter of the logarithm of the figure", text+")", "1", together, []string{"CORNETTI06"}, "each scatters by its own share times its power in the figure: data/chance.csv", in...)
	note := ""
	if together == crack {
		note = wordOf(u.Value, u.Symbol)
	}
	b.holds("chance of the model that it gives", "p = Φ(ln("+u.Symbol+")/σ)", "1", risk.Chance(u.Value, together), nil, note, u, spread)
	if together != crack {
		of := given("σ_c", crack, "1", "scatter of a crack, by which the words are set")
		b.holds("load over the critical one of a crack that is as likely", "v_w = "+u.Symbol+"^(σ_c/σ)", "1", risk.Scale(f.Scatter).AsCrack(u.Value), nil, wordOf(risk.Scale(f.Scatter).AsCrack(u.Value), "v_w"), u, spread, of)
	}
	z := given("z", risk.OneInTwenty, "1", "one in twenty lies further out")
	b.reckon("one board in twenty stays below", "v_lo = "+u.Symbol+"·exp(−z·σ)", "1", nil, u, z, spread)
	b.reckon("one board in twenty passes", "v_hi = "+u.Symbol+"·exp(z·σ)", "1", nil, u, z, spread)
}

func wordOf(v float64, symbol string) string {
	return fmt.Sprintf("the word is %s; tight, doubtful and fails begin at %g, %g and %g of %s", verdict.Of(v), verdict.FromTight, verdict.FromDoubtful, verdict.FromFails, symbol)
}

// Nothing says that there is nothing to derive, and why.
func Nothing(f Figure, why string) *Derivation {
	b := newBase(nil, nil, f.Of, f.State, 0)
	b.d.Text = why
	b.cite()
	return b.d
}
