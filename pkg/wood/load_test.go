package wood

import (
	"cmp"
	"fmt"
	"io/fs"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
)

// broken copies the tables with one change, and fails when the change changes nothing.
func broken(t *testing.T, table, old, new string) fs.FS {
	t.Helper()
	files := fstest.MapFS{}
	names, err := fs.Glob(data.Files, "*.csv")
	require.NoError(t, err)
	for _, name := range names {
		b, err := fs.ReadFile(data.Files, name)
		require.NoError(t, err)
		if name == table {
			require.Contains(t, string(b), old)
			b = []byte(strings.Replace(string(b), old, new, 1))
		}
		files[name] = &fstest.MapFile{Data: b}
	}
	return files
}

func TestTheTablesThemselvesLoad(t *testing.T) {
	lib, err := load(data.Files)
	require.NoError(t, err)
	assert.NotEmpty(t, lib.complete)
}

func TestLoaderRefuses(t *testing.T) {
	const maple = "sugar-maple,shrinkage_t,9.9,%,green-to-dry,,,,WH282-T4-3,seen,"
	const beech = "american-beech,sg_basic,0.56,1,dry-mass/green-volume,,,,FIA-REF,seen,"
	for _, c := range []struct{ name, table, old, new, says string }{
		{"no source", "species_values.csv", maple, strings.Replace(maple, "WH282-T4-3", "", 1), "no source"},
		{"unknown source", "species_values.csv", maple, strings.Replace(maple, "WH282-T4-3", "HEARSAY", 1), "HEARSAY"},
		{"unknown status", "species_values.csv", maple, strings.Replace(maple, "seen", "sure", 1), `status "sure"`},
		{"unknown unit", "species_values.csv", maple, strings.Replace(maple, "%", "percent", 1), `unit "percent"`},
		{"text for a number", "species_values.csv", maple, strings.Replace(maple, "9.9", "9,9", 1), "wrong number of fields"},
		{"words for a number", "species_values.csv", maple, strings.Replace(maple, "9.9", "much", 1), `value "much" is not a number`},
		{"not a number", "species_values.csv", maple, strings.Replace(maple, "9.9", "NaN", 1), "not above 0"},
		{"negative", "species_values.csv", maple, strings.Replace(maple, "9.9", "-9.9", 1), "not above 0"},
		{"tangential below radial", "species_values.csv", maple, strings.Replace(maple, "9.9", "4.7", 1), "sugar-maple shrinks less tangentially (4.7 %) than radially (4.8 %)"},
		{"impossible shrinkage", "species_values.csv", maple, strings.Replace(maple, "9.9", "99", 1), "shrinkage_t of sugar-maple is 99, outside what wood can have (0.5 to 25)"},
		{"impossible density", "species_values.csv", beech, strings.Replace(beech, "0.56", "1.56", 1), "sg_basic of american-beech is 1.56, outside"},
		{"too light", "species_values.csv", beech, strings.Replace(beech, "0.56", "0.03", 1), "sg_basic of american-beech is 0.03, outside"},
		{"a slip of unit", "strength_table.csv", "red-alder,\"Alder, red\",hardwood,mor,68000,kPa", "red-alder,\"Alder, red\",hardwood,mor,68000,MPa", "strength_table.csv line 3: mor of red-alder is 68000, outside"},
		{"outside its own range", "species_values.csv", "0.765,1,dry-mass/green-volume,,0.71,0.82", "0.765,1,dry-mass/green-volume,,0.78,0.82", "sg_basic is 0.765, outside its own range of 0.78 to 0.82"},
		{"tested in the wet", "species_values.csv", "kempas,moe,18.5,GPa,clear-wood-mean,15", "kempas,moe,18.5,GPa,clear-wood-mean,150", "tested at 150 % moisture"},
		{"lighter when dry", "species_values.csv", beech, strings.Replace(beech, "0.56", "0.66", 1), "american-beech is lighter at 12 %"},
		{"a value twice", "species_values.csv", maple, maple + "\n" + maple, "shrinkage_t of sugar-maple is given twice"},
		{"a value in two tables", "species_values.csv", maple, maple + "\nsugar-maple,moe,12.6,GPa,clear-wood-mean,12,,,WH190-T5-3a,seen,", "moe of sugar-maple is given twice"},
		{"a lost shrinkage", "species_values.csv", maple + "\n", "", "sugar-maple lacks a shrinkage"},
		{"wood without a name", "species_values.csv", "sugar-maple,shrinkage_t", "suger-maple,shrinkage_t", `wood "suger-maple"`},
		{"a name twice", "species.csv", "zebrano;zingana", "zebrano;zingana;wenge", `"wenge" already means`},
		{"an id twice", "species.csv", "red-alder,Red alder", "black-ash,Red alder", `"black-ash" is given twice`},
		{"no class", "species.csv", "Apple,Apple,Malus domestica,,hardwood", "Apple,Apple,Malus domestica,,fruit", `class "fruit"`},
		{"a lost column", "species_values.csv", "species,property,value", "species,property,figure", `no column "value"`},
		{"a reason for a complete wood", "incomplete.csv", "gray-birch", "teak,nothing,none,,\ngray-birch", "teak has both shrinkages"},
		{"kin of nobody", "elastic_kin.csv", "scarlet-oak,northern-red-oak", "scarlet-oak,cork-oak", "cannot take the row"},
		{"half a trend", "moisture_trends.csv", "moe_perp,20", "moe_perq,20", "no complete trend for moe_perp"},
		{"no relation", "elastic_regression.csv", "power,softwood,,e_t,632", "power,softwood,,e_x,632", "no power law for e_t of a softwood"},
		{"source without licence", "sources.csv", `"US government work, public domain"`, "", "must all be given"},
		{"alternative without reason", "alternatives.csv", ",follows from S_T 8.5", ",", "no reason"},
		{"a note of nobody", "wood_notes.csv", "red-alder", "red-elder", `"red-elder"`},
		{"a note of no kind", "wood_notes.csv", "red-alder,health", "red-alder,hearsay", `kind "hearsay"`},
		{"no such appendix", "trade_convention.csv", "afrormosia,II", "afrormosia,IV", `appendix "IV"`},
		{"no date", "trade_convention.csv", "afrormosia,II,1992-06-11", "afrormosia,II,long ago", `"long ago" is not a date`},
		{"a trade name twice", "names.csv", "Buche,de,", "Walnut European,de,", "already means european-walnut"},
		{"a trade name in no language", "names.csv", "Buche,de,", "Buche,xx,", `language "xx"`},
		{"a sense that is not listed", "name_senses.csv", "walnut,black-walnut,", "walnut,teak,", "not among its senses"},
		{"an id that means another wood", "name_senses.csv", "roble,roble,roble,", "roble,roble,european-oak,", `name "roble" already means roble`},
		{"a sense without figures", "name_senses.csv", "lacewood,leopardwood,leopardwood", "lacewood,silky-oak,leopardwood", "silky-oak, which has no figures"},
		{"a stand-in of nobody", "incomplete.csv", ",australian-blackwood,same genus", ",australian-redwood,same genus", `"australian-redwood"`},
		{"a stand-in without a reason", "incomplete.csv", ",australian-blackwood,same genus", ",australian-blackwood,", "has no reason"},
		{"movement of nobody", "differential_shrinkage.csv", "afrormosia,afrormosia", "afrormoza,afrormosia", `"afrormoza"`},
		{"tangential below radial in a table", "differential_shrinkage.csv", "differential_t,0.32", "differential_t,0.12", "afrormosia moves less tangentially (0.12) than radially (0.18)"},
		{"no relation group", "species.csv", "#c3a06b,temperate", "#c3a06b,polar", `relation "polar"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			lib, err := load(broken(t, c.table, c.old, c.new))
			require.Error(t, err)
			assert.Nil(t, lib, "whole or nothing")
			assert.Contains(t, err.Error(), c.says)
			assert.Regexp(t, `^(table )?[a-z_]+\.csv`, err.Error(), "the table is named")
		})
	}
}

// Figures not taken are told in one order, those of the table and those that another
// figure overruled among them.
func TestAlternativesStandInOneOrder(t *testing.T) {
	several := 0
	for _, w := range All() {
		list := w.Alternatives()
		assert.True(t, slices.IsSortedFunc(list, func(a, b Alternative) int { return cmp.Compare(a.Property, b.Property) }), w.ID)
		if len(list) > 1 {
			several++
		}
	}
	assert.Positive(t, several)
}

func TestUnstableConstantsAreRefused(t *testing.T) {
	lib, err := load(data.Files)
	require.NoError(t, err)
	s := lib.byName["sugarmaple"]
	for name, spoil := range map[string]func(*Elastic){
		"ν_RT too large": func(e *Elastic) { e.NuRT = 1.01 * math.Sqrt(e.ER/e.ET) },
		"no shear":       func(e *Elastic) { e.GRT = 0 },
		"negative":       func(e *Elastic) { e.ET = -e.ET },
		"not a number":   func(e *Elastic) { e.GLR = math.NaN() },
		"jointly too far": func(e *Elastic) {
			e.NuLR, e.NuLT, e.NuRT = 0.6*math.Sqrt(e.EL/e.ER), 0.6*math.Sqrt(e.EL/e.ET), 0.6*math.Sqrt(e.ER/e.ET)
		},
	} {
		kept := s.elastic.at12
		spoil(&s.elastic.at12)
		_, err := s.Elastic(8)
		assert.ErrorContains(t, err, "not positive definite", name)
		s.elastic.at12 = kept
	}
	_, err = s.Elastic(8)
	assert.NoError(t, err)
}

// Figures keep their print: converted in memory, they print back as they were read.
func TestFiguresPrintBackAsTheyWereRead(t *testing.T) {
	lib, err := load(data.Files)
	require.NoError(t, err)
	rows, err := data.Read(data.Files, "strength_table.csv", "species", "property", "value", "unit")
	require.NoError(t, err)
	back := map[string]func(*Species) float64{
		"mor": func(s *Species) float64 { return s.MOR.V * 1e3 }, "moe": func(s *Species) float64 { return s.MOE.V * 1e3 },
		"shear_parallel": func(s *Species) float64 { return s.Shear.V * 1e3 }, "tension_perp": func(s *Species) float64 { return s.TPerp.V * 1e3 },
		"compression_perp": func(s *Species) float64 { return s.CPerp.V * 1e3 }, "side_hardness": func(s *Species) float64 { return s.Hardness.V },
	}
	zeros := regexp.MustCompile(`\.0+$`)
	n := 0
	for _, r := range rows {
		f, ok := back[r.Get("property")]
		if !ok || r.Get("species") == "" {
			continue
		}
		n++
		assert.Equal(t, r.Get("value"), zeros.ReplaceAllString(fmt.Sprintf("%.3f", f(lib.byName[key(r.Get("species"))])), ""), "%s line %d", r.Table, r.Line)
	}
	assert.Greater(t, n, 500)
}

func TestEditsCountASwapAsOne(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "oak", 3}, {"teak", "teak", 0}, {"taek", "teak", 1}, {"walnit", "walnut", 1}, {"wenge", "weng", 1}, {"beech", "leech", 1}, {"ash", "elm", 3}} {
		assert.Equal(t, c.want, fault.Distance(c.a, c.b), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, fault.Distance(c.b, c.a), "%s %s", c.b, c.a)
	}
}
