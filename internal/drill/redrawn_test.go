package drill

import (
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// paper is what a learner has before the first line: the given edges, dots of
// which nobody says which corner they are, and the points and horizon shown.
// From it the whole box is drawn again by ruler.
type paper struct {
	points [3]geom.Point
	known  [3]bool
	corner [8]geom.Vec
	drawn  [8]bool
}

// redrawn draws the box again from its givens alone and compares it with the
// true one: the givens must fix every asked edge.
func redrawn(x *Exercise) error {
	var p paper
	dots := p.read(x)
	if err := p.findPoints(x); err != nil {
		return err
	}
	ends := p.drawn // corners at the ends of given edges
	for _, dot := range dots {
		if err := p.nameDot(dot, ends); err != nil {
			return err
		}
	}
	for range x.Corners {
		p.extend()
	}
	const tolerance = 1e-6 // mm
	for i, c := range x.Corners {
		if !p.drawn[i] {
			return unsound("the givens do not fix corner %d", i)
		}
		if d := p.corner[i].Sub(c).Len(); d > tolerance {
			return unsound("from the givens corner %d comes %g mm beside itself", i, d)
		}
	}
	return nil
}

// read takes over what is drawn and returns the dots.
func (p *paper) read(x *Exercise) (dots []geom.Vec) {
	for _, q := range x.Points {
		if q.Shown {
			p.points[q.Set], p.known[q.Set] = q.At, true
		}
	}
	for _, e := range x.Edges {
		if e.Given {
			for _, c := range e.Corners {
				p.corner[c], p.drawn[c] = x.Corners[c], true
			}
		}
	}
	for _, m := range x.Marks {
		dots = append(dots, x.Corners[m])
	}
	return dots
}

// findPoints extends given edges to find the points that are not shown: level
// ones meet the horizon, two uprights each other.
func (p *paper) findPoints(x *Exercise) error {
	for _, k := range perspective.Sets {
		if p.known[k] {
			continue
		}
		var lines []geom.Line
		if k != perspective.Height {
			if !x.Horizon.Shown {
				return unsound("no horizon")
			}
			lines = append(lines, x.Horizon.Line)
		}
		for _, e := range x.Edges {
			if e.Given && e.Set == k {
				g := x.Segment(e)
				lines = append(lines, geom.Through(g.A, g.B))
			}
		}
		if len(lines) < 2 {
			return unsound("the givens do not fix the %v point", k)
		}
		p.points[k], p.known[k] = geom.Meet(lines[0], lines[1]), true
	}
	return nil
}

// nameDot finds the corner that a dot is: the far end of an edge from a known
// corner, whose line it lies on. It must lie on one such line and clearly off
// all others. An edge from the near upright runs away from the eye, toward its
// point.
func (p *paper) nameDot(dot geom.Vec, ends [8]bool) error {
	const on, off = 1e-6, 2.0 // mm
	name := -1
	for c := range ends {
		for _, k := range perspective.Sets {
			_, other := perspective.EdgeAt(c, k)
			if !ends[c] || ends[other] {
				continue
			}
			at, finite := p.points[k].Vec()
			if finite && at.Sub(p.corner[c]).Dot(dot.Sub(p.corner[c])) < 0 {
				continue // toward the eye
			}
			l := geom.Join(geom.At(p.corner[c]), p.points[k])
			switch d := max(l.Dist(dot), -l.Dist(dot)); {
			case d < on && name < 0:
				name = other
			case d < off:
				return unsound("a dot may be more than one corner: %g mm", d)
			}
		}
	}
	if name < 0 {
		return unsound("a dot is no corner")
	}
	p.corner[name], p.drawn[name] = dot, true
	return nil
}

// extend draws every corner in which lines from two known neighbours meet.
func (p *paper) extend() {
	for c := range p.corner {
		if p.drawn[c] {
			continue
		}
		var lines []geom.Line
		for _, k := range perspective.Sets {
			if _, other := perspective.EdgeAt(c, k); p.drawn[other] {
				lines = append(lines, geom.Join(geom.At(p.corner[other]), p.points[k]))
			}
		}
		if len(lines) < 2 {
			continue
		}
		if v, ok := geom.Meet(lines[0], lines[1]).Vec(); ok {
			p.corner[c], p.drawn[c] = v, true
		}
	}
}
