package picture_test

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/picture"
)

// Every view of a board is a drawing, well formed, in one call.
func TestEveryViewIsDrawn(t *testing.T) {
	b := boardtest.Text(t, `{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":20,"moisture":8},"W":{"species":"black-walnut","ring_angle":70,"moisture":8}},
		"field":{"slices":{"strips":[["M",40],["W",40]],"height":40,"count":2,"turn":"over"}}}`)
	followed := check.Conditions{Events: []moisture.Event{{Name: "year-at-home"}, {Name: "wash-one-face"}}}
	for _, view := range append(picture.Views(), "") {
		svg, err := picture.Draw(t.Context(), b, followed, picture.Options{View: view})
		require.NoError(t, err, view)
		d := xml.NewDecoder(strings.NewReader(string(svg)))
		for {
			_, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, view)
		}
	}
}

// A report's marks paint every joint as the report says and call out its worst.
func TestMarksAreTheReports(t *testing.T) {
	b := boardtest.Named(t, "checker-random")
	r, err := check.Board(t.Context(), b, check.Conditions{NoHistories: true, NoChance: true, NoCracks: true})
	require.NoError(t, err)
	m := picture.Marks(b, r)
	require.Len(t, m.Joints, len(b.Joints))
	for i, j := range m.Joints {
		assert.Equal(t, i, j.Joint)
		assert.Equal(t, r.Joints[i].Verdict, m.Words.Of(j.Utilisation))
		assert.InDelta(t, r.Joints[i].Utilisation, j.Utilisation, 2e-6*r.Joints[i].Utilisation)
	}
	bars := map[string]bool{}
	for _, o := range m.Modes {
		bars[o.Name] = true
	}
	empty := 0
	for _, o := range r.Modes {
		if o.Figure == nil {
			continue
		}
		if math.Round(100**o.Figure) == 0 && o.Mode != r.Mode {
			empty++
		}
		assert.Equal(t, o.Mode == r.Mode || math.Round(100**o.Figure) > 0, bars[o.Name], "%s: a bar without length is not drawn", o.Name)
	}
	assert.Positive(t, empty, "the glue of a board that nobody washes")
	if r.Worst.Joint != "" {
		assert.Equal(t, r.Worst.Joint, b.Joints[m.Worst].ID)
		assert.Contains(t, m.Callout, r.Worst.How)
	} else {
		assert.Len(t, m.PieceMarks, 1)
	}
	// A line that opens from its end or a face gives the word at a joint of its own.
	other := b.Joints[0].ID
	if r.Worst.Joint == other {
		other = b.Joints[1].ID
	}
	r.Modes = append(slices.Clone(r.Modes), check.Mode{Mode: "of-its-own", Name: "opens from its end", Joint: other, When: "in June"})
	r.Mode = "of-its-own"
	m = picture.Marks(b, r)
	assert.Equal(t, other, b.Joints[m.Worst].ID)
	assert.Contains(t, m.Callout, "opens from its end in June")
}

func TestViewsThatCannotBeAreFaults(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	b := boardtest.Named(t, "checker-alike")
	for _, c := range []struct {
		o       picture.Options
		c       check.Conditions
		pointer string
	}{
		{picture.Options{View: "layuot"}, check.Conditions{}, "/view"},
		{picture.Options{View: picture.ViewSlices}, check.Conditions{}, "/view"},
		{picture.Options{View: picture.ViewHistory}, check.Conditions{NoHistories: true}, "/view"},
		{picture.Options{View: picture.ViewHistory, Exposure: "wsah"}, check.Conditions{}, "/exposure"},
		{picture.Options{View: picture.ViewDeformed, State: "driest-mouth"}, check.Conditions{NoHistories: true}, "/state"},
		{picture.Options{View: picture.ViewDeformed, State: "driest-month", Hour: new(float64)}, check.Conditions{NoHistories: true}, "/hour"},
		{picture.Options{View: picture.ViewYear, State: "driest-month"}, check.Conditions{}, "/state"},
		{picture.Options{View: picture.ViewYear, Hour: new(float64)}, check.Conditions{}, "/hour"},
		{picture.Options{View: picture.ViewYear, Exposure: "year-at-home"}, check.Conditions{}, "/exposure"},
		{picture.Options{State: "driest-month"}, check.Conditions{}, "/state"},
		{picture.Options{View: picture.ViewHistory, Hour: new(float64)}, check.Conditions{}, "/hour"},
	} {
		_, err := picture.Draw(t.Context(), b, c.c, c.o)
		l := fault.Of(err)
		require.Len(t, l, 1, "%+v", c.o)
		assert.Equal(t, c.pointer, l[0].Pointer)
	}
}
