package sheet

import (
	"math"
	"slices"

	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

// How far the red extension of a line runs.
const (
	overrunPast  = 14 // mm past the place nearest to the point
	overrunLeast = 20 // mm at least
	overrunFree  = 16 // mm at either end where the point is at infinity
)

// notes marks the lines outside the band, each with its extension and a pill
// that bears the signed angle, and ticks the others. The worst lines choose
// their place first.
func (l *layout) notes(g *grade.Grade, truth []geom.Segment) {
	lines := slices.Clone(g.Lines)
	slices.SortStableFunc(lines, func(a, b grade.Line) int {
		switch d := math.Abs(float64(a.Error)) - math.Abs(float64(b.Error)); {
		case d > 0:
			return -1
		case d < 0:
			return 1
		}
		return 0
	})
	for i := range l.places {
		p := &l.places[i]
		p.lines = append(p.lines, truth...)
		for _, n := range lines {
			p.lines = append(p.lines, geom.Segment{A: n.From, B: n.To})
		}
	}
	for _, n := range lines {
		if n.Outside {
			l.overrun(n)
		}
	}
	for _, n := range lines {
		switch {
		case n.Outside:
			for i := range media {
				l.pill(i, n)
			}
		case n.Role == ink.RoleEdge:
			l.good(n)
		}
	}
}

// point returns the vanishing point that n is measured against; ok is false
// for a target and where the exercise has none.
func (l *layout) pointOf(n grade.Line) (geom.Point, bool) {
	if !n.HasSet {
		return geom.Point{}, false
	}
	p, ok := l.x.Point(n.Box, n.Set)
	return p.At, ok
}

// overrun draws the drawn line's extension: past a finite point, a short way
// at either end otherwise.
func (l *layout) overrun(n grade.Line) {
	dir, ok := n.To.Sub(n.From).Unit()
	if !ok {
		return
	}
	var parts []geom.Segment
	v, known := l.pointOf(n)
	at, finite := v.Vec()
	if !known || !finite || !at.Finite() {
		parts = []geom.Segment{
			{A: n.To, B: n.To.Add(dir.Scale(overrunFree))},
			{A: n.From, B: n.From.Sub(dir.Scale(overrunFree))},
		}
	} else {
		from := n.To
		if at.Sub(geom.Mid(n.From, n.To)).Dot(dir) < 0 {
			from, dir = n.From, dir.Scale(-1)
		}
		reach := max(overrunLeast, at.Sub(from).Dot(dir)+overrunPast)
		parts = []geom.Segment{{A: from, B: from.Add(dir.Scale(reach))}}
	}
	g := Group{Style: Overrun, Edge: n.Edge}
	wide := frame(l.x.Sheet, Wide)
	for _, s := range parts {
		in, out := split(s, l.paper, wide)
		g.Board, g.Where, g.Marks = false, Anywhere, []Mark{in}
		l.d.add(layerNotes, g)
		g.Board, g.Where, g.Marks = true, Wide, []Mark{out}
		l.d.add(layerNotes, g)
		for i := range l.places {
			l.places[i].lines = append(l.places[i].lines, in...)
		}
	}
}

// pill places the signed angle near the line.
func (l *layout) pill(i int, n grade.Line) {
	m, p := media[i], &l.places[i]
	text := Signed(n.Error)
	w, h := advance(text, m.letter)+1.1*m.letter, 1.42*m.letter
	dir, ok := n.To.Sub(n.From).Unit()
	if !ok {
		dir = geom.Vec{X: 1}
	}
	normal := dir.Perp()
	reach := abs(normal.X)*w/2 + abs(normal.Y)*h/2
	var wanted []rect
	var starts []geom.Vec
	for _, gap := range []float64{1.2, 1.2 + h, 2 + 2*h} {
		for _, t := range []float64{.5, .36, .64, .22, .78, .06, .94} {
			at := n.From.Add(n.To.Sub(n.From).Scale(t))
			for _, side := range []float64{-1, 1} {
				wanted = append(wanted, p.inside(box(at.Add(normal.Scale(side*(reach+gap))), w, h)))
				starts = append(starts, at)
			}
		}
	}
	k := p.place(wanted)
	r := wanted[k]
	if k >= 14 { // off the line: say which it is
		if lead, ok := leader(starts[k], r); ok {
			l.d.add(layerNotes, Group{Style: Leader, Where: m.where, Edge: n.Edge, Marks: []Mark{Segments{lead}}})
		}
	}
	l.d.add(layerNotes, Group{Style: PillPlate, Where: m.where, Edge: n.Edge, Board: !l.paper.holds(r.centre()),
		Marks: []Mark{Pill{At: r.centre(), Width: w, Height: h, Size: m.letter, Text: text}}})
}

// leader returns the line from a place on the drawn line to the pill's rim;
// ok is false where the pill covers the place.
func leader(from geom.Vec, r rect) (geom.Segment, bool) {
	s := geom.Segment{A: from, B: r.centre()}
	lo, _, ok := r.span(s.A, s.B.Sub(s.A), 0, 1)
	if !ok || lo <= 0 {
		return geom.Segment{}, false
	}
	return geom.Segment{A: from, B: along(s, lo)}, true
}

// good puts a small tick beside the middle of a line within the band.
func (l *layout) good(n grade.Line) {
	dir, ok := n.To.Sub(n.From).Unit()
	if !ok {
		return
	}
	const w, h = 2.6, 2
	p := &l.places[0]
	var wanted []rect
	normal := dir.Perp()
	gap := abs(normal.X)*w/2 + abs(normal.Y)*h/2 + 1.3
	for _, t := range []float64{.5, .38, .62, .26, .74} {
		at := n.From.Add(n.To.Sub(n.From).Scale(t))
		wanted = append(wanted, box(at.Sub(normal.Scale(gap)), w, h), box(at.Add(normal.Scale(gap)), w, h))
	}
	r := wanted[p.place(wanted)]
	foot := geom.Vec{X: r.Min.X + .36*w, Y: r.Max.Y}
	l.d.add(layerNotes, Group{Style: Good, Where: Wide | Print, Edge: n.Edge, Marks: []Mark{Segments{
		{A: geom.Vec{X: r.Min.X, Y: r.Min.Y + .55*h}, B: foot}, {A: foot, B: geom.Vec{X: r.Max.X, Y: r.Min.Y}}}}})
}
