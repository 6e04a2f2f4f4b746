// Package openapi checks documents and a server's answers against an OpenAPI
// 3.1 description. It is what tests use so that the description cannot differ
// from what is really sent; the program itself does not need it.
package openapi

import (
	"bytes"
	"fmt"
	"mime"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Description is a parsed OpenAPI description.
type Description struct {
	root     map[string]any
	compiler *jsonschema.Compiler
}

// Operation is one method of one path of a description; Path is the template,
// such as /sheets/{id}.svg.
type Operation struct{ Method, Path string }

const location = "openapi.json"

var methods = []string{"get", "head", "post", "put", "patch", "delete"}

// Parse reads a description. Answers may grow fields, so their schemas are open
// to readers; here they are closed, so that a field that is sent but not
// described is found.
func Parse(doc []byte) (*Description, error) {
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
	if err != nil {
		return nil, fmt.Errorf("openapi: parse: %w", err)
	}
	root, ok := v.(map[string]any)
	if !ok {
		return nil, fmt.Errorf("openapi: parse: not an object")
	}
	closeObjects(root["components"])
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	c.AssertFormat()
	if err := c.AddResource(location, root); err != nil {
		return nil, fmt.Errorf("openapi: parse: %w", err)
	}
	return &Description{root, c}, nil
}

// closeObjects refuses further fields in every object schema below v that
// does not say itself what it takes.
func closeObjects(v any) {
	switch v := v.(type) {
	case map[string]any:
		_, lists := v["properties"]
		_, says := v["additionalProperties"]
		if v["type"] == "object" && lists && !says {
			v["additionalProperties"] = false
		}
		for _, e := range v {
			closeObjects(e)
		}
	case []any:
		for _, e := range v {
			closeObjects(e)
		}
	}
}

// Components returns the names of the schemas, sorted.
func (d *Description) Components() []string {
	var names []string
	for name := range object(d.at("components", "schemas")) {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// Operations lists what the description describes, sorted.
func (d *Description) Operations() []Operation {
	var ops []Operation
	for path, item := range object(d.at("paths")) {
		for _, m := range methods {
			if _, ok := object(item)[m]; ok {
				ops = append(ops, Operation{strings.ToUpper(m), path})
			}
		}
	}
	slices.SortFunc(ops, func(a, b Operation) int {
		return strings.Compare(a.Path+" "+a.Method, b.Path+" "+b.Method)
	})
	return ops
}

// Check tests a document against the schema of that name.
func (d *Description) Check(component string, doc []byte) error {
	if d.at("components", "schemas", component) == nil {
		return fmt.Errorf("openapi: there is no schema %q", component)
	}
	return d.check([]string{"components", "schemas", component}, doc)
}

// CheckAnswer tests a server's answer to method and path: the path must be
// described, as must be the method, the status (a description's "default"
// stands for all that it does not list) and the media type; and a JSON body
// must fit its schema. HEAD is tested as GET without its body.
func (d *Description) CheckAnswer(method, path string, status int, contentType string, body []byte) error {
	template, ok := d.match(path)
	if !ok {
		return fmt.Errorf("openapi: %s is not described", path)
	}
	m := strings.ToLower(method)
	if m == "head" {
		m, body = "get", nil
	}
	at := []string{"paths", template, m, "responses"}
	responses := object(d.at(at...))
	if responses == nil {
		return fmt.Errorf("openapi: %s %s is not described", method, template)
	}
	key := strconv.Itoa(status)
	if _, ok := responses[key]; !ok {
		key = "default"
	}
	if _, ok := responses[key]; !ok {
		return fmt.Errorf("openapi: %s %s: status %d is not described", method, template, status)
	}
	at = append(at, key)
	if ref, ok := object(d.at(at...))["$ref"].(string); ok {
		at = strings.Split(strings.TrimPrefix(ref, "#/"), "/")
	}
	media, _, err := mime.ParseMediaType(contentType)
	if err != nil {
		return fmt.Errorf("openapi: %s %s: content type %q: %w", method, template, contentType, err)
	}
	at = append(at, "content", media)
	if d.at(at...) == nil {
		return fmt.Errorf("openapi: %s %s: %d as %s is not described", method, template, status, media)
	}
	if body == nil || !strings.HasSuffix(media, "json") {
		return nil
	}
	if err := d.check(append(at, "schema"), body); err != nil {
		return fmt.Errorf("openapi: %s %s: %d: %w", method, template, status, err)
	}
	return nil
}

// match finds the template of a path; the one with the most fixed text wins.
func (d *Description) match(path string) (template string, ok bool) {
	paths := object(d.at("paths"))
	if _, ok := paths[path]; ok {
		return path, true
	}
	for t := range paths {
		before, rest, parameter := strings.Cut(t, "{")
		_, after, closed := strings.Cut(rest, "}")
		if !parameter || !closed || len(path) <= len(before)+len(after) {
			continue
		}
		if strings.HasPrefix(path, before) && strings.HasSuffix(path, after) &&
			!strings.Contains(path[len(before):len(path)-len(after)], "/") {
			if len(t) > len(template) {
				template = t
			}
		}
	}
	return template, template != ""
}

func (d *Description) check(at []string, doc []byte) error {
	var fragment strings.Builder
	for _, s := range at {
		fragment.WriteString("/" + strings.NewReplacer("~", "~0", "/", "~1").Replace(s))
	}
	schema, err := d.compiler.Compile(location + "#" + (&url.URL{Fragment: fragment.String()}).EscapedFragment())
	if err != nil {
		return fmt.Errorf("openapi: schema at %s: %w", fragment.String(), err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
	if err != nil {
		return fmt.Errorf("openapi: document: %w", err)
	}
	return schema.Validate(v)
}

// at returns the value that a path of keys leads to, nil if there is none.
func (d *Description) at(path ...string) any {
	var v any = d.root
	for _, key := range path {
		v = object(v)[key]
	}
	return v
}

func object(v any) map[string]any {
	m, _ := v.(map[string]any)
	return m
}
