package browser_test

import (
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"boxwright/internal/server"
	"boxwright/internal/store"
)

// A site is a server of the test's own on a database of its own, whose
// network can be cut.
type site struct {
	url string
	// down: connections break without an answer.
	down atomic.Bool
	// mute: attempts reach the server, but their answers are lost.
	mute atomic.Bool
	// ill: attempts are answered with 500 and not looked at.
	ill atomic.Bool
	// Attempts that reached the server, and the status of each answer.
	mu       sync.Mutex
	statuses []int
}

func newSite(t *testing.T) *site {
	t.Helper()
	if allocator == nil {
		t.Skip("there is no Chromium on this machine: browser tests are skipped")
	}
	st, err := store.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	// Sheets and tokens come from a fixed stream, so that a failure can be
	// had again.
	random := rand.NewChaCha8([32]byte([]byte("the same sheets in every run....")))
	srv, err := server.New(server.Config{
		Store: st, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Now: time.Now, Random: &locked{r: random},
	})
	if err != nil {
		t.Fatal(err)
	}
	s := &site{}
	h := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { s.serve(srv, w, r) }))
	s.url = h.URL
	t.Cleanup(func() {
		h.CloseClientConnections()
		h.Close()
		if err := st.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func (s *site) serve(next http.Handler, w http.ResponseWriter, r *http.Request) {
	if s.down.Load() {
		panic(http.ErrAbortHandler) // the connection breaks
	}
	if r.Method != http.MethodPost || !strings.HasSuffix(r.URL.Path, "/attempts") {
		next.ServeHTTP(w, r)
		return
	}
	if s.ill.Load() {
		w.WriteHeader(http.StatusInternalServerError)
		return
	}
	rec := httptest.NewRecorder()
	next.ServeHTTP(rec, r)
	s.mu.Lock()
	s.statuses = append(s.statuses, rec.Code)
	s.mu.Unlock()
	if s.mute.Load() {
		panic(http.ErrAbortHandler)
	}
	for k, v := range rec.Header() {
		w.Header()[k] = v
	}
	w.WriteHeader(rec.Code)
	w.Write(rec.Body.Bytes())
}

// answers returns the status of every attempt that the server answered.
func (s *site) answers() []int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]int(nil), s.statuses...)
}

// locked lets several requests read one random stream.
type locked struct {
	mu sync.Mutex
	r  io.Reader
}

func (l *locked) Read(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.r.Read(p)
}
