package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-chi/chi/v5"

	"boxwright/internal/drill"
	"boxwright/internal/store"
)

// A bench is a server on a database of its own, over a real connection.
type bench struct {
	testing.TB
	url string
	dir string // the data folder
	log *lockedBuffer
	srv *Server
}

type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

func newBench(t testing.TB, change func(*Config)) *bench {
	t.Helper()
	b := &bench{TB: t, dir: t.TempDir(), log: new(lockedBuffer)}
	st, err := store.Open(t.Context(), b.dir)
	if err != nil {
		t.Fatal(err)
	}
	c := Config{Store: st, Log: slog.New(slog.NewJSONHandler(b.log, nil)), Now: time.Now}
	if change != nil {
		change(&c)
	}
	if b.srv, err = New(c); err != nil {
		t.Fatal(err)
	}
	h := httptest.NewServer(b.srv)
	b.url = h.URL
	t.Cleanup(func() {
		h.Close()
		if err := st.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

// A client is one person's browser: it keeps its cookies.
type client struct {
	*bench
	http *http.Client
}

func (b *bench) client() *client {
	b.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		b.Fatal(err)
	}
	return &client{b, &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

type answer struct {
	status int
	header http.Header
	body   []byte
}

func (c *client) do(method, path, contentType, body string, header ...string) answer {
	c.Helper()
	req, err := http.NewRequest(method, c.url+path, strings.NewReader(body))
	if err != nil {
		c.Fatal(err)
	}
	if contentType != "" {
		req.Header.Set("Content-Type", contentType)
	}
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	res, err := c.http.Do(req)
	if err != nil {
		c.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		c.Fatal(err)
	}
	return answer{res.StatusCode, res.Header, b}
}

func (c *client) get(path string) answer { c.Helper(); return c.do(http.MethodGet, path, "", "") }

func (c *client) post(path, body string) answer {
	c.Helper()
	return c.do(http.MethodPost, path, "application/json", body)
}

// want fails the test unless the answer has the status.
func (c *client) want(a answer, status int) answer {
	c.Helper()
	if a.status != status {
		c.Fatalf("status %d, want %d: %.400s", a.status, status, a.body)
	}
	return a
}

// issue asks for an exercise and returns it with its answers, which the
// generator knows from the seed.
func (c *client) issue(k drill.Kind, v drill.View, level int) *drill.Exercise {
	c.Helper()
	a := c.want(c.post("/api/v1/exercises", fmt.Sprintf(`{"drill":%q,"view":%q,"level":%d}`, k, v, level)), http.StatusCreated)
	var doc struct{ ID, Seed string }
	if err := json.Unmarshal(a.body, &doc); err != nil {
		c.Fatal(err)
	}
	if want := "/api/v1/exercises/" + doc.ID; a.header.Get("Location") != want {
		c.Fatalf("Location %q, want %q", a.header.Get("Location"), want)
	}
	seed, err := strconv.ParseUint(doc.Seed, 10, 64)
	if err != nil {
		c.Fatal(err)
	}
	x, err := drill.New(k, v, level, seed)
	if err != nil {
		c.Fatal(err)
	}
	x.ID = doc.ID
	return x
}

// attemptID makes the nth attempt id.
func attemptID(n int) string { return fmt.Sprintf("0190b6a4-7c00-7000-8000-%012x", n) }

// drawn is an attempt in which every asked line is drawn, each end moved down
// by shift mm.
func drawn(x *drill.Exercise, id string, shift float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, `{"version":1,"attempt":%q,"exercise":%q,"input":{"pointer":"pen","px_per_mm":3.1},"strokes":[`, id, x.ID)
	sep := ""
	line := func(ax, ay, bx, by float64) {
		fmt.Fprintf(&b, `%s{"x":[%.2f,%.2f,%.2f],"y":[%.2f,%.2f,%.2f],"t":[0,8,16]}`, sep, ax, (ax+bx)/2, bx, ay+shift, (ay+by)/2+shift, by+shift)
		sep = ","
	}
	for _, e := range x.Edges {
		if !e.Given {
			s := x.Segment(e)
			line(s.A.X, s.A.Y, s.B.X, s.B.Y)
		}
	}
	for _, t := range x.Targets {
		line(t.A.X, t.A.Y, t.B.X, t.B.Y)
	}
	b.WriteString(`]}`)
	return b.String()
}

// handIn draws and hands in x.
func (c *client) handIn(x *drill.Exercise, id string) answer {
	c.Helper()
	return c.want(c.post("/api/v1/exercises/"+x.ID+"/attempts", drawn(x, id, 0)), http.StatusCreated)
}

// routeList lists the routes, as "METHOD /path".
func (s *Server) routeList() []string {
	var out []string
	err := chi.Walk(s.handler.(chi.Routes), func(method, route string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		out = append(out, method+" "+route)
		return nil
	})
	if err != nil {
		panic(err)
	}
	return out
}
