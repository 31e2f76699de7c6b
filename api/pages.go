package api

import (
	"embed"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"path"
	"strconv"
	"sync"

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

// pageKinds are the types of the files in the folder of pages; no other is served.
var pageKinds = map[string]string{".html": typeHTML, ".css": typeCSS, ".svg": typeSVG, ".js": typeScript}

// benchPage is the file that stands at /.
const benchPage = "bench.html"

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

// madePages are the pages, made once a process.
var madePages = sync.OnceValues(newPages)

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
	list, err := pageFiles.ReadDir("page")
	if err != nil {
		return nil, fmt.Errorf("api: %w", err)
	}
	for _, e := range list {
		name := e.Name()
		kind := pageKinds[path.Ext(name)]
		if kind == typeHTML && name != benchPage {
			continue // a template, filled elsewhere
		}
		body, err := pageFiles.ReadFile("page/" + name)
		if err != nil {
			return nil, fmt.Errorf("api: %w", err)
		}
		route := "/page/" + name
		if name == benchPage {
			route = "/"
		}
		p.files[route] = pageFile{kind: kind, body: body}
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
