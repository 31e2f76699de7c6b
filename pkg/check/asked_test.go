package check

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
)

// What a file says will happen happens besides ordinary use: an exposure more never
// makes a board better. Asked for by itself it is followed alone.
func TestWhatAFileListsIsBesidesOrdinaryUse(t *testing.T) {
	with := func(exposures string, c Conditions) *Report {
		b := boardtest.From(t, `{"tanrad":1,"units":"mm","thickness":20,"stock":{"A":{"species":"sugar-maple","ring_angle":0,"moisture":8},"B":{"species":"sugar-maple","ring_angle":90,"moisture":8}},
			"field":{"grid":{"block":[40,40],"rows":["AB","BA"]}},"finish":"mineral-oil","exposures":[%s]}`, exposures)
		c.NoCauses = true
		return reportOf(t, b, c)
	}
	names := func(r *Report) (out []string) {
		for _, e := range r.Exposures {
			if !e.Mishap {
				out = append(out, e.Name)
			}
		}
		return out
	}
	usual := with("", Conditions{})
	mild := with(`{"name":"dry-spell","days":1}`, Conditions{})
	assert.GreaterOrEqual(t, mild.Index, usual.Index)
	assert.Equal(t, []string{"dry-spell", "ordinary-use"}, names(mild))
	soaked := with(`{"name":"sink-soak","minutes":600}`, Conditions{})
	assert.GreaterOrEqual(t, soaked.Index, usual.Index)
	assert.Len(t, soaked.Exposures, len(usual.Exposures)+1, "mishaps are told beside it")
	assert.Equal(t, []string{"ordinary-use"}, names(with(`{"name":"ordinary-use","washes":2}`, Conditions{})), "a file may give ordinary use itself")
	alone := with(`{"name":"sink-soak","minutes":600}`, Conditions{Events: []moisture.Event{{Name: "dry-spell"}}})
	assert.Equal(t, []string{"dry-spell"}, names(alone))
	assert.Contains(t, alone.Headline, "Ordinary use was not asked for")
	assert.NotContains(t, mild.Headline, "not asked for")
}
