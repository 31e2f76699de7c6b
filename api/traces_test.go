package api

import (
	"context"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.opentelemetry.io/otel/sdk/trace"
	"go.opentelemetry.io/otel/sdk/trace/tracetest"
)

// A request is a span under its route, with its waiting and its work below, in the
// trace of whoever asks.
func TestSpansOfARequest(t *testing.T) {
	kept := tracetest.NewInMemoryExporter()
	h := newHarness(t, Config{Traces: trace.NewTracerProvider(trace.WithSyncer(kept))})
	const caller = "4bf92f3577b34da6a3ce929d0e0e4736"
	w := h.send(request{path: quickly, body: goodBoard, header: map[string]string{"traceparent": "00-" + caller + "-00f067aa0ba902b7-01"}})
	require.Equal(t, http.StatusOK, w.Code)
	_ = h.send(request{path: "/healthz"})
	var names []string
	for _, s := range kept.GetSpans() {
		names = append(names, s.Name)
		assert.Equal(t, caller, s.SpanContext.TraceID().String())
	}
	assert.Equal(t, []string{"wait for a place", "work", "POST /v1/board"}, names)
}

// Without spans a phase is nothing.
func TestNoSpansCostNothing(t *testing.T) {
	ctx := context.Background()
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		_, span := phase(ctx, "work")
		ended(span, ctx)
	}))
}
