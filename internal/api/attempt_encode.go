package api

import (
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

// EncodeAttempt writes an attempt document. Without strokes it is what is
// kept of an attempt beside its packed strokes.
func EncodeAttempt(a *grade.Attempt) []byte {
	samples := 0
	for _, s := range a.Strokes {
		samples += len(s.X) + len(s.Y) + len(s.T) + len(s.P)
	}
	w := writer{make([]byte, 0, 256+64*len(a.Strokes)+8*samples)}
	w.open('{')
	w.key("version")
	w.integer(Version)
	w.key("attempt")
	w.text(a.ID)
	w.key("exercise")
	w.text(a.Exercise)
	if !a.Started.IsZero() {
		w.key("started_at")
		w.time(a.Started)
	}
	w.key("input")
	w.open('{')
	w.key("pointer")
	w.text(string(a.Input.Pointer))
	if a.Input.PxPerMM > 0 {
		w.key("px_per_mm")
		w.number(a.Input.PxPerMM)
	}
	w.close('}')
	w.key("strokes")
	w.open('[')
	for i := range a.Strokes {
		w.stroke(&a.Strokes[i])
	}
	w.close(']')
	if len(a.Marks) > 0 {
		w.key("marks")
		w.open('[')
		for _, m := range a.Marks {
			w.mark(m)
		}
		w.close(']')
	}
	w.close('}')
	return w.b
}

func (w *writer) stroke(s *ink.Stroke) {
	w.open('{')
	w.key("role")
	if s.Role == ink.RoleConstruction {
		w.text(string(s.Role))
	} else {
		w.text(string(ink.RoleEdge))
	}
	if s.By != "" {
		w.key("by")
		w.text(string(s.By))
	}
	w.key("x")
	w.numbers(s.X...)
	w.key("y")
	w.numbers(s.Y...)
	if s.T != nil {
		w.key("t")
		w.numbers(s.T...)
	}
	if s.P != nil {
		w.key("p")
		w.numbers(s.P...)
	}
	w.close('}')
}

func (w *writer) mark(m grade.Mark) {
	w.open('{')
	w.key("for")
	w.text(m.For)
	switch {
	case m.At != nil:
		w.key("at")
		w.point(*m.At)
	case m.Line != nil:
		w.key("line")
		w.line(*m.Line)
	default:
		w.key("edge")
		w.text(m.Edge)
	}
	w.close('}')
}
