package wood_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

// What makers type: names with and without accents, bare trade words under inches and
// under millimetres, six languages, descriptions, slips of the key. Common practice, no
// source; one row a spelling with the wood meant, "missing" for a wood that is listed
// without figures, "unknown" with the name to be suggested ("-": none).
func TestSpellings(t *testing.T) {
	rows, err := data.Read(os.DirFS("../../testdata/published"), "spellings.csv", "spelling", "region", "wood", "expect")
	require.NoError(t, err)
	found, missing, unknown := 0, 0, 0
	for _, r := range rows {
		name, want := r.Get("spelling"), r.Get("wood")
		f, err := wood.FindIn(name, wood.Region(r.Get("region")))
		var e fault.Fault
		switch want {
		case "missing":
			missing++
			if assert.ErrorAs(t, err, &e, name) {
				assert.Equal(t, fault.MissingData, e.Rule, name)
			}
		case "unknown":
			unknown++
			if !assert.ErrorAs(t, err, &e, name) {
				continue
			}
			assert.Equal(t, fault.UnknownName, e.Rule, name)
			if s := r.Get("expect"); s == "-" {
				assert.Empty(t, e.Nearest, name)
			} else if assert.NotEmpty(t, e.Nearest, name) {
				assert.Equal(t, s, e.Nearest[0], "%s: %v", name, e.Nearest)
			}
		default:
			if assert.NoError(t, err, name) {
				found++
				assert.Equal(t, want, f.Species.ID, name)
				assert.Equal(t, r.Get("expect") == "yes", f.Notice != "", "%s: %q", name, f.Notice)
			}
		}
	}
	t.Logf("%d spellings: %d found, %d listed without figures, %d unknown", len(rows), found, missing, unknown)
	assert.Greater(t, len(rows), 314)
}

func TestNoticesNameTheWoodAndTheOthers(t *testing.T) {
	f, err := wood.FindIn("walnut", wood.Inches)
	require.NoError(t, err)
	assert.Equal(t, `"walnut" is taken as black-walnut (Juglans nigra); it is also used for european-walnut, peruvian-walnut`, f.Notice)
	f, err = wood.FindIn("walnut", wood.Metric)
	require.NoError(t, err)
	assert.Equal(t, "european-walnut", f.Species.ID)
	f, err = wood.FindIn("spalted maple", wood.Inches)
	require.NoError(t, err)
	assert.Contains(t, f.Notice, "partly decayed")
	f, err = wood.FindIn("lime", wood.Metric)
	require.NoError(t, err)
	assert.Contains(t, f.Notice, "european-lime (no figures here)", "a stand-in is never silent")
}

// An id means its own wood under whatever units: programs write ids back into files.
func TestIDsMeanThemselvesEverywhere(t *testing.T) {
	for _, s := range wood.All() {
		for _, region := range []wood.Region{wood.Anywhere, wood.Inches, wood.Metric} {
			f, err := wood.FindIn(s.ID, region)
			require.NoError(t, err)
			assert.Equal(t, s.ID, f.Species.ID, region)
		}
	}
}

// Every name of every wood finds it, and every stand-in can be used.
func TestTradeNamesAndStandIns(t *testing.T) {
	for _, s := range wood.All() {
		for _, n := range s.TradeNames {
			got, err := wood.Find(n.Name)
			require.NoError(t, err, n.Name)
			assert.Equal(t, s.ID, got.ID, n.Name)
		}
	}
	for _, s := range wood.Incomplete() {
		_, err := wood.Find(s.ID)
		var e fault.Fault
		require.ErrorAs(t, err, &e, s.ID)
		if s.StandIn == "" {
			continue
		}
		assert.Equal(t, s.StandIn, e.Nearest[0], s.ID)
		assert.Contains(t, e.Fix, s.StandIn)
		_, err = wood.Find(s.StandIn)
		assert.NoError(t, err)
	}
}
