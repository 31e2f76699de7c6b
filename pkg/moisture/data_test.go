package moisture

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Every row of this package's tables names a known source and a known status.
func TestTablesNameTheirSources(t *testing.T) {
	for _, table := range []string{"emc_table.csv", "emc_cities.csv", "climates.csv", "climates_outdoor.csv", "finishes.csv",
		"diffusion.csv", "diffusion_measured.csv", "exposures.csv", "uptake.csv"} {
		for _, r := range data.Table(table, "source", "status") {
			_, ok := source.Of(r.Get("source"))
			assert.True(t, ok, "%s line %d: %q", table, r.Line, r.Get("source"))
			assert.Contains(t, []wood.Status{wood.Seen, wood.SecondHand, wood.Derived, wood.Memory, wood.Estimated}, wood.Status(r.Get("status")), "%s line %d", table, r.Line)
		}
	}
}
