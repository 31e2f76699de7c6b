package api

import (
	"context"
	"net/http"

	"go.opentelemetry.io/contrib/instrumentation/net/http/otelhttp"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/propagation"
	"go.opentelemetry.io/otel/trace"
)

// traced gives every request a span, where spans are asked for; else nothing stands
// between the listener and the routes.
func (s *Server) traced(inner http.Handler) http.Handler {
	if s.cfg.Traces == nil {
		return inner
	}
	return otelhttp.NewHandler(inner, "request", otelhttp.WithTracerProvider(s.cfg.Traces), otelhttp.WithPropagators(propagation.TraceContext{}),
		otelhttp.WithFilter(func(r *http.Request) bool { return r.URL.Path != "/healthz" && r.URL.Path != "/readyz" }))
}

// phase begins a part of a request; without spans it costs a look at the context.
func phase(ctx context.Context, name string, attributes ...attribute.KeyValue) (context.Context, trace.Span) {
	parent := trace.SpanFromContext(ctx)
	if !parent.IsRecording() {
		return ctx, parent
	}
	return parent.TracerProvider().Tracer("github.com/tanrad/tanrad/api").Start(ctx, name, trace.WithAttributes(attributes...))
}

// ended ends a phase, unless it is the span of somebody else.
func ended(span trace.Span, of context.Context) {
	if span != trace.SpanFromContext(of) {
		span.End()
	}
}
