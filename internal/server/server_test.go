package server

import (
	"bytes"
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/store"
)

// TestRoutes asks every route as it is meant to be asked.
func TestRoutes(t *testing.T) {
	c := newBench(t, nil).client()
	x := c.issue(drill.Finish, drill.Two, 3)
	c.handIn(x, attemptID(1))
	assets := c.srv.frame.Assets
	for _, r := range []struct {
		method, path string
		status       int
		kind         string
	}{
		{"GET", "/", 200, "text/html"},
		{"GET", "/practice", 200, "text/html"},
		{"GET", "/progress", 200, "text/html"},
		{"GET", "/sheets/" + x.ID, 200, "text/html"},
		{"GET", "/sheets/" + x.ID + ".svg", 200, "image/svg+xml"},
		{"GET", "/sheets/" + x.ID + ".pdf", 200, "application/pdf"},
		{"GET", "/attempts/" + attemptID(1), 200, "text/html"},
		{"GET", "/attempts/" + attemptID(1) + "/redline", 200, "text/html"},
		{"GET", "/attempts/" + attemptID(1) + ".svg", 200, "image/svg+xml"},
		{"GET", "/api/v1/exercises/" + x.ID, 200, "application/json"},
		{"GET", "/api/v1/attempts/" + attemptID(1), 200, "application/json"},
		{"GET", "/api/v1/progress", 200, "application/json"},
		{"GET", "/api/v1/openapi.json", 200, "application/json"},
		{"GET", "/healthz", 200, "application/json"},
		{"GET", "/readyz", 200, "application/json"},
		{"GET", "/favicon.ico", 303, ""},
		{"GET", assets + "js/sheet.js", 200, "text/javascript"},
		{"GET", assets + "css/base.css", 200, "text/css"},
		{"GET", assets + "icon.svg", 200, "image/svg+xml"},
		{"GET", assets + "openapi.json", 404, "text/html"},
		{"GET", assets + "web.go", 404, "text/html"},
		{"GET", assets + "../web.go", 404, "text/html"},
		{"HEAD", "/", 200, "text/html"},
		{"HEAD", "/sheets/" + x.ID + ".svg", 200, "image/svg+xml"},
		{"GET", "/nothing", 404, "text/html"},
		{"GET", "/sheets/nothing", 404, "text/html"},
		{"GET", "/sheets/nothing.svg", 404, "text/html"},
		{"GET", "/attempts/nothing", 404, "text/html"},
		{"GET", "/api/v1/nothing", 404, "application/problem+json"},
		{"GET", "/api/v1/exercises/nothing", 404, "application/problem+json"},
		{"GET", "/api/v1/attempts/nothing", 404, "application/problem+json"},
		{"DELETE", "/api/v1/exercises/" + x.ID, 405, "application/problem+json"},
		{"PUT", "/progress", 405, "text/html"},
	} {
		t.Run(r.method+" "+r.path, func(t *testing.T) {
			a := c.do(r.method, r.path, "", "")
			if a.status != r.status || !strings.HasPrefix(a.header.Get("Content-Type"), r.kind) {
				t.Errorf("status %d, type %q; want %d, %q: %.300s", a.status, a.header.Get("Content-Type"), r.status, r.kind, a.body)
			}
			if (r.method == "HEAD") != (len(a.body) == 0) && r.status != 303 {
				t.Errorf("%d bytes of body", len(a.body))
			}
			for name, want := range map[string]string{
				"Content-Security-Policy": policy, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer",
				"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin", "Strict-Transport-Security": "",
			} {
				if got := a.header.Get(name); got != want {
					t.Errorf("%s: %q, want %q", name, got, want)
				}
			}
			if len(a.header.Get("X-Request-Id")) != 16 {
				t.Errorf("request id %q", a.header.Get("X-Request-Id"))
			}
		})
	}
}

// TestAssetsAreKept: what carries this build's version may be kept for ever,
// anything else not.
func TestAssetsAreKept(t *testing.T) {
	c := newBench(t, nil).client()
	if a := c.get(c.srv.frame.Assets + "icon.svg"); !strings.Contains(a.header.Get("Cache-Control"), "immutable") {
		t.Errorf("this version: %q", a.header.Get("Cache-Control"))
	}
	if a := c.want(c.get("/assets/older/icon.svg"), 200); a.header.Get("Cache-Control") != "no-store" {
		t.Errorf("another version: %q", a.header.Get("Cache-Control"))
	}
	if a := c.get("/progress"); a.header.Get("Cache-Control") != "no-store" {
		t.Errorf("a personal page: %q", a.header.Get("Cache-Control"))
	}
}

// TestBadInput: every bad request is told what was wrong, where, and nothing
// is kept of it.
func TestBadInput(t *testing.T) {
	c := newBench(t, nil).client()
	x := c.issue(drill.Finish, drill.Two, 3)
	good := drawn(x, attemptID(1), 0)
	to := "/api/v1/exercises/" + x.ID + "/attempts"
	change := func(old, new string) string {
		t.Helper()
		s := strings.Replace(good, old, new, 1)
		if s == good {
			t.Fatalf("%q is not in the attempt", old)
		}
		return s
	}
	jsonKind := "application/json"
	for _, r := range []struct {
		name, path, kind, body string
		status                 int
		pointer                string
	}{
		{"no body", to, jsonKind, "", 400, ""},
		{"half a body", to, jsonKind, good[:40], 400, ""},
		{"text", to, "text/plain", good, 415, ""},
		{"a form", to, "application/x-www-form-urlencoded", good, 415, ""},
		{"too large", to, jsonKind, good[:len(good)-1] + strings.Repeat(" ", 2<<20) + "}", 413, ""},
		{"another exercise", to, jsonKind, change(x.ID, "another"), 422, "/exercise"},
		{"unknown exercise", "/api/v1/exercises/nothing/attempts", jsonKind, good, 404, ""},
		{"unknown field", to, jsonKind, change(`"version":1`, `"version":1,"colour":"red"`), 422, "/colour"},
		{"unknown role", to, jsonKind, change(`"t":[0,8,16]`, `"t":[0,8,16],"role":"shade"`), 422, "/strokes/0/role"},
		{"columns of unequal length", to, jsonKind, change(`"t":[0,8,16]`, `"t":[0,8]`), 422, "/strokes/0/t"},
		{"falling time", to, jsonKind, change(`"t":[0,8,16]`, `"t":[0,8,7]`), 422, "/strokes/0/t/2"},
		{"far off the sheet", to, jsonKind, drawn(x, attemptID(1), 210+3*297), 422, "/strokes/0/y/0"},
		{"no id", to, jsonKind, change(attemptID(1), "one"), 422, "/attempt"},
		{"no drill", "/api/v1/exercises", jsonKind, `{"drill":"spiral","view":"two","level":1}`, 422, "/drill"},
		{"no view", "/api/v1/exercises", jsonKind, `{"drill":"join","view":"two","level":1}`, 422, "/view"},
		{"no level", "/api/v1/exercises", jsonKind, `{"drill":"join","view":"none","level":0}`, 422, "/level"},
		{"no seed", "/api/v1/exercises", jsonKind, `{"drill":"join","view":"none","level":1,"seed":"-1"}`, 422, "/seed"},
	} {
		t.Run(r.name, func(t *testing.T) {
			a := c.do(http.MethodPost, r.path, r.kind, r.body)
			var p struct {
				Type, Title, Detail, Pointer, Instance string
				Status                                 int
			}
			if err := json.Unmarshal(a.body, &p); err != nil {
				t.Fatalf("%v: %s", err, a.body)
			}
			if a.status != r.status || p.Status != r.status || a.header.Get("Content-Type") != "application/problem+json" {
				t.Errorf("status %d (in the document %d), want %d, type %s: %s", a.status, p.Status, r.status, a.header.Get("Content-Type"), a.body)
			}
			if p.Detail == "" || p.Title == "" || p.Pointer != r.pointer {
				t.Errorf("pointer %q, want %q; detail %q", p.Pointer, r.pointer, p.Detail)
			}
			if strings.Contains(p.Detail, "api:") || strings.Contains(p.Detail, "server:") {
				t.Errorf("the detail speaks of the program's insides: %q", p.Detail)
			}
		})
	}
	c.want(c.get("/api/v1/attempts/"+attemptID(1)), 404)
	c.want(c.post(to, good), 201)
}

// TestSameAttempt: handed in twice, it is stored once and answered the same;
// other content under the same id is refused.
func TestSameAttempt(t *testing.T) {
	c := newBench(t, nil).client()
	x := c.issue(drill.Finish, drill.One, 2)
	to := "/api/v1/exercises/" + x.ID + "/attempts"
	first := c.handIn(x, attemptID(1))
	again := c.want(c.post(to, drawn(x, attemptID(1), 0)), 200)
	if !bytes.Equal(first.body, again.body) {
		t.Errorf("first %s\nagain %s", first.body, again.body)
	}
	if first.header.Get("Location") != "/api/v1/attempts/"+attemptID(1) {
		t.Errorf("Location %q", first.header.Get("Location"))
	}
	c.want(c.post(to, drawn(x, attemptID(1), 2)), 409)
	// A UUID in capitals is the same UUID, in a document and in an address.
	capitals := strings.ToUpper(attemptID(1))
	c.want(c.post(to, drawn(x, capitals, 0)), 200)
	c.want(c.get("/api/v1/attempts/"+capitals), 200)
	c.want(c.get("/attempts/"+capitals+".svg"), 200)
	var p struct{ Attempts int }
	if err := json.Unmarshal(c.get("/api/v1/progress").body, &p); err != nil || p.Attempts != 1 {
		t.Errorf("%d attempts kept (%v)", p.Attempts, err)
	}
}

// TestSameAttemptAtOnce: a doubled request that overtakes itself.
func TestSameAttemptAtOnce(t *testing.T) {
	c := newBench(t, nil).client()
	x := c.issue(drill.Finish, drill.Three, 2)
	body := drawn(x, attemptID(1), 0)
	answers := make([]answer, 12)
	var wg sync.WaitGroup
	for i := range answers {
		wg.Go(func() { answers[i] = c.post("/api/v1/exercises/"+x.ID+"/attempts", body) })
	}
	wg.Wait()
	created := 0
	for _, a := range answers {
		if a.status == 201 {
			created++
		} else if a.status != 200 {
			t.Errorf("status %d: %s", a.status, a.body)
		}
		if !bytes.Equal(a.body, answers[0].body) {
			t.Errorf("different answers:\n%s\n%s", a.body, answers[0].body)
		}
	}
	if created != 1 {
		t.Errorf("%d requests were answered as the first", created)
	}
}

// TestLookupsMakeNoGuest: whoever comes without a cookie and asks for an id
// TestDamagedDrawing: one drawing that cannot be read hides no other, and its
// own page is a fault of the server's, not nothing.
func TestDamagedDrawing(t *testing.T) {
	c := newBench(t, nil).client()
	for n := range 2 {
		c.handIn(c.issue(drill.Finish, drill.Two, 3), attemptID(n+1))
	}
	db, err := sql.Open("sqlite", filepath.Join(c.dir, store.FileName))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("UPDATE attempt_doc SET strokes = $1 WHERE attempt = $2", []byte("rust"), attemptID(1)); err != nil {
		t.Fatal(err)
	}
	c.want(c.get("/attempts/"+attemptID(1)), 500)
	body := string(c.want(c.get("/progress"), 200).body)
	for n := range 2 {
		if !strings.Contains(body, "/attempts/"+attemptID(n+1)) {
			t.Errorf("drawing %d is not on the page", n+1)
		}
	}
	if !strings.Contains(c.log.String(), "no picture") {
		t.Error("the log does not tell of it")
	}
}

// bang is a source of randomness that fails as badly as can be.
type bang struct{ armed *bool }

func (b bang) Read(p []byte) (int, error) {
	if *b.armed {
		panic("the secret of the lighthouse")
	}
	return rand.Read(p)
}

// TestPanic: a panic is a 500 that is logged and tells nothing.
func TestPanic(t *testing.T) {
	armed := false
	c := newBench(t, func(c *Config) { c.Random = bang{&armed} }).client()
	c.want(c.get("/practice"), 200)
	armed = true
	a := c.want(c.post("/api/v1/exercises", `{"drill":"join","view":"none","level":1}`), 500)
	if bytes.Contains(a.body, []byte("lighthouse")) || a.header.Get("Content-Type") != "application/problem+json" {
		t.Errorf("answer: %s", a.body)
	}
	page := c.want(c.do(http.MethodPost, "/sheets", "application/x-www-form-urlencoded", "drill=join&view=none&level=1"), 500)
	if bytes.Contains(page.body, []byte("lighthouse")) || !bytes.Contains(page.body, []byte(page.header.Get("X-Request-Id"))) {
		t.Errorf("page: %s", page.body)
	}
	if log := c.log.String(); !strings.Contains(log, "the secret of the lighthouse") || !strings.Contains(log, a.header.Get("X-Request-Id")) {
		t.Errorf("log: %s", log)
	}
	armed = false
	c.want(c.get("/practice"), 200)
}

// TestUnknownErrorsTellNothing: an error that no one foresaw keeps its words.
func TestUnknownErrorsTellNothing(t *testing.T) {
	p := problem(errors.New("server: /var/lib/secret: broken pipe"))
	if p.Status != 500 || strings.Contains(p.Detail, "secret") {
		t.Errorf("%+v", p)
	}
}

// TestMethodNotAllowed names the methods that would do.
func TestMethodNotAllowed(t *testing.T) {
	c := newBench(t, nil).client()
	for path, want := range map[string]string{
		"/progress": "GET, HEAD", "/sheets": "POST", "/sheets/one.svg": "GET, HEAD", "/api/v1/exercises": "POST", "/api/v1/exercises/one": "GET, HEAD",
	} {
		a := c.want(c.do(http.MethodPut, path, "", ""), 405)
		if got := strings.Join(a.header.Values("Allow"), ", "); got != want {
			t.Errorf("%s: Allow %q, want %q", path, got, want)
		}
	}
}

// TestGoneClient: who hangs up before the answer is no fault of the server's.
func TestGoneClient(t *testing.T) {
	b := newBench(t, nil)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	w := httptest.NewRecorder()
	b.srv.ServeHTTP(w, httptest.NewRequestWithContext(ctx, http.MethodGet, "/practice", nil))
	if w.Code != http.StatusBadRequest || strings.Contains(b.log.String(), "ERROR") {
		t.Errorf("status %d, log %s", w.Code, b.log.String())
	}
}

// TestFormLeadsToSheet is the way of a page without script.
func TestFormLeadsToSheet(t *testing.T) {
	c := newBench(t, nil).client()
	a := c.want(c.do(http.MethodPost, "/sheets", "application/x-www-form-urlencoded", "drill=finish&view=three&level=7"), 303)
	c.want(c.get(a.header.Get("Location")), 200)
	for _, body := range []string{"", "drill=finish&view=three", "drill=finish&view=three&level=x", "drill=finish&view=none&level=1", "drill=%zz"} {
		if a := c.do(http.MethodPost, "/sheets", "application/x-www-form-urlencoded", body); a.status != 422 && a.status != 400 {
			t.Errorf("%q: status %d", body, a.status)
		}
	}
}

// TestDesk: the first page shows a sheet at once, the same on a reload, the
// next one after it is handed in.
func TestDesk(t *testing.T) {
	c := newBench(t, nil).client()
	id := func() string {
		t.Helper()
		body := string(c.want(c.get("/"), 200).body)
		_, after, ok := strings.Cut(body, `data-exercise="`)
		if !ok {
			t.Fatalf("no sheet: %.500s", body)
		}
		id, _, _ := strings.Cut(after, `"`)
		return id
	}
	first := id()
	if again := id(); again != first {
		t.Errorf("a reload shows %s instead of %s", again, first)
	}
	x := c.issue(drill.Join, drill.None, 5)
	if got := id(); got != x.ID {
		t.Errorf("the newest open sheet is %s, shown is %s", x.ID, got)
	}
	c.handIn(x, attemptID(1))
	if got := id(); got != first {
		t.Errorf("the other open sheet is %s, shown is %s", first, got)
	}
}
