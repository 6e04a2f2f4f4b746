package api

import (
	"bytes"
	"time"

	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

var (
	attemptShape = shape{[]string{"version", "attempt", "exercise", "input", "strokes"}, []string{"started_at", "marks"}}
	inputShape   = shape{[]string{"pointer"}, []string{"px_per_mm"}}
	strokeShape  = shape{[]string{"x", "y"}, []string{"role", "t", "p", "by"}}
	markShape    = shape{[]string{"for"}, []string{"at", "line", "edge"}}

	pointers = []ink.Pointer{ink.Pen, ink.Touch, ink.Mouse, ink.Keyboard, ink.TwoTap, ink.Ruler}
	// aids are the ways to draw a single stroke otherwise than free-hand.
	aids  = []ink.Pointer{ink.Ruler, ink.TwoTap, ink.Keyboard}
	roles = []ink.Role{ink.RoleEdge, ink.RoleConstruction}
)

// DecodeAttempt reads an attempt document, in one pass and with all samples
// in one piece of memory. What it refuses does not depend on the exercise;
// whether samples lie near the sheet is for package grade to say.
func DecodeAttempt(b []byte) (*grade.Attempt, error) {
	if len(b) > MaxAttemptBytes {
		return nil, ErrTooLarge
	}
	r := reader{b: b}
	a := r.attempt()
	r.end()
	if r.err != nil {
		return nil, r.err
	}
	return a, nil
}

func (r *reader) attempt() *grade.Attempt {
	a := new(grade.Attempt)
	r.object(attemptShape, func(name string) {
		switch name {
		case "version":
			r.version()
		case "attempt":
			a.ID = r.uuid()
		case "exercise":
			a.Exercise = r.id()
		case "started_at":
			a.Started = r.time()
		case "input":
			a.Input = r.input()
		case "strokes":
			a.Strokes = r.strokes()
		case "marks":
			r.array(MaxMarks, func(int) { a.Marks = append(a.Marks, r.mark()) })
		}
	})
	return a
}

// uuid reads a UUID in its usual form; capital letters become small, so that
// one id has one spelling.
func (r *reader) uuid() string {
	s := r.text()
	if r.err != nil {
		return ""
	}
	var id [36]byte
	ok := len(s) == len(id)
	for i := 0; ok && i < len(id); i++ {
		c := s[i]
		switch dash := i == 8 || i == 13 || i == 18 || i == 23; {
		case dash:
			ok = c == '-'
		case c >= 'A' && c <= 'F':
			c |= 0x20
		default:
			ok = c >= '0' && c <= '9' || c >= 'a' && c <= 'f'
		}
		id[i] = c
	}
	if !ok {
		r.fail("this must be a UUID such as 0190163d-8694-739b-aea5-966c26f8ad91")
		return ""
	}
	return string(id[:])
}

// time reads an RFC 3339 time and returns it in UTC.
func (r *reader) time() time.Time {
	s := r.text()
	if r.err != nil {
		return time.Time{}
	}
	var t time.Time
	if err := t.UnmarshalText(s); err != nil {
		r.fail("this must be a time such as 2031-03-09T18:30:00Z")
		return time.Time{}
	}
	if t = t.UTC(); t.Year() < 1970 || t.Year() > 9999 {
		r.fail("this must be a time from 1970 to 9999")
		return time.Time{}
	}
	return t
}

func (r *reader) input() (in ink.Input) {
	r.object(inputShape, func(name string) {
		switch name {
		case "pointer":
			in.Pointer = word(r, pointers)
		case "px_per_mm":
			in.PxPerMM = r.within(1e-3, 1e4)
		}
	})
	return in
}

func (r *reader) strokes() []ink.Stroke {
	var (
		a arena
		// An object begins a stroke, so this many at most.
		s = make([]ink.Stroke, 0, min(ink.MaxStrokes, bytes.Count(r.b[r.i:], []byte{'{'})))
	)
	r.array(ink.MaxStrokes, func(int) { s = append(s, r.stroke(&a)) })
	if len(s) == 0 {
		return nil
	}
	return s
}

func (r *reader) stroke(a *arena) ink.Stroke {
	s := ink.Stroke{Role: ink.RoleEdge}
	r.object(strokeShape, func(name string) {
		switch name {
		case "role":
			s.Role = word(r, roles)
		case "by":
			s.By = word(r, aids)
		case "x":
			s.X = r.column(a)
		case "y":
			s.Y = r.column(a)
		case "t":
			s.T = r.column(a)
		case "p":
			s.P = r.column(a)
		}
	})
	if r.err == nil {
		r.checkColumns(&s)
	}
	return s
}

// checkColumns asks what can only be asked of a whole stroke.
func (r *reader) checkColumns(s *ink.Stroke) {
	for _, c := range [...]struct {
		name string
		v    []float64
	}{{"y", s.Y}, {"t", s.T}, {"p", s.P}} {
		if len(c.v) != len(s.X) && c.v != nil {
			r.failAt([]step{{c.name, -1}}, "this column has %d values and x has %d: a stroke's columns must be of equal length", len(c.v), len(s.X))
			return
		}
	}
	for i, t := range s.T {
		if t < 0 {
			r.failAt([]step{{"t", -1}, {"", i}}, "this must be the milliseconds since the sheet was shown, not negative")
			return
		}
		if i > 0 && t < s.T[i-1] {
			r.failAt([]step{{"t", -1}, {"", i}}, "times must not fall: %v follows %v", t, s.T[i-1])
			return
		}
	}
	for i, p := range s.P {
		if p < 0 || p > 1 {
			r.failAt([]step{{"p", -1}, {"", i}}, "pressure must be from 0 to 1")
			return
		}
	}
}

// arena is memory for columns. Columns of one attempt lie one behind the
// other in it.
type arena struct{ free []float64 }

// arenaChunk bounds how much memory is taken on the word of a document that
// has not been read yet.
const arenaChunk = 1 << 16

// column reads an array of samples.
func (r *reader) column(a *arena) []float64 {
	if !r.open('[', "an array of numbers") {
		return nil
	}
	n := len(r.path)
	r.path = append(r.path, step{"", 0})
	c := a.free[:0]
	for more := r.more(']', true); more && len(c) < ink.MaxSamples; {
		if len(c) == cap(c) {
			ahead := 1 + bytes.Count(r.b[r.i:], []byte{','})
			c = append(make([]float64, 0, len(c)+min(ahead, arenaChunk)), c...)
		}
		r.path[n].at = len(c)
		c = append(c, r.number())
		// What nearly always follows is a comma with no space before it.
		if r.err == nil && r.i < len(r.b) && r.b[r.i] == ',' {
			r.i++
			continue
		}
		more = r.more(']', false)
	}
	r.path = r.path[:n]
	if r.err != nil {
		return nil
	}
	if whole := r.b[r.i-1] == ']'; !whole || len(c) < ink.MinSamples {
		r.fail("a stroke has from %d to %d samples", ink.MinSamples, ink.MaxSamples)
		return nil
	}
	a.free = c[len(c):]
	return c[:len(c):len(c)]
}

func (r *reader) mark() (m grade.Mark) {
	answers := 0
	r.object(markShape, func(name string) {
		if name != "for" {
			answers++
		}
		switch name {
		case "for":
			m.For = r.id()
		case "at":
			p := r.point()
			m.At = &p
		case "line":
			l := r.line()
			m.Line = &l
		case "edge":
			m.Edge = r.id()
		}
	})
	if r.err == nil && answers != 1 {
		r.fail("a mark has exactly one of at, line and edge")
	}
	return m
}
