// Package server is Boxwright's rim towards the network: routes, sessions,
// handlers and the table that turns errors into answers.
package server

import (
	"context"
	"crypto/rand"
	"io"
	"log/slog"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/klauspost/compress/gzhttp"

	"boxwright/internal/page"
	"boxwright/internal/store"
	"boxwright/web"
)

// Config is what a Server needs from outside.
type Config struct {
	Store *store.Store
	Log   *slog.Logger
	Now   func() time.Time
	// HTTPS says that people reach the server over TLS, spoken by itself or
	// by a proxy before it: cookies are then bound to it, and browsers told
	// to stay with it.
	HTTPS bool
	// Random is the source of tokens, ids and seeds; nil: crypto/rand.
	Random io.Reader
}

// Server answers requests.
type Server struct {
	Config
	handler http.Handler
	frame   page.Frame
}

// Time limits of a connection. A drawing of the largest size passes in the
// read limit over a slow phone line.
const (
	readHeaderTimeout = 5 * time.Second
	readTimeout       = 60 * time.Second
	writeTimeout      = 60 * time.Second
	idleTimeout       = 2 * time.Minute
	maxHeaderBytes    = 16 << 10
)

// pruneEvery is how often guests that never handed anything in and whose
// cookie has run out are removed.
const pruneEvery = 24 * time.Hour

// New makes a Server.
func New(c Config) (*Server, error) {
	if c.Random == nil {
		c.Random = rand.Reader
	}
	s := &Server{Config: c, frame: page.Frame{Assets: "/assets/" + web.Version() + "/"}}
	compress, err := gzhttp.NewWrapper(gzhttp.MinSize(1024), gzhttp.SuffixETag(""))
	if err != nil {
		return nil, err
	}
	crossOrigin := http.NewCrossOriginProtection()
	crossOrigin.SetDenyHandler(http.HandlerFunc(s.crossSite))

	r := chi.NewRouter()
	r.Use(s.requestID, s.logging, s.recovering, s.headers, crossOrigin.Handler,
		func(next http.Handler) http.Handler { return compress(next) })
	r.NotFound(s.handle(func(http.ResponseWriter, *http.Request) error { return errNotFound }))
	r.MethodNotAllowed(s.handle(func(w http.ResponseWriter, req *http.Request) error {
		allow(w, r, req.URL.Path)
		return errMethod
	}))
	s.routes(r)
	s.handler = r
	return s, nil
}

func (s *Server) routes(r chi.Router) {
	get := func(path string, h handler) {
		r.Get(path, s.handle(h))
		r.Head(path, s.handle(h))
	}
	get("/", s.getDesk)
	get("/practice", s.getPractice)
	get("/progress", s.getProgress)
	get("/guides", s.getGuides)
	get("/guides/{id}.pdf", s.getGuidePDF)
	get("/guides/{id}", s.getGuide)
	get("/turntable", s.getTurntable)
	get("/turntable/frame", s.getTurntableFrame)
	r.Post("/sheets", s.handle(s.postSheet))
	get("/sheets/{id}.svg", s.getSheetSVG)
	get("/sheets/{id}.pdf", s.getSheetPDF)
	get("/sheets/{id}", s.getSheet)
	get("/attempts/{id}.svg", s.getAttemptSVG)
	get("/attempts/{id}/redline", s.getRedline)
	get("/attempts/{id}", s.getAttempt)

	r.Post("/api/v1/exercises", s.handle(s.postExercise))
	get("/api/v1/exercises/{id}", s.getExercise)
	r.Post("/api/v1/exercises/{id}/attempts", s.handle(s.postAttempt))
	get("/api/v1/attempts/{id}", s.getAttemptDoc)
	get("/api/v1/progress", s.getProgressDoc)
	get("/api/v1/openapi.json", s.getOpenAPI)

	get("/healthz", s.getHealth)
	get("/readyz", s.getReady)
	get("/favicon.ico", s.getIcon)
	get("/assets/{version}/*", s.getAsset)
}

// allow lists the methods that a path takes, as an answer 405 has to.
func allow(w http.ResponseWriter, r chi.Routes, path string) {
	for _, method := range []string{http.MethodGet, http.MethodHead, http.MethodPost} {
		if r.Match(chi.NewRouteContext(), method, path) {
			w.Header().Add("Allow", method)
		}
	}
}

// ServeHTTP implements http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// HTTP returns a server with the time limits set, for a listener of the
// caller's.
func (s *Server) HTTP() *http.Server {
	return &http.Server{
		Handler:           s,
		ReadHeaderTimeout: readHeaderTimeout,
		ReadTimeout:       readTimeout,
		WriteTimeout:      writeTimeout,
		IdleTimeout:       idleTimeout,
		MaxHeaderBytes:    maxHeaderBytes,
		ErrorLog:          newFaultLog(s.Log),
	}
}

// Tidy removes expired guests that never handed anything in, at once and then
// once a day until ctx ends.
func (s *Server) Tidy(ctx context.Context) {
	tick := time.NewTicker(pruneEvery)
	defer tick.Stop()
	for {
		if err := s.Store.Prune(ctx, s.Now()); err != nil && ctx.Err() == nil {
			s.Log.Error("pruning failed", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}
