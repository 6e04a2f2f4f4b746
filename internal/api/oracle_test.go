package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"reflect"
	"strings"
	"time"
	"unicode/utf8"

	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

// The oracle is encoding/json, which shares no code with the reader here.
type (
	plainAttempt struct {
		Version  float64       `json:"version"`
		Attempt  string        `json:"attempt"`
		Exercise string        `json:"exercise"`
		Started  *time.Time    `json:"started_at"`
		Input    plainInput    `json:"input"`
		Strokes  []plainStroke `json:"strokes"`
		Marks    []plainMark   `json:"marks"`
	}
	plainInput struct {
		Pointer string  `json:"pointer"`
		PxPerMM float64 `json:"px_per_mm"`
	}
	plainStroke struct {
		Role string    `json:"role"`
		By   string    `json:"by"`
		X    []float64 `json:"x"`
		Y    []float64 `json:"y"`
		T    []float64 `json:"t"`
		P    []float64 `json:"p"`
	}
	plainMark struct {
		For  string      `json:"for"`
		At   *[3]float64 `json:"at"`
		Line *[3]float64 `json:"line"`
		Edge string      `json:"edge"`
	}
)

func plainDecode(b []byte) (*grade.Attempt, error) {
	var p plainAttempt
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(&p); err != nil {
		return nil, err
	}
	a := &grade.Attempt{ID: strings.ToLower(p.Attempt), Exercise: p.Exercise,
		Input: ink.Input{Pointer: ink.Pointer(p.Input.Pointer), PxPerMM: p.Input.PxPerMM}}
	if p.Started != nil {
		a.Started = p.Started.UTC()
	}
	for _, s := range p.Strokes {
		if s.Role == "" {
			s.Role = "edge"
		}
		a.Strokes = append(a.Strokes, ink.Stroke{Role: ink.Role(s.Role), By: ink.Pointer(s.By), X: s.X, Y: s.Y, T: s.T, P: s.P})
	}
	for _, m := range p.Marks {
		g := grade.Mark{For: m.For, Edge: m.Edge}
		if m.At != nil {
			g.At = &geom.Point{X: m.At[0], Y: m.At[1], W: m.At[2]}
		}
		if m.Line != nil {
			g.Line = &geom.Line{A: m.Line[0], B: m.Line[1], C: m.Line[2]}
		}
		a.Marks = append(a.Marks, g)
	}
	return a, nil
}

// sameAttempt compares exactly, but for the scale of points and lines.
func sameAttempt(a, b *grade.Attempt) bool {
	a, b = scaled(a), scaled(b)
	return reflect.DeepEqual(a, b)
}

func scaled(a *grade.Attempt) *grade.Attempt {
	c := *a
	c.Marks = nil
	for _, m := range a.Marks {
		if m.At != nil {
			p := m.At.Canonical()
			p.X, p.Y = float64(float32(p.X)), float64(float32(p.Y))
			m.At = &p
		}
		if m.Line != nil {
			l := m.Line.Normalised()
			l = geom.Line{A: float64(float32(l.A)), B: float64(float32(l.B)), C: float64(float32(l.C))}
			m.Line = &l
		}
		c.Marks = append(c.Marks, m)
	}
	return &c
}

// repeatedKeys reports whether an object of a valid document has a key twice.
func repeatedKeys(b []byte) bool {
	d := json.NewDecoder(bytes.NewReader(b))
	type level struct {
		keys  map[string]bool // nil in an array
		value bool            // a value comes next, not a key
	}
	var stack []level
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return false
		}
		if err != nil {
			return false
		}
		if n := len(stack); n > 0 && stack[n-1].keys != nil {
			if k, ok := tok.(string); ok && !stack[n-1].value {
				if stack[n-1].keys[k] {
					return true
				}
				stack[n-1].keys[k], stack[n-1].value = true, true
				continue
			}
			stack[n-1].value = false
		}
		switch tok {
		case json.Delim('{'):
			stack = append(stack, level{keys: map[string]bool{}})
		case json.Delim('['):
			stack = append(stack, level{})
		case json.Delim('}'), json.Delim(']'):
			stack = stack[:len(stack)-1]
		}
	}
}

// well reports whether b is JSON that is read here: encoding/json takes bad
// UTF-8 and half surrogate pairs, which no other reader need understand.
func well(b []byte) bool {
	return json.Valid(b) && utf8.Valid(b) && !bytes.Contains(bytes.ToLower(b), []byte(`\ud`))
}

// fataler is what the laws need of a test, of whichever kind.
type fataler interface {
	Fatalf(format string, args ...any)
}

// checkDecoded holds the laws of DecodeAttempt for any bytes.
func checkDecoded(t fataler, b []byte) {
	a, err := DecodeAttempt(b)
	var input *ink.InputError
	switch {
	case err == nil:
	case errors.Is(err, ErrSyntax):
		if well(b) {
			t.Fatalf("JSON taken for malformed: %v\n%.300s", err, b)
		}
		return
	case errors.As(err, &input):
		if input.Detail == "" || input.Pointer != "" && input.Pointer[0] != '/' {
			t.Fatalf("poor words: %#v", input)
		}
		return
	case errors.Is(err, ErrTooLarge):
		if len(b) <= MaxAttemptBytes {
			t.Fatalf("%d bytes too large", len(b))
		}
		return
	default:
		t.Fatalf("an error of no kind: %v", err)
	}
	want, err := plainDecode(b)
	if err != nil {
		t.Fatalf("encoding/json refuses: %v\n%.300s", err, b)
	}
	if !sameAttempt(a, want) {
		t.Fatalf("got  %+v\nwant %+v", a, want)
	}
	if repeatedKeys(b) {
		t.Fatalf("a repeated key was taken: %.300s", b)
	}
	if err := ink.Check(a.Strokes); err != nil {
		t.Fatalf("decoded strokes break the limits: %v", err)
	}
	again, err := DecodeAttempt(EncodeAttempt(a))
	if err != nil || !reflect.DeepEqual(a, again) {
		t.Fatalf("written and read again: %v\n%+v\n%+v", err, a, again)
	}
}
