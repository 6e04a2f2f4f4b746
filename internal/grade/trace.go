package grade

import (
	"cmp"
	"slices"

	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// trace is one stroke on its way to an edge.
type trace struct {
	ink.Line
	stroke   int  // index in the attempt
	freehand bool // drawn by a hand, sample by sample
	light    float64
	parts    []*trace // of a line laid down in pieces; nil for one stroke
}

// Light construction lines: below this share of the median pressure a stroke
// counts as light, and fully so from lightRange further down.
const (
	lightBelow = 0.75
	lightRange = 0.25
)

// readTraces fits all strokes. Strokes meant as construction and dots come
// back apart, by their indices. The traces are in an order that depends on
// the drawing alone, so that the order of drawing changes nothing.
func readTraces(a *Attempt) (edges, lines []trace, dots []int) {
	edges = make([]trace, 0, len(a.Strokes))
	for i, s := range a.Strokes {
		l, ok := ink.Fit(s, a.Input.Pointer)
		if !ok {
			if s.Role != ink.RoleConstruction {
				dots = append(dots, i)
			}
			continue
		}
		t := trace{Line: l, stroke: i}
		by := s.By
		if by == "" {
			by = a.Input.Pointer
		}
		t.freehand = by.FreeHand() && !l.Exact
		if s.Role == ink.RoleConstruction {
			lines = append(lines, t)
		} else {
			edges = append(edges, t)
		}
	}
	weighPressure(edges)
	slices.SortFunc(edges, func(s, t trace) int {
		return cmp.Or(cmp.Compare(s.Mid.X, t.Mid.X), cmp.Compare(s.Mid.Y, t.Mid.Y),
			cmp.Compare(s.Length, t.Length), cmp.Compare(s.Dir.X*s.Dir.Y, t.Dir.X*t.Dir.Y))
	})
	return edges, lines, dots
}

// weighPressure sets light, from 0 to 1, from each stroke's pressure against
// the median.
func weighPressure(t []trace) {
	var p []float64
	for i := range t {
		if t[i].Pressure >= 0 {
			p = append(p, t[i].Pressure)
		}
	}
	if len(p) < 3 {
		return
	}
	slices.Sort(p)
	mid := p[len(p)/2]
	if !(mid > 0) {
		return
	}
	for i := range t {
		if t[i].Pressure >= 0 {
			t[i].light = min(1, max(0, (lightBelow-t[i].Pressure/mid)/lightRange))
		}
	}
}

// along returns where p lies along s, from 0 at the first end to s.len.
func (s segment) along(p geom.Vec) float64 { return p.Sub(s.a).Dot(s.dir) }

// reach returns the stretch of s that t covers, in order, not clipped.
func (s segment) reach(t *trace) (lo, hi float64) {
	c := s.along(t.Mid)
	h := t.Dir.Dot(s.dir) * t.Length / 2
	if h < 0 {
		h = -h
	}
	return c - h, c + h
}
