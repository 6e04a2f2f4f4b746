package api

import "boxwright/internal/geom"

// unit is how far the length of a direction may be from 1 to be taken as it
// stands: a number that was rounded on its way is not rounded again.
const unit = 1e-9

// maxCoordinate bounds what is taken for a finite place, in mm: a million
// kilometres. What is farther is as good as at infinity.
const maxCoordinate = 1e12

// point reads a homogeneous point and returns it in canonical form.
func (r *reader) point() geom.Point {
	var v [3]float64
	r.numbers(v[:])
	if r.err != nil {
		return geom.Point{}
	}
	p := geom.Point{X: v[0], Y: v[1], W: v[2]}
	c := p.Canonical()
	switch l := (geom.Vec{X: p.X, Y: p.Y}).Len(); {
	case c == geom.Point{}:
		r.fail("[0, 0, 0] is no point: a finite point is [x, y, 1], one at infinity [x, y, 0] with its direction")
	case !(geom.Vec{X: c.X, Y: c.Y}.Len() <= maxCoordinate):
		r.fail("this point is more than %.0e mm away: give it as one at infinity, [x, y, 0]", maxCoordinate)
	case p.W == 0 && l > 1-unit && l < 1+unit && (p.X > 0 || p.X == 0 && p.Y > 0):
		return p
	}
	return c
}

// line reads a line and returns it with a² + b² = 1.
func (r *reader) line() geom.Line {
	var v [3]float64
	r.numbers(v[:])
	if r.err != nil {
		return geom.Line{}
	}
	l := geom.Line{A: v[0], B: v[1], C: v[2]}
	n := geom.Vec{X: l.A, Y: l.B}.Len()
	if n > 1-unit && n < 1+unit {
		return l
	}
	l = l.Normalised()
	if n == 0 || !(geom.Vec{X: l.A, Y: l.B}.Len() > .5) || !(l.C >= -maxCoordinate && l.C <= maxCoordinate) {
		r.fail("this is no line of the sheet: a line is [a, b, c] with a² + b² = 1, meaning a x + b y + c = 0")
	}
	return l
}
