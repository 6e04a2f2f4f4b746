package server

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"boxwright/internal/api"
	"boxwright/internal/drill"
	"boxwright/internal/ink"
	"boxwright/internal/page"
	"boxwright/internal/store"
)

// Faults that only the rim can find.
var (
	errNotFound  = errors.New("server: not found")
	errMethod    = errors.New("server: method not allowed")
	errCrossSite = errors.New("server: cross-site request")
	errMediaType = errors.New("server: content type is not JSON")
	errBodyCut   = errors.New("server: the body could not be read")
)

// answers says how each fault is answered; a fault that is not listed is a
// 500 whose text is never shown.
var answers = []struct {
	err    error
	status int
	title  string
	detail string // "": the error's own words are meant for the public
}{
	{errNotFound, http.StatusNotFound, "Not found", "There is nothing here, or it belongs to somebody else."},
	{store.ErrNotFound, http.StatusNotFound, "Not found", "There is nothing here, or it belongs to somebody else."},
	{errMethod, http.StatusMethodNotAllowed, "Method not allowed", "This address does not take that method."},
	{errCrossSite, http.StatusForbidden, "Refused", "The request came from another site."},
	{errMediaType, http.StatusUnsupportedMediaType, "Not JSON", "Send the document as application/json."},
	// Nobody reads this one: it keeps the log free of faults that are not ours.
	{context.Canceled, http.StatusBadRequest, "Cut short", "The request ended before it was answered."},
	{errBodyCut, http.StatusBadRequest, "Cut short", "The request's body could not be read to its end."},
	{store.ErrConflict, http.StatusConflict, "Already used", "An attempt with this id and other content is already kept. Make a new id for a new attempt."},
	{api.ErrTooLarge, http.StatusRequestEntityTooLarge, "Too large", "A document may have at most 2 MiB."},
	{api.ErrSyntax, http.StatusBadRequest, "Not well-formed", ""},
	{drill.ErrKind, http.StatusUnprocessableEntity, "No such drill", ""},
	{drill.ErrView, http.StatusUnprocessableEntity, "No such view", ""},
	{drill.ErrLevel, http.StatusUnprocessableEntity, "No such level", ""},
}

// problem turns a fault into its public account.
func problem(err error) api.Problem {
	var input *ink.InputError
	if errors.As(err, &input) {
		return api.Problem{Type: "about:blank", Title: "Does not fit", Status: http.StatusUnprocessableEntity,
			Detail: input.Detail, Pointer: input.Pointer}
	}
	for _, a := range answers {
		if errors.Is(err, a.err) {
			p := api.Problem{Type: "about:blank", Title: a.title, Status: a.status, Detail: a.detail}
			if p.Detail == "" {
				p.Detail = publicWords(err)
			}
			return p
		}
	}
	return api.Problem{Type: "about:blank", Title: "Something went wrong", Status: http.StatusInternalServerError,
		Detail: "The server failed at this. Nothing that was handed in is lost; please try again."}
}

// publicWords drops the package names that an error's text begins with.
func publicWords(err error) string {
	text := err.Error()
	for _, p := range []string{"api: ", "drill: "} {
		text = strings.TrimPrefix(text, p)
	}
	return text
}

// fail answers err, as a problem document on the API's routes and as a page
// elsewhere, and logs what is the server's own fault.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	p := problem(err)
	id := requestIDOf(r)
	if p.Status >= http.StatusInternalServerError {
		s.Log.Error("request failed", "id", id, "method", r.Method, "route", routeOf(r), "error", err)
	}
	if strings.HasPrefix(r.URL.Path, "/api/") {
		p.Instance = "urn:boxwright:request:" + id
		write(w, r, p.Status, "application/problem+json", api.EncodeProblem(p))
		return
	}
	words := "" // the page has its own words for each status
	if p.Status == http.StatusUnprocessableEntity || p.Status == http.StatusConflict {
		words = p.Detail
	}
	body, err := render(context.WithoutCancel(r.Context()), page.FaultPage(s.frame, page.NewFault(p.Status, words, id)))
	if err != nil {
		s.Log.Error("error page failed", "id", id, "error", err)
		http.Error(w, p.Title, p.Status)
		return
	}
	write(w, r, p.Status, htmlType, body)
}
