// Package raster turns a picture of package draw into PNG, for places that show no
// SVG.
//
// Letters become outlines first (the Go fonts), so that a picture looks the same
// wherever it is made and needs no font of the machine.
package raster

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"math"

	"github.com/fyne-io/oksvg"
	"github.com/srwiley/rasterx"

	"github.com/tanrad/tanrad/pkg/fault"
)

// Width of a PNG, px.
const (
	MinWidth     = 100
	MaxWidth     = 4000
	DefaultWidth = 1200
)

// mostPixels bounds a picture that is very tall: 160 MB of memory.
const mostPixels = 40 << 20

// PNG draws a picture so many pixels wide; 0 is DefaultWidth. Errors: a fault.List
// with a fault of rule out-of-range at "/width"; that of an SVG that is none of
// package draw; the context's.
func PNG(ctx context.Context, svg []byte, width int) ([]byte, error) {
	if width == 0 {
		width = DefaultWidth
	}
	if l := fault.Range("/width", "width of the picture", float64(width), MinWidth, MaxWidth, "px"); len(l) > 0 {
		return nil, l
	}
	outlined, err := outlines(ctx, svg)
	if err != nil {
		return nil, fmt.Errorf("raster: %w", err)
	}
	icon, err := oksvg.ReadIconStream(&readUntilEnd{bytes.NewReader(outlined), ctx}, oksvg.IgnoreErrorMode)
	if err != nil {
		return nil, fmt.Errorf("raster: %w", err)
	}
	box := icon.ViewBox
	if !(box.W > 0 && box.H > 0) {
		return nil, fmt.Errorf("raster: the picture has no size")
	}
	height := int(math.Ceil(float64(width) * box.H / box.W))
	if width*height > mostPixels {
		return nil, fault.List{{Rule: fault.OutOfRange, Pointer: "/width", Detail: "so wide, this tall picture has too many pixels", Found: fmt.Sprint(width),
			Allowed: fmt.Sprintf("%d to %d px", MinWidth, max(MinWidth, int(math.Sqrt(mostPixels*box.W/box.H))))}}
	}
	icon.SetTarget(0, 0, float64(width), float64(height))
	into := image.NewRGBA(image.Rect(0, 0, width, height))
	dasher := rasterx.NewDasher(width, height, newScanner(into))
	for _, path := range icon.SVGPaths {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		path.DrawTransformed(dasher, 1, icon.Transform)
	}
	out := untilEnd{ctx: ctx}
	if err := png.Encode(&out, into); err != nil {
		return nil, fmt.Errorf("raster: %w", err)
	}
	return out.Bytes(), nil
}

// readUntilEnd gives bytes until its context ends.
type readUntilEnd struct {
	of  *bytes.Reader
	ctx context.Context
}

func (r *readUntilEnd) Read(b []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	return r.of.Read(b)
}

// untilEnd takes bytes until its context ends.
type untilEnd struct {
	bytes.Buffer
	ctx context.Context
}

func (u *untilEnd) Write(b []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	return u.Buffer.Write(b)
}
