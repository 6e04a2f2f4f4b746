package openapi

import (
	"encoding/json"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

const small = `{"openapi":"3.1.0","info":{"title":"t","version":"1"},
 "paths":{
  "/things/{id}":{"get":{"responses":{"200":{"description":"","content":{"application/json":{"schema":{"$ref":"#/components/schemas/Thing"}}}},
    "404":{"$ref":"#/components/responses/No"}}},
   "post":{"responses":{"201":{"description":"","content":{"application/json":{"schema":{"type":"array"}}}},"default":{"$ref":"#/components/responses/No"}}}},
  "/things/{id}.svg":{"get":{"responses":{"200":{"description":"","content":{"image/svg+xml":{"schema":{"type":"string"}}}}}}},
  "/things/all":{"get":{"responses":{"200":{"description":"","content":{"application/json":{"schema":true}}}}}}},
 "components":{"responses":{"No":{"description":"","content":{"application/problem+json":{"schema":{"type":"object","required":["title"]}}}}},
  "schemas":{"Thing":{"type":"object","properties":{"id":{"type":"string","format":"uuid"}},"required":["id"],"additionalProperties":false}}}}`

func TestCheckAnswer(t *testing.T) {
	d, err := Parse([]byte(small))
	if err != nil {
		t.Fatal(err)
	}
	const (
		js, problem = "application/json; charset=utf-8", "application/problem+json"
		thing       = `{"id":"0190163d-8694-739b-aea5-966c26f8ad91"}`
	)
	for _, c := range []struct {
		method, path string
		status       int
		media, body  string
		wrong        string // "": the answer is as described
	}{
		{"GET", "/things/7", 200, js, thing, ""},
		{"HEAD", "/things/7", 200, js, "", ""},
		{"GET", "/things/7", 200, js, `{"id":"7"}`, "uuid"},
		{"GET", "/things/7", 200, js, `{"id":"0190163d-8694-739b-aea5-966c26f8ad91","x":1}`, "additional"},
		{"GET", "/things/7", 200, js, `{"id":`, "document"},
		{"GET", "/things/7", 200, "text/html", thing, "as text/html"},
		{"GET", "/things/7", 404, problem, `{"title":"no"}`, ""},
		{"GET", "/things/7", 404, problem, `{}`, "title"},
		{"GET", "/things/7", 500, problem, `{"title":"no"}`, "status 500"},
		{"POST", "/things/7", 201, js, `[]`, ""},
		{"POST", "/things/7", 201, js, `{}`, "array"},
		{"POST", "/things/7", 500, problem, `{"title":"no"}`, ""},
		{"PUT", "/things/7", 200, js, thing, "PUT"},
		{"GET", "/things/all", 200, js, `7`, ""},
		{"GET", "/things/7.svg", 200, "image/svg+xml", `<svg/>`, ""},
		{"GET", "/things/7/8", 200, js, thing, "not described"},
		{"GET", "/thing", 200, js, thing, "not described"},
		{"GET", "/things/", 200, js, thing, "not described"},
	} {
		err := d.CheckAnswer(c.method, c.path, c.status, c.media, []byte(c.body))
		if (err == nil) != (c.wrong == "") || err != nil && !strings.Contains(err.Error(), c.wrong) {
			t.Errorf("%s %s %d %s: got %v, want %q", c.method, c.path, c.status, c.body, err, c.wrong)
		}
	}
	if ops := d.Operations(); len(ops) != 4 || ops[0] != (Operation{"GET", "/things/all"}) || ops[2] != (Operation{"POST", "/things/{id}"}) {
		t.Errorf("got %v", ops)
	}
	if err := d.Check("Nothing", []byte(`{}`)); err == nil {
		t.Error("a schema that is not there was taken")
	}
}

// TestDescription looks at the real description: every schema compiles, every
// reference leads somewhere, every operation has its own id.
func TestDescription(t *testing.T) {
	b, err := os.ReadFile("../../../web/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	d, err := Parse(b)
	if err != nil {
		t.Fatal(err)
	}
	names := d.Components()
	if len(names) == 0 {
		t.Fatal("no schemas")
	}
	for _, name := range names {
		var invalid *jsonschema.ValidationError
		if err := d.Check(name, []byte(`null`)); !errors.As(err, &invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
	var doc any
	if err := json.Unmarshal(b, &doc); err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	references(doc, func(ref string) {
		path, ok := strings.CutPrefix(ref, "#/")
		if !ok || d.at(strings.Split(path, "/")...) == nil {
			t.Errorf("%s leads nowhere", ref)
		}
		used[path] = true
	})
	for _, kind := range []string{"schemas", "responses"} {
		for name := range object(d.at("components", kind)) {
			if !used["components/"+kind+"/"+name] {
				t.Errorf("%s %s is used nowhere", kind, name)
			}
		}
	}
	ids := map[any]bool{}
	ops := d.Operations()
	if len(ops) == 0 {
		t.Fatal("no operations")
	}
	for _, op := range ops {
		id := object(d.at("paths", op.Path, strings.ToLower(op.Method)))["operationId"]
		if id == nil || ids[id] {
			t.Errorf("%v: operation id %v", op, id)
		}
		ids[id] = true
	}
}

func references(v any, visit func(ref string)) {
	switch v := v.(type) {
	case []any:
		for _, e := range v {
			references(e, visit)
		}
	case map[string]any:
		if ref, ok := v["$ref"].(string); ok {
			visit(ref)
		}
		for _, e := range v {
			references(e, visit)
		}
	}
}
