package server

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"boxwright/internal/api/openapi"
	"boxwright/internal/drill"
	"boxwright/web"
)

func description(t *testing.T) *openapi.Description {
	t.Helper()
	d, err := openapi.Parse(web.OpenAPI())
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestAnswersConform validates real answers against the description that the
// server itself serves.
func TestAnswersConform(t *testing.T) {
	d := description(t)
	c := newBench(t, nil).client()
	check := func(method, path string, a answer, status int) {
		t.Helper()
		c.want(a, status)
		if err := d.CheckAnswer(method, path, a.status, a.header.Get("Content-Type"), a.body); err != nil {
			t.Errorf("%s %s: %v\n%s", method, path, err, a.body)
		}
	}
	const exercises = "/api/v1/exercises"
	n := 0
	for _, k := range drill.Kinds {
		for _, v := range drill.Views(k) {
			for _, level := range []int{1, 5, 8, 10} {
				n++
				check("POST", exercises, c.post(exercises, fmt.Sprintf(`{"drill":%q,"view":%q,"level":%d,"seed":"%d"}`, k, v, level, n)), 201)
				x := c.issue(k, v, level)
				path := exercises + "/" + x.ID
				check("GET", path, c.get(path), 200)
				check("POST", path+"/attempts", c.post(path+"/attempts", drawn(x, attemptID(n), float64(level))), 201)
				check("POST", path+"/attempts", c.post(path+"/attempts", drawn(x, attemptID(n), float64(level))), 200)
				check("POST", path+"/attempts", c.post(path+"/attempts", drawn(x, attemptID(n), 9.5)), 409)
				check("GET", "/api/v1/attempts/"+attemptID(n), c.get("/api/v1/attempts/"+attemptID(n)), 200)
				empty := fmt.Sprintf(`{"version":1,"attempt":%q,"exercise":%q,"input":{"pointer":"mouse"},"strokes":[]}`, attemptID(1000+n), x.ID)
				check("POST", path+"/attempts", c.post(path+"/attempts", empty), 201)
			}
		}
	}
	x := c.issue(drill.Join, drill.None, 1)
	to := exercises + "/" + x.ID + "/attempts"
	check("POST", to, c.post(to, "{"), 400)
	check("POST", to, c.do("POST", to, "text/plain", "x"), 415)
	check("POST", to, c.post(to, strings.Repeat(" ", 3<<20)), 413)
	check("POST", to, c.post(to, `{"version":2}`), 422)
	check("POST", exercises+"/nothing/attempts", c.post(exercises+"/nothing/attempts", `{}`), 404)
	check("POST", exercises, c.post(exercises, `{}`), 422)
	check("GET", exercises+"/nothing", c.get(exercises+"/nothing"), 404)
	check("GET", "/api/v1/attempts/nothing", c.get("/api/v1/attempts/nothing"), 404)
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
	ops := description(t).Operations()
	if len(ops) < 8 {
		t.Errorf("the description has only %v", ops)
	}
	routes := newBench(t, nil).srv.routeList()
	for _, op := range ops {
		if !slices.Contains(routes, op.Method+" "+op.Path) {
			t.Errorf("the description has %s %s, the server has not", op.Method, op.Path)
		}
	}
	for _, r := range routes {
		method, path, _ := strings.Cut(r, " ")
		json := strings.HasPrefix(path, "/api/") || strings.HasSuffix(path, "z")
		if json && method != "HEAD" && !slices.Contains(ops, openapi.Operation{Method: method, Path: path}) {
			t.Errorf("the description lacks %s", r)
		}
	}
}
