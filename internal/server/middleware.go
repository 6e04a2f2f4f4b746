package server

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"net/http"
	"runtime/debug"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
)

// policy lets a page load only what comes from this server; nothing inline.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; " +
	"font-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; object-src 'none'; frame-ancestors 'none'"

// headers sets what every answer carries.
func (s *Server) headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
		h.Set("Cache-Control", "no-store")
		if s.HTTPS {
			h.Set("Strict-Transport-Security", "max-age=31536000; includeSubDomains")
		}
		next.ServeHTTP(w, r)
	})
}

type requestIDKey struct{}

// requestID gives each request a random id, for the log and the error page.
// An id from outside is not taken over: it could carry anything.
func (s *Server) requestID(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var b [8]byte
		rand.Read(b[:]) // never fails
		id := hex.EncodeToString(b[:])
		w.Header().Set("X-Request-Id", id)
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), requestIDKey{}, id)))
	})
}

func requestIDOf(r *http.Request) string {
	id, _ := r.Context().Value(requestIDKey{}).(string)
	return id
}

// routeOf returns the pattern that r matched, which unlike the path holds no
// id of anything.
func routeOf(r *http.Request) string {
	if c := chi.RouteContext(r.Context()); c != nil && c.RoutePattern() != "" {
		return c.RoutePattern()
	}
	return "none"
}

// logging writes one line a request: no address, no path, no cookie, no name.
func (s *Server) logging(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ww := middleware.NewWrapResponseWriter(w, r.ProtoMajor)
		start := s.Now()
		defer func() {
			s.Log.Info("request", "id", requestIDOf(r), "method", r.Method, "route", routeOf(r),
				"status", ww.Status(), "bytes", ww.BytesWritten(), "ms", float64(s.Now().Sub(start))/float64(time.Millisecond))
		}()
		next.ServeHTTP(ww, r)
	})
}

// recovering turns a panic into a logged 500. http.ErrAbortHandler passes:
// it is how a handler asks for the connection to be cut.
func (s *Server) recovering(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			switch v := recover(); v {
			case nil:
			case http.ErrAbortHandler:
				panic(v)
			default:
				s.Log.Error("panic", "id", requestIDOf(r), "route", routeOf(r), "value", fmt.Sprint(v), "stack", string(debug.Stack()))
				s.fail(w, r, fmt.Errorf("server: panic: %v", v))
			}
		}()
		next.ServeHTTP(w, r)
	})
}

func (s *Server) crossSite(w http.ResponseWriter, r *http.Request) { s.fail(w, r, errCrossSite) }
