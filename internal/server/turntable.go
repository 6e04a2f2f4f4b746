package server

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"boxwright/internal/ink"
	"boxwright/internal/page"
	"boxwright/internal/sheet"
)

// turnFirst is where the turntable stands when no position is asked for:
// turned a little, looking level.
var turnFirst = sheet.Turn{Around: 30, Up: 0, Form: sheet.CubeForm}

// getTurntable shows a position of the turntable as a page.
func (s *Server) getTurntable(w http.ResponseWriter, r *http.Request) error {
	t, err := readTurn(r.URL.RawQuery)
	if err != nil {
		return err
	}
	return writePage(w, r, page.TurntablePage(s.frame, page.NewTurntable(sheet.Turntable(t))))
}

// getTurntableFrame answers with the parts of the page that a position
// changes. They are the same for everybody.
func (s *Server) getTurntableFrame(w http.ResponseWriter, r *http.Request) error {
	t, err := readTurn(r.URL.RawQuery)
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "public, max-age=3600")
	return writePage(w, r, page.TurntableFrame(page.NewTurntable(sheet.Turntable(t))))
}

// readTurn reads a position from an address' query. What is left out or empty
// is as at first; what cannot be is an *ink.InputError that names it.
func readTurn(query string) (sheet.Turn, error) {
	q, err := url.ParseQuery(query)
	if err != nil {
		return sheet.Turn{}, &ink.InputError{Detail: "The address' query cannot be read."}
	}
	t := turnFirst
	if err := readDegrees(q, "around", sheet.MaxAround, &t.Around); err != nil {
		return sheet.Turn{}, err
	}
	if err := readDegrees(q, "up", sheet.MaxUp, &t.Up); err != nil {
		return sheet.Turn{}, err
	}
	if v := q.Get("box"); v != "" {
		t.Form = sheet.Form(v)
	}
	if len(q["box"]) > 1 || !t.Sound() {
		return sheet.Turn{}, &ink.InputError{Pointer: "box", Detail: "box is one of cube, slab and tower."}
	}
	return t, nil
}

// readDegrees reads a whole number of degrees from -limit to limit into d,
// which stays as it is when the query has none.
func readDegrees(q url.Values, name string, limit int, d *int) error {
	v := q.Get(name)
	if v == "" && len(q[name]) < 2 {
		return nil
	}
	n, err := strconv.Atoi(v)
	if err != nil || n < -limit || n > limit || len(q[name]) > 1 {
		return &ink.InputError{Pointer: name, Detail: fmt.Sprintf("%s is a whole number of degrees from %d to %d.", name, -limit, limit)}
	}
	*d = n
	return nil
}
