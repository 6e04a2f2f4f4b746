package server

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"strconv"

	"github.com/a-h/templ"
)

const (
	htmlType = "text/html; charset=utf-8"
	jsonType = "application/json"
	svgType  = "image/svg+xml"
	pdfType  = "application/pdf"
)

// A handler answers a request whole, or returns an error having written
// nothing.
type handler func(w http.ResponseWriter, r *http.Request) error

func (s *Server) handle(h handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			s.fail(w, r, err)
		}
	}
}

// render renders a page to memory, so that a fault in it can still become a
// proper answer.
func render(ctx context.Context, c templ.Component) ([]byte, error) {
	var b bytes.Buffer
	if err := c.Render(ctx, &b); err != nil {
		return nil, fmt.Errorf("server: render: %w", err)
	}
	return b.Bytes(), nil
}

// write sends a whole answer. A client that has gone is nobody's fault, so
// its error is dropped.
func write(w http.ResponseWriter, r *http.Request, status int, contentType string, body []byte) {
	w.Header().Set("Content-Type", contentType)
	w.Header().Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(status)
	if r.Method != http.MethodHead {
		w.Write(body)
	}
}

// writePage renders c and sends it with status 200.
func writePage(w http.ResponseWriter, r *http.Request, c templ.Component) error {
	body, err := render(r.Context(), c)
	if err != nil {
		return err
	}
	write(w, r, http.StatusOK, htmlType, body)
	return nil
}
