package grade

import (
	"fmt"
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// Check tests what an attempt says against its exercise: strokes within the
// limits of package ink and near the sheet, marks that answer something. It
// returns nil or an *ink.InputError.
func Check(x *drill.Exercise, a *Attempt) error {
	if err := ink.Check(a.Strokes); err != nil {
		return err
	}
	reach := ink.MaxReach * x.Sheet.Width
	for i, s := range a.Strokes {
		for k := range s.X {
			dx, dy := off(s.X[k], x.Sheet.Width), off(s.Y[k], x.Sheet.Height)
			if dx > reach || dx >= dy && math.Hypot(dx, dy) > reach {
				return tooFar("x", i, k)
			}
			if math.Hypot(dx, dy) > reach {
				return tooFar("y", i, k)
			}
		}
	}
	for i, m := range a.Marks {
		if err := checkMark(x, m); err != "" {
			return &ink.InputError{Pointer: fmt.Sprintf("/marks/%d", i), Detail: err}
		}
	}
	return nil
}

// off returns how far v lies outside 0 to size.
func off(v, size float64) float64 { return max(0, -v, v-size) }

func tooFar(column string, stroke, sample int) error {
	return &ink.InputError{
		Pointer: fmt.Sprintf("/strokes/%d/%s/%d", stroke, column, sample),
		Detail:  fmt.Sprintf("farther than %d sheet widths off the sheet", ink.MaxReach),
	}
}

// checkMark returns what is wrong with m, or "".
func checkMark(x *drill.Exercise, m Mark) string {
	if m.At != nil && (m.At.Canonical() == geom.Point{} || m.Line != nil || m.Edge != "") {
		return "a mark has one of at, line and edge, and at is a point"
	}
	if l := m.Line; l != nil && (!finite(l.A) || !finite(l.B) || !finite(l.C) || l.A == 0 && l.B == 0 || m.Edge != "") {
		return "a mark has one of at, line and edge, and line is a line of the sheet"
	}
	switch {
	case m.At != nil:
		for _, p := range x.Points {
			if p.ID == m.For {
				return ""
			}
		}
		return fmt.Sprintf("the exercise has no point %q to mark", m.For)
	case m.Line != nil:
		if m.For != "horizon" || x.Horizon == nil {
			return fmt.Sprintf("the exercise has no line %q to mark", m.For)
		}
	case m.Edge != "":
		for _, e := range x.Edges {
			if e.ID == m.Edge {
				return ""
			}
		}
		return fmt.Sprintf("the exercise has no edge %q", m.Edge)
	default:
		return "a mark has one of at, line and edge"
	}
	return ""
}
