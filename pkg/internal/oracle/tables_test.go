package oracle

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	pkgwood "github.com/tanrad/tanrad/pkg/wood"
)

// rows reads a table of the project into value by species and property.
func rows(t *testing.T, name string) map[[2]string]float64 {
	t.Helper()
	f, err := os.Open(filepath.Join("../../../data", name))
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	at := map[string]int{}
	for i, h := range all[0] {
		at[h] = i
	}
	out := map[[2]string]float64{}
	for _, row := range all[1:] {
		if v, err := strconv.ParseFloat(row[at["value"]], 64); err == nil {
			out[[2]string{row[at["species"]], row[at["property"]]}] = v
		}
	}
	return out
}

// The figures typed into this package are those of the project's tables, read
// here without the project's reader.
func TestTypedFiguresAreTheTables(t *testing.T) {
	values, strength := rows(t, "species_values.csv"), rows(t, "strength_table.csv")
	ratios, poisson := rows(t, "elastic_ratios.csv"), rows(t, "poisson_ratios.csv")
	for name, w := range woods {
		for _, c := range []struct {
			table    map[[2]string]float64
			property string
			typed    float64
		}{
			{values, "shrinkage_r", w.shrinkR}, {values, "shrinkage_t", w.shrinkT}, {strength, "moe", w.moe * 1000}, {strength, "sg_12", w.sg},
			{ratios, "et_el", w.et}, {ratios, "er_el", w.er}, {ratios, "glr_el", w.glr}, {ratios, "glt_el", w.glt}, {ratios, "grt_el", w.grt},
			{poisson, "mu_lr", w.lr}, {poisson, "mu_lt", w.lt}, {poisson, "mu_rt", w.rt}, {poisson, "mu_tr", w.tr},
		} {
			if name == "black-cherry" && strings.HasPrefix(c.property, "shrinkage") {
				continue // of another table, see woods.go
			}
			assert.Equal(t, c.table[[2]string{name, c.property}], c.typed, "%s of %s", c.property, name)
		}
	}
}

// Package wood makes the same nine constants and free strains of them.
func TestWoodMakesTheSameConstants(t *testing.T) {
	for name, w := range woods {
		s, err := pkgwood.Find(name)
		require.NoError(t, err)
		e, err := s.Elastic(12)
		require.NoError(t, err)
		ours := w.elastic()
		for _, c := range []struct {
			what       string
			want, have float64
		}{
			{"E_L", ours.EL, e.EL}, {"E_R", ours.ER, e.ER}, {"E_T", ours.ET, e.ET},
			{"G_LR", ours.GLR, e.GLR}, {"G_LT", ours.GLT, e.GLT},
			{"nu_LR", ours.NuLR, e.NuLR}, {"nu_LT", ours.NuLT, e.NuLT}, {"nu_RT", ours.NuRT, e.NuRT},
		} {
			assert.InEpsilon(t, c.want, c.have, 1e-9, "%s of %s", c.what, name)
		}
		assert.InEpsilon(t, ours.GRT, e.GRT, 1e-3, "G_RT of %s; the fit has three figures", name)
		for _, m := range [][2]float64{{8, 11}, {6.5, 11}, {12, 4}} {
			strain := w.strain(m[0], m[1])
			l, r, tt := s.Swelling(m[0], m[1])
			assert.InEpsilon(t, strain.L, l, 1e-9)
			assert.InEpsilon(t, strain.R, r, 1e-9)
			assert.InEpsilon(t, strain.T, tt, 1e-9)
		}
	}
}
