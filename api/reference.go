package api

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"sort"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

// renderReference writes the contract as a page for people: every operation
// with its parameters, bodies and answers, then every form by name.
func renderReference(doc *openapi3.T) ([]byte, error) {
	t, err := template.New("reference.html").Funcs(template.FuncMap{"prose": prose}).ParseFS(pageFiles, "page/reference.html")
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := t.Execute(&b, newReference(doc)); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// prose escapes a text and sets what stands in backticks as code.
func prose(text string) template.HTML {
	parts := strings.Split(template.HTMLEscapeString(text), "`")
	for i := 1; i < len(parts)-1; i += 2 {
		parts[i] = "<code>" + parts[i] + "</code>"
	}
	return template.HTML(strings.Join(parts, "")) //nolint:gosec // escaped above
}

// reference is what the template sees.
type reference struct {
	Title, Version, Summary string
	About                   []string
	Groups                  []refGroup
	Forms                   []refForm
}

type refGroup struct {
	Name, About string
	Operations  []refOperation
}

type refOperation struct {
	ID, Method, Path, Summary string
	About                     []string
	Parameters                []refField
	Body, Example             string
	Answers                   []refAnswer
}

type refAnswer struct{ Status, About, Forms string }

type refForm struct {
	Name, About string
	Limits      string
	Fields      []refField
}

type refField struct {
	Name, Type, Form, About, Limits string
	Place                           string
	Needed                          bool
}

func newReference(doc *openapi3.T) reference {
	r := reference{Title: doc.Info.Title, Version: doc.Info.Version, Summary: doc.Info.Summary, About: paragraphs(doc.Info.Description)}
	for _, tag := range doc.Tags {
		r.Groups = append(r.Groups, refGroup{Name: tag.Name, About: tag.Description, Operations: operations(doc, tag.Name)})
	}
	for _, name := range slices.Sorted(maps.Keys(doc.Components.Schemas)) {
		s := doc.Components.Schemas[name].Value
		r.Forms = append(r.Forms, refForm{Name: name, About: s.Description, Limits: limits(s), Fields: fields(s)})
	}
	return r
}

func paragraphs(text string) []string {
	if text = strings.TrimSpace(text); text == "" {
		return nil
	}
	return strings.Split(text, "\n\n")
}

func operations(doc *openapi3.T, tag string) []refOperation {
	var out []refOperation
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			if !slices.Contains(op.Tags, tag) {
				continue
			}
			o := refOperation{ID: op.OperationID, Method: method, Path: path, Summary: op.Summary, About: paragraphs(op.Description)}
			for _, p := range op.Parameters {
				f := field(p.Value.Name, p.Value.Schema)
				f.Place, f.Needed = p.Value.In, p.Value.Required
				f.About = strings.Join(without("", p.Value.Description, f.About), "; ")
				o.Parameters = append(o.Parameters, f)
			}
			if op.RequestBody != nil {
				for kind, media := range op.RequestBody.Value.Content {
					o.Body = kind + " " + formOf(media.Schema)
					if text, err := json.MarshalIndent(media.Example, "", "  "); err == nil && media.Example != nil {
						o.Example = string(text)
					}
				}
			}
			o.Answers = answers(op)
			out = append(out, o)
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Path < out[j].Path })
	return out
}

func answers(op *openapi3.Operation) []refAnswer {
	var out []refAnswer
	for status, ref := range op.Responses.Map() {
		a := refAnswer{Status: status}
		if ref.Value.Description != nil {
			a.About = *ref.Value.Description
		}
		var kinds []string
		for kind, media := range ref.Value.Content {
			kinds = append(kinds, strings.TrimSpace(kind+" "+formOf(media.Schema)))
		}
		slices.Sort(kinds)
		a.Forms = strings.Join(kinds, ", ")
		out = append(out, a)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Status < out[j].Status }) // "default" comes last
	return out
}

func fields(s *openapi3.Schema) []refField {
	var out []refField
	for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
		f := field(name, s.Properties[name])
		f.Needed = slices.Contains(s.Required, name)
		out = append(out, f)
	}
	return out
}

func field(name string, ref *openapi3.SchemaRef) refField {
	return refField{Name: name, Type: typeOf(ref), Form: formOf(ref), About: ref.Value.Description, Limits: limits(ref.Value)}
}

const formPrefix = "#/components/schemas/"

// formOf is the name of the form a schema refers to, itself or in a list.
func formOf(ref *openapi3.SchemaRef) string {
	switch {
	case ref == nil:
		return ""
	case ref.Ref != "":
		return strings.TrimPrefix(ref.Ref, formPrefix)
	case ref.Value.Items != nil:
		return formOf(ref.Value.Items)
	case ref.Value.AdditionalProperties.Schema != nil:
		return formOf(ref.Value.AdditionalProperties.Schema)
	}
	return ""
}

func typeOf(ref *openapi3.SchemaRef) string {
	s := ref.Value
	if ref.Ref != "" {
		return ""
	}
	switch {
	case s.Type.Is("array") && s.Items != nil:
		return "list of " + typeOf(s.Items)
	case s.Type.Is("object") && s.AdditionalProperties.Schema != nil:
		return "object of " + typeOf(s.AdditionalProperties.Schema)
	}
	return strings.Join(s.Type.Slice(), " or ")
}

// limits says in words what a value must keep to.
func limits(s *openapi3.Schema) string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if len(s.Enum) > 0 {
		words := make([]string, len(s.Enum))
		for i, e := range s.Enum {
			words[i] = fmt.Sprint(e)
		}
		say("one of %s", strings.Join(words, ", "))
	}
	if s.Min != nil {
		say("from %g", *s.Min)
	}
	if s.ExclusiveMin.Value != nil {
		say("above %g", *s.ExclusiveMin.Value)
	}
	if s.Max != nil {
		say("to %g", *s.Max)
	}
	if s.MinItems > 0 && s.MaxItems != nil && s.MinItems == *s.MaxItems {
		say("exactly %d", s.MinItems)
	} else if s.MaxItems != nil {
		say("at most %d", *s.MaxItems)
	}
	if s.MaxProps != nil && s.MinProps == *s.MaxProps {
		say("exactly one of the keys")
	}
	if s.Pattern != "" {
		say("like %s", s.Pattern)
	}
	if s.Default != nil {
		say("default %v", s.Default)
	}
	return strings.Join(out, ", ")
}

func without(drop string, words ...string) []string {
	return slices.DeleteFunc(words, func(w string) bool { return w == drop })
}
