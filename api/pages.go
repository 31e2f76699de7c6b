package api

import (
	"embed"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"github.com/tanrad/tanrad"
	"github.com/tanrad/tanrad/data"
)

//go:embed page
var pageFiles embed.FS

// Media types of what only a browser asks for.
const (
	typeCSS    = "text/css; charset=utf-8"
	typeScript = "text/javascript; charset=utf-8"
)

// pageFile is one file as it is served.
type pageFile struct {
	kind string
	body []byte
	tag  string
}

// pages holds everything that is the same for every client, made once.
type pages struct {
	files map[string]pageFile // by route
}

// The pages load nothing from elsewhere and run no script but their own; the
// picture of a board is shown as an image, so nothing in it can run.
const pagePolicy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' blob:; connect-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"

func newPages() (*pages, error) {
	doc, err := loadContract(tanrad.OpenAPI)
	if err != nil {
		return nil, fmt.Errorf("api: openapi.yaml: %w", err)
	}
	asJSON, err := json.MarshalIndent(doc, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("api: openapi.yaml as JSON: %w", err)
	}
	reference, err := renderReference(doc)
	if err != nil {
		return nil, fmt.Errorf("api: reference page: %w", err)
	}
	p := &pages{files: map[string]pageFile{
		"/openapi.yaml":   {kind: typeYAML, body: tanrad.OpenAPI},
		"/openapi.json":   {kind: typeJSON, body: append(asJSON, '\n')},
		"/reference":      {kind: typeHTML, body: reference},
		"/page/demo.json": {kind: typeJSON, body: data.Demo},
	}}
	for route, f := range map[string]struct{ kind, name string }{
		"/":                  {typeHTML, "bench.html"},
		"/page/page.css":     {typeCSS, "page.css"},
		"/page/bench.css":    {typeCSS, "bench.css"},
		"/page/bench.js":     {typeScript, "bench.js"},
		"/page/drawing.js":   {typeScript, "drawing.js"},
		"/page/boardfile.js": {typeScript, "boardfile.js"},
		"/page/service.js":   {typeScript, "service.js"},
		"/page/icon.svg":     {typeSVG, "icon.svg"},
	} {
		body, err := pageFiles.ReadFile("page/" + f.name)
		if err != nil {
			return nil, fmt.Errorf("api: %w", err)
		}
		p.files[route] = pageFile{kind: f.kind, body: body}
	}
	more, err := teachPages()
	if err != nil {
		return nil, fmt.Errorf("api: lessons: %w", err)
	}
	maps.Copy(p.files, more)
	return p, nil
}

// routes wires each file under its own address.
func (p *pages) routes(get func(string, gin.HandlerFunc)) {
	get("/try", func(c *gin.Context) { c.Redirect(http.StatusPermanentRedirect, "/") })
	for route, f := range p.files {
		f.tag = tagOf(f.body)
		get(route, func(c *gin.Context) {
			if f.kind == typeHTML {
				c.Header("Content-Security-Policy", pagePolicy)
				c.Header("Referrer-Policy", "no-referrer")
			}
			c.Header("Cache-Control", "no-cache") // that is: ask again, with the tag
			if unchanged(c, f.tag) {
				return
			}
			c.Header("Content-Length", strconv.Itoa(len(f.body)))
			c.Data(http.StatusOK, f.kind, f.body)
		})
	}
}
