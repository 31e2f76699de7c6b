package main

import (
	"context"
	"fmt"
	"time"

	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracehttp"
	"go.opentelemetry.io/otel/sdk/resource"
	"go.opentelemetry.io/otel/sdk/trace"

	"github.com/tanrad/tanrad/api"
	"github.com/tanrad/tanrad/api/answer"
)

// sendTraces makes the service send its spans to an address; end sends the last.
func sendTraces(ctx context.Context, cfg *api.Config, address string) (end func(), err error) {
	to, err := otlptracehttp.New(ctx, otlptracehttp.WithEndpointURL(address))
	if err != nil {
		return nil, fmt.Errorf("traces to %s: %w", address, err)
	}
	p := trace.NewTracerProvider(trace.WithBatcher(to), trace.WithResource(resource.NewSchemaless(
		attribute.String("service.name", "tanrad"), attribute.String("service.version", answer.Version().Program))))
	cfg.Traces = p
	return func() {
		ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
		defer cancel()
		_ = p.Shutdown(ctx) // nobody is left to hear that spans were lost
	}, nil
}
