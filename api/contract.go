package api

import (
	"context"

	"github.com/getkin/kin-openapi/openapi3"
)

// loadContract reads and checks an OpenAPI document that refers to nothing
// outside itself.
func loadContract(src []byte) (*openapi3.T, error) {
	loader := openapi3.NewLoader()
	loader.IsExternalRefsAllowed = false
	doc, err := loader.LoadFromData(src)
	if err != nil {
		return nil, err
	}
	return doc, doc.Validate(context.Background())
}
