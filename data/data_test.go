package data_test

import (
	"encoding/csv"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/wood"
)

func tables(t *testing.T) []string {
	t.Helper()
	names, err := fs.Glob(data.Files, "*.csv")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	return names
}

// sourceColumn: "source" or one of a named cell, "porosity_source".
func sourceColumn(name string) bool { return name == "source" || strings.HasSuffix(name, "_source") }

func TestEverySourceIsKnownAndUsed(t *testing.T) {
	rows, err := data.Read(data.Files, "sources.csv", "key", "citation", "licence", "url_or_doi")
	require.NoError(t, err)
	used := make(map[string]bool)
	for _, r := range rows {
		require.NotContains(t, used, r.Get("key"), "key given twice")
		used[r.Get("key")] = false
		assert.NotEmpty(t, r.Get("citation"), r.Get("key"))
		assert.NotEmpty(t, r.Get("licence"), r.Get("key"))
		assert.NotRegexp(t, regexp.MustCompile(`\bC\d{1,3}\b`), r.Get("citation"), "cite the print, not a copy of it")
	}
	for _, table := range tables(t) {
		list, err := data.Read(data.Files, table)
		require.NoError(t, err)
		for _, r := range list {
			for column, key := range r.Cells {
				if !sourceColumn(column) || key == "" {
					continue
				}
				_, known := used[key]
				assert.True(t, known, "%s line %d: %q is not in sources.csv", table, r.Line, key)
				used[key] = true
			}
		}
	}
	code := codeText(t)
	for _, r := range rows {
		key := r.Get("key")
		author, _, _ := strings.Cut(strings.ReplaceAll(r.Get("citation"), ":", ","), ",")
		cited := strings.Contains(code, `"`+key+`"`) || strings.Contains(code, author+" ") || strings.Contains(code, author+",")
		assert.True(t, used[key] || cited, "nobody uses source %q", key)
	}
}

// codeText is the module's code with its comments run together, in which a source
// is used by its quoted key or by the name of its author ("Crank, ch. 1").
func codeText(t *testing.T) string {
	t.Helper()
	var all strings.Builder
	err := filepath.WalkDir("../pkg", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		b, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		all.WriteString(strings.ReplaceAll(string(b), "//", " "))
		return nil
	})
	require.NoError(t, err)
	return strings.Join(strings.Fields(all.String()), " ")
}

func TestEveryStatusIsOneOfTheFive(t *testing.T) {
	for _, table := range tables(t) {
		rows, err := data.Read(data.Files, table)
		require.NoError(t, err)
		for _, r := range rows {
			for column, v := range r.Cells {
				if column == "status" || strings.HasSuffix(column, "_status") && v != "" {
					assert.Contains(t, []string{"seen", "second-hand", "memory", "derived", "estimated"}, v, "%s line %d", table, r.Line)
				}
			}
		}
	}
}

// A value without a source, or a source without a status, is nobody's word.
func TestEveryValueHasItsPassport(t *testing.T) {
	for _, table := range []string{"species_values.csv", "strength_table.csv", "elastic_ratios.csv", "poisson_ratios.csv", "elastic_regression.csv",
		"elastic_measured.csv", "fracture_toughness.csv", "variation.csv", "moisture_trends.csv", "alternatives.csv", "differential_shrinkage.csv"} {
		rows, err := data.Read(data.Files, table, "property", "unit", "source", "status")
		require.NoError(t, err)
		for _, r := range rows {
			for _, column := range []string{"property", "unit", "source", "status"} {
				assert.NotEmpty(t, r.Get(column), "%s line %d has no %s", table, r.Line, column)
			}
			if v := r.Get("value"); v != "" {
				_, err := r.Float("value")
				assert.NoError(t, err)
			}
		}
	}
}

// One property of one wood, in one basis, stands in one row.
func TestKeysAreUnique(t *testing.T) {
	for table, columns := range map[string][]string{
		"species.csv": {"id"}, "species_values.csv": {"species", "property"}, "strength_table.csv": {"printed_name", "property"},
		"elastic_ratios.csv": {"species", "property"}, "poisson_ratios.csv": {"species", "property"}, "elastic_kin.csv": {"species"},
		"variation.csv": {"property"}, "moisture_trends.csv": {"property", "mc"}, "incomplete.csv": {"species"},
		"alternatives.csv": {"species", "property", "source"}, "wood_notes.csv": {"species", "note", "source"}, "names.csv": {"name"}, "name_senses.csv": {"word"}, "trade_convention.csv": {"species"},
		"elastic_measured.csv": {"printed_name", "property", "set", "source"}, "elastic_regression.csv": {"form", "class", "property", "variable", "source"},
		"fracture_toughness.csv": {"printed_name", "property", "system", "source"}, "differential_shrinkage.csv": {"printed_name", "property", "source"},
	} {
		rows, err := data.Read(data.Files, table, columns...)
		require.NoError(t, err)
		seen := make(map[string]int)
		for _, r := range rows {
			var key []string
			for _, c := range columns {
				key = append(key, r.Get(c))
			}
			k := strings.Join(key, " | ")
			assert.Zero(t, seen[k], "%s line %d repeats line %d: %s", table, r.Line, seen[k], k)
			seen[k] = r.Line
		}
	}
}

// The Brazilian database asks for attribution under CC BY 4.0.
func TestLicensedDataAreAttributed(t *testing.T) {
	rows, err := data.Read(data.Files, "sources.csv", "key", "licence", "citation", "url_or_doi")
	require.NoError(t, err)
	for _, r := range rows {
		if r.Get("key") == "LPF" {
			assert.Equal(t, "CC BY 4.0", r.Get("licence"))
			assert.Contains(t, r.Get("citation"), "Laboratorio de Produtos Florestais")
			assert.Contains(t, r.Get("citation"), "ours", "changes must be told")
			assert.NotEmpty(t, r.Get("url_or_doi"))
			return
		}
	}
	t.Fatal("no row for the Brazilian database")
}

func TestReadRefusesRaggedAndLostTables(t *testing.T) {
	files := fstest.MapFS{
		"good.csv":   {Data: []byte("a,b\n1,x\n")},
		"ragged.csv": {Data: []byte("a,b\n1\n")},
		"empty.csv":  {Data: nil},
	}
	rows, err := data.Read(files, "good.csv", "a", "b")
	require.NoError(t, err)
	v, err := rows[0].Float("a")
	require.NoError(t, err)
	assert.Equal(t, 1.0, v)
	_, err = rows[0].Float("b")
	assert.EqualError(t, err, `good.csv line 2: b "x" is not a number`)

	_, err = data.Read(files, "ragged.csv")
	assert.ErrorIs(t, err, csv.ErrFieldCount)
	_, err = data.Read(files, "empty.csv")
	assert.ErrorContains(t, err, "is empty")
	_, err = data.Read(files, "lost.csv")
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = data.Read(files, "good.csv", "c")
	assert.ErrorContains(t, err, `no column "c"`)
}

// The loaders refuse a table with a value no wood can have, a tangential shrinkage below
// the radial one, an unknown source or status, a name given twice: with table and line.
// What they say of a broken table is held by the tests of package wood.
func TestTheWoodsLoad(t *testing.T) {
	assert.NotPanics(t, func() { assert.Greater(t, len(wood.All()), 240) })
}
