package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"boxwright/internal/drill"
	"boxwright/web"
)

// description is the OpenAPI document as the tests read it.
type description struct {
	doc      map[string]any
	compiler *jsonschema.Compiler
}

func readDescription(t *testing.T) description {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(web.OpenAPI()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	c.AssertFormat()
	if err := c.AddResource("mem:openapi", doc); err != nil {
		t.Fatal(err)
	}
	return description{doc.(map[string]any), c}
}

// conforms validates an answer against the schema that the description gives
// for the route, method and status.
func (d description) conforms(t *testing.T, method, route string, a answer) {
	t.Helper()
	at := []string{"paths", route, strings.ToLower(method), "responses", fmt.Sprint(a.status)}
	node, pointer := any(d.doc), "#"
	step := func(key string) bool {
		m, ok := node.(map[string]any)
		if !ok {
			return false
		}
		node, ok = m[key]
		pointer += "/" + strings.NewReplacer("~", "~0", "/", "~1").Replace(key)
		if r, isRef := node.(map[string]any)["$ref"].(string); isRef { // as responses are
			node, pointer = d.doc, "#"
			for _, k := range strings.Split(strings.TrimPrefix(r, "#/"), "/") {
				node = node.(map[string]any)[k]
				pointer += "/" + k
			}
		}
		return ok
	}
	for _, key := range at {
		if !step(key) {
			t.Errorf("%s %s: the description has no answer %d", method, route, a.status)
			return
		}
	}
	kind, _, _ := strings.Cut(a.header.Get("Content-Type"), ";")
	for _, key := range []string{"content", kind} {
		if !step(key) {
			t.Errorf("%s %s %d: the description does not know the type %s", method, route, a.status, kind)
			return
		}
	}
	schema, err := d.compiler.Compile("mem:openapi" + pointer + "/schema")
	if err != nil {
		t.Errorf("%s: %v", pointer, err)
		return
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(a.body))
	if err != nil {
		t.Errorf("%s %s: %v", method, route, err)
		return
	}
	if err := schema.Validate(doc); err != nil {
		t.Errorf("%s %s %d: %v\n%s", method, route, a.status, err, a.body)
	}
}

// TestAnswersConform validates real answers against the description that the
// server itself serves.
func TestAnswersConform(t *testing.T) {
	d := readDescription(t)
	c := newBench(t, nil).client()
	check := func(method, route string, a answer, status int) {
		t.Helper()
		d.conforms(t, method, route, c.want(a, status))
	}
	const exercises, exercise, attempts, attempt = "/api/v1/exercises", "/api/v1/exercises/{id}", "/api/v1/exercises/{id}/attempts", "/api/v1/attempts/{id}"
	n := 0
	for _, k := range drill.Kinds {
		for _, v := range drill.Views(k) {
			for _, level := range []int{1, 5, 8, 10} {
				n++
				check("POST", exercises, c.post(exercises, fmt.Sprintf(`{"drill":%q,"view":%q,"level":%d,"seed":"%d"}`, k, v, level, n)), 201)
				x := c.issue(k, v, level)
				path := exercises + "/" + x.ID
				check("GET", exercise, c.get(path), 200)
				check("POST", attempts, c.post(path+"/attempts", drawn(x, attemptID(n), float64(level))), 201)
				check("POST", attempts, c.post(path+"/attempts", drawn(x, attemptID(n), float64(level))), 200)
				check("POST", attempts, c.post(path+"/attempts", drawn(x, attemptID(n), 9.5)), 409)
				check("GET", attempt, c.get("/api/v1/attempts/"+attemptID(n)), 200)
				empty := fmt.Sprintf(`{"version":1,"attempt":%q,"exercise":%q,"input":{"pointer":"mouse"},"strokes":[]}`, attemptID(1000+n), x.ID)
				check("POST", attempts, c.post(path+"/attempts", empty), 201)
			}
		}
	}
	x := c.issue(drill.Join, drill.None, 1)
	to := exercises + "/" + x.ID + "/attempts"
	check("POST", attempts, c.post(to, "{"), 400)
	check("POST", attempts, c.do("POST", to, "text/plain", "x"), 415)
	check("POST", attempts, c.post(to, strings.Repeat(" ", 3<<20)), 413)
	check("POST", attempts, c.post(to, `{"version":2}`), 422)
	check("POST", attempts, c.post(exercises+"/nothing/attempts", `{}`), 404)
	check("POST", exercises, c.post(exercises, `{}`), 422)
	check("GET", exercise, c.get(exercises+"/nothing"), 404)
	check("GET", attempt, c.get("/api/v1/attempts/nothing"), 404)
	check("GET", "/api/v1/progress", c.get("/api/v1/progress"), 200)
	check("GET", "/api/v1/progress", c.bench.client().get("/api/v1/progress"), 200)
	check("GET", "/healthz", c.get("/healthz"), 200)
	check("GET", "/readyz", c.get("/readyz"), 200)
	if got := c.get("/api/v1/openapi.json").body; !bytes.Equal(got, web.OpenAPI()) {
		t.Error("the description served is not the one tested")
	}
}

// TestDescriptionNamesEveryRoute: no JSON route is left out, none made up.
func TestDescriptionNamesEveryRoute(t *testing.T) {
	d := readDescription(t)
	paths := d.doc["paths"].(map[string]any)
	c := newBench(t, nil).client()
	for path, item := range paths {
		for method := range item.(map[string]any) {
			if method != "get" && method != "post" {
				continue
			}
			a := c.do(strings.ToUpper(method), strings.ReplaceAll(path, "{id}", "nothing"), "application/json", "{}")
			if a.status == http.StatusMethodNotAllowed {
				t.Errorf("the description has %s %s, the server has not", method, path)
			}
			if a.status == 404 && !strings.Contains(path, "{") {
				t.Errorf("the description has %s, the server has not", path)
			}
		}
	}
	var routes []string
	for _, r := range c.srv.jsonRoutes() {
		routes = append(routes, r)
		method, path, _ := strings.Cut(r, " ")
		item, ok := paths[path].(map[string]any)
		if !ok || item[strings.ToLower(method)] == nil {
			t.Errorf("the description lacks %s", r)
		}
	}
	if len(routes) < 8 {
		t.Errorf("only the routes %v were found", routes)
	}
	var version struct{ OpenAPI string }
	if err := json.Unmarshal(web.OpenAPI(), &version); err != nil || !strings.HasPrefix(version.OpenAPI, "3.1") {
		t.Errorf("version %q (%v)", version.OpenAPI, err)
	}
}
