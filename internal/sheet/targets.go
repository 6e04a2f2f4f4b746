package sheet

import (
	"strconv"

	"boxwright/internal/geom"
)

// glyphs are the looks of a pair's dots, dealt out in turn, so that a pair is
// found by its shape and made sure of by its number. None of them points
// anywhere.
const (
	disc = iota
	ring
	square
	diamond
	glyphs
)

// targets draws the pairs of dots to be joined, each with its number.
func (l *layout) targets() {
	for i := range l.places {
		for _, t := range l.x.Targets {
			l.places[i].boxes = append(l.places[i].boxes, box(t.A, 4, 4), box(t.B, 4, 4))
		}
	}
	for n, t := range l.x.Targets {
		for _, s := range dotSizes {
			g := Group{Style: TargetDot, Where: s.where, Edge: t.ID, Title: "pair " + strconv.Itoa(n+1),
				Marks: []Mark{glyph(n, t.A, s.scale), glyph(n, t.B, s.scale)}}
			if k := n % glyphs; k == ring || k == diamond {
				g.Style = TargetRing
			}
			l.d.add(layerGiven, g)
		}
	}
	for i := range media {
		l.targetLabels(i)
	}
}

// glyph returns the dot of the n-th pair.
func glyph(n int, at geom.Vec, scale float64) Mark {
	switch n % glyphs {
	case ring:
		return Dot{at, 1.3 * scale}
	case square:
		return box(at, 2.2*scale, 2.2*scale).area()
	case diamond:
		r := 1.75 * scale
		return Area{at.Add(geom.Vec{Y: -r}), at.Add(geom.Vec{X: r}), at.Add(geom.Vec{Y: r}), at.Add(geom.Vec{X: -r})}
	}
	return Dot{at, 1.2 * scale}
}

// targetLabels writes the pairs' numbers, best on the side away from the
// partner, where the line will not run.
func (l *layout) targetLabels(i int) {
	m := media[i]
	p := &l.places[i]
	body := .92 * m.letter
	lines := make([]geom.Segment, 0, len(l.x.Targets))
	for _, t := range l.x.Targets {
		lines = append(lines, geom.Segment{A: t.A, B: t.B})
	}
	p.lines = append(p.lines, lines...)
	for n, t := range l.x.Targets {
		text := []string{strconv.Itoa(n + 1)}
		var marks []Mark
		for _, end := range [2][2]geom.Vec{{t.A, t.B}, {t.B, t.A}} {
			wanted := p.beside(end[0], end[0].Sub(end[1]), text[0], body, m.dotGap)
			marks = append(marks, setIn(wanted[p.place(wanted)], text, body, Middle))
		}
		l.d.add(layerGiven, Group{Style: TargetLabel, Where: m.where, Edge: t.ID, Marks: marks})
	}
}

// beside lists boxes for a short text around a dot, that in direction away
// first and the opposite one last.
func (p *placer) beside(at, away geom.Vec, text string, body, clear float64) []rect {
	w, h := advance(text, body), body
	away, ok := away.Unit()
	if !ok {
		away = geom.Vec{Y: -1}
	}
	var out []rect
	for _, turn := range []float64{0, 30, -30, 60, -60, 90, -90, 120, -120, 160} {
		s := geom.Direction(away.Angle() + geom.Degrees(turn))
		gap := clear + w/2*abs(s.X) + h/2*abs(s.Y)
		out = append(out, p.inside(box(at.Add(s.Scale(gap)), w, h)))
	}
	return out
}

func abs(v float64) float64 { return max(v, -v) }
