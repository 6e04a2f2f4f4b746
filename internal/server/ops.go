package server

import (
	"net/http"
	"path"
	"strings"

	"github.com/go-chi/chi/v5"

	"boxwright/web"
)

func (s *Server) getHealth(w http.ResponseWriter, r *http.Request) error {
	write(w, r, http.StatusOK, jsonType, []byte(`{"status":"alive"}`))
	return nil
}

func (s *Server) getReady(w http.ResponseWriter, r *http.Request) error {
	if err := s.Store.Ready(r.Context()); err != nil {
		s.Log.Error("not ready", "id", requestIDOf(r), "error", err)
		write(w, r, http.StatusServiceUnavailable, jsonType, []byte(`{"status":"not ready"}`))
		return nil
	}
	write(w, r, http.StatusOK, jsonType, []byte(`{"status":"ready"}`))
	return nil
}

func (s *Server) getOpenAPI(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Cache-Control", "public, max-age=3600")
	write(w, r, http.StatusOK, jsonType, web.OpenAPI())
	return nil
}

func (s *Server) getIcon(w http.ResponseWriter, r *http.Request) error {
	http.Redirect(w, r, s.frame.Assets+"icon.svg", http.StatusSeeOther)
	return nil
}

// assetTypes are the kinds of file that are served; the system's own table is
// not asked, for it differs from one machine to the next.
var assetTypes = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".svg": svgType, ".woff2": "font/woff2", ".txt": "text/plain; charset=utf-8",
}

// getAsset serves the embedded files. An address with this build's version
// may be kept for ever; one with another version, from a page that outlived an
// update, still gets today's file, but not to keep.
func (s *Server) getAsset(w http.ResponseWriter, r *http.Request) error {
	name := chi.URLParam(r, "*")
	kind, ok := assetTypes[path.Ext(name)]
	if !ok || strings.Contains(name, "..") {
		return errNotFound
	}
	body, err := web.Read(name)
	if err != nil {
		return errNotFound
	}
	if chi.URLParam(r, "version") == web.Version() {
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	write(w, r, http.StatusOK, kind, body)
	return nil
}
