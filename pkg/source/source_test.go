package source_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/source"
)

func TestKeysLeadToCitations(t *testing.T) {
	c, ok := source.Of("WH190-T5-1")
	assert.True(t, ok)
	assert.Contains(t, c.Text, "FPL-GTR-190")
	assert.Contains(t, c.Text, "Table 5-1")
	assert.Equal(t, c.Text, source.Text("WH190-T5-1"))
	_, ok = source.Of("HEARSAY")
	assert.False(t, ok)
	assert.Equal(t, "HEARSAY", source.Text("HEARSAY"))

	all, err := source.Load(data.Files)
	require.NoError(t, err)
	require.NotEmpty(t, all)
	for _, c := range all {
		got, ok := source.Of(c.Key)
		assert.True(t, ok)
		assert.Equal(t, c, got)
	}
}

func TestLoadRefusesHalfACitation(t *testing.T) {
	const head = "key,citation,licence,url_or_doi\n"
	for says, body := range map[string]string{
		"must all be given": "A,,free,\n",
		"given twice":       "A,One,free,\nA,Two,free,\n",
	} {
		_, err := source.Load(fstest.MapFS{"sources.csv": {Data: []byte(head + body)}})
		assert.ErrorContains(t, err, says)
	}
	_, err := source.Load(fstest.MapFS{})
	assert.Error(t, err)
}
