package pair

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPlainReadingTakesOrdinaryBodies: the quick way is really taken.
func TestPlainReadingTakesOrdinaryBodies(t *testing.T) {
	for _, body := range []string{
		`{"a":{"species":"sugar-maple","ring_angle":0},"b":{"species":"black-walnut","ring_angle":-90.5,"grain":"along","width":20,"moisture":0},"moisture":{"mc":{"from":7.5,"to":10.5}}}`,
		" { \"moisture\" : { \"change\" : -2 } , \"b\" : { \"ring_angle\" : 1 , \"species\" : \"Acer saccharum\" } ,\n\t\"a\" : { \"species\" : \"teak\" , \"ring_angle\" : 90 } , \"length\" : 40 , \"thickness\" : 38 } \r\n",
		`{"a":{"species":"teak","ring_angle":0},"b":{"species":"teak","ring_angle":0},"moisture":{"air":{"from":{"humidity":40,"temperature":20},"to":{"humidity":65,"temperature":21.5}}}}`,
	} {
		quick, ok := readPlain([]byte(body))
		require.True(t, ok, body)
		careful, err := readCarefully([]byte(body))
		require.NoError(t, err)
		assert.Equal(t, careful, quick)
	}
}

// FuzzPlainReading: what the quick way takes, the careful way takes as well and
// reads the same.
func FuzzPlainReading(f *testing.F) {
	for _, body := range []string{
		`{"a":{"species":"teak","ring_angle":0},"b":{"species":"teak","ring_angle":-0},"moisture":{"change":3}}`,
		`{"a":{"species":"teak","ring_angle":0,"ring_angle":0},"b":{"species":"teak","ring_angle":01},"moisture":{"change":3}}`,
		`{"a":{"species":"t","species":"t","ring_angle":.5},"b":{"species":"","ring_angle":1.},"moisture":{"change":3,"mc":{"from":1,"to":2}}}x`,
		`{"a":{"species":"\u0041","ring_angle":1e1},"b":{"width":0,"width":1},"moisture":{},"length":0,"length":3}`,
		`{"a":{"species":"teak","ring_angle":0,"grain":"up"},"b":{"species":"teak","ring_angle":0,"moisture":3},"moisture":{"air":{"from":{"humidity":98,"temperature":-1.1},"to":{"humidity":0,"temperature":98.9}}},"thickness":0.5}`,
	} {
		f.Add([]byte(body))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		quick, ok := readPlain(src)
		if !ok {
			return
		}
		careful, err := readCarefully(src)
		if err != nil {
			t.Fatalf("taken quickly, refused carefully: %v", err)
		}
		assert.Equal(t, careful, quick)
	})
}

func BenchmarkRead(b *testing.B) {
	body := []byte(`{"a":{"species":"sugar-maple","ring_angle":0},"b":{"species":"black-walnut","ring_angle":90},"moisture":{"mc":{"from":7.5,"to":10.5}}}`)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(body); err != nil {
			b.Fatal(err)
		}
	}
}
