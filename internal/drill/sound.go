package drill

import (
	"errors"
	"fmt"
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// ErrUnsound is what every error of Sound wraps.
var ErrUnsound = errors.New("drill: unsound exercise")

func unsound(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrUnsound, fmt.Sprintf(format, args...))
}

// Sound reports the first condition of a sound exercise that x breaks; nil:
// it keeps all. It goes by what x itself says, with its viewing and corners
// in the order of perspective.Edges, as New makes them.
func Sound(x *Exercise) error {
	if x.Kind == Join {
		return soundJoin(x)
	}
	if x.Kind != Finish || x.Viewing == nil || x.Horizon == nil ||
		len(x.Corners) != 8 || len(x.Edges) != 12 || len(x.Points) != 3 || len(x.Boxes) != 1 {
		return unsound("not a whole box")
	}
	p, err := pictureOf(x)
	if err != nil {
		return err
	}
	if err := trueProjection(x, &p); err != nil {
		return err
	}
	s := perspective.Station{Principal: x.Viewing.Principal, Distance: x.Viewing.Distance, Pitch: x.Viewing.Pitch}
	m := s.Measure(&p, x.Sheet.Width, x.Sheet.Height)
	limits := perspective.Sound
	limits.Hull = minHull
	if x.View != One && isAcross(x) {
		limits.Faces = [4]int{3, 2, 2, 2}
	}
	if f := m.Faults(&limits); f != 0 {
		return unsound("%v: %+v", f, m)
	}
	if m.AnyVertex < limits.Vertex {
		return unsound("two edges at a corner all but in line: %.1f deg", m.AnyVertex.Degrees())
	}
	if m.Hull > maxHull {
		return unsound("too big: %.1f mm", m.Hull)
	}
	return soundDistance(x, m.Hull)
}

// soundDistance bounds the viewing distance, nearer only for a small box with
// both points on the sheet.
func soundDistance(x *Exercise, hull float64) error {
	d := x.Viewing.Distance
	if d > maxDistance {
		return unsound("seen from %.0f mm", d)
	}
	if d >= minDistance {
		return nil
	}
	for _, q := range x.Points[:2] {
		v, ok := q.At.Vec()
		if !ok || v.X < 0 || v.X > x.Sheet.Width || v.Y < 0 || v.Y > x.Sheet.Height {
			return unsound("seen from %.0f mm with a point off the sheet", d)
		}
	}
	if x.View != Two || hull > maxCloseHull {
		return unsound("seen from %.0f mm", d)
	}
	return nil
}

// isAcross reports whether the horizon runs between the box's level faces: its
// uprights all cross it.
func isAcross(x *Exercise) bool {
	for _, e := range x.Edges {
		if e.Set == perspective.Height {
			g := x.Segment(e)
			if x.Horizon.Line.Dist(g.A)*x.Horizon.Line.Dist(g.B) >= 0 {
				return false
			}
		}
	}
	return true
}

// facing is the sense in which a face's corners go round on the sheet, in the
// order of perspective.Faces, when the face is seen from outside: +1 clockwise.
var facing = [6]float64{1, -1, -1, 1, 1, -1}

// pictureOf reads x back as a picture. Which faces are visible is told by the
// sense of their drawn corners, not by the eye's place in the world.
func pictureOf(x *Exercise) (p perspective.Picture, err error) {
	p.Corners = [8]geom.Vec(x.Corners)
	for i, f := range perspective.Faces {
		a, c := p.Corners[f[2]].Sub(p.Corners[f[0]]), p.Corners[f[3]].Sub(p.Corners[f[1]])
		p.Visible[i] = a.Cross(c)*facing[i] > 0
	}
	p.Hidden = perspective.HiddenEdges(p.Visible)
	for k, set := range perspective.Sets {
		p.Points[k] = x.Points[k].At
		if x.Points[k].Set != set {
			return p, unsound("points out of order")
		}
	}
	for i, e := range x.Edges {
		if w := perspective.Edges[i]; e.Set != w.Set || e.Corners != w.Corners {
			return p, unsound("edge %d out of order", i)
		}
		if e.Hidden != p.Hidden[i] {
			return p, unsound("edge %d hidden: %v", i, e.Hidden)
		}
	}
	return p, nil
}

// Tolerances of a true projection: rounding error, and no more.
const (
	aimTolerance   = 1e-9 // an edge's direction against its point, rad
	rightTolerance = 1e-9 // the cosine of a right angle at the eye
)

// trueProjection checks that the sheet is one: every edge runs to its set's
// point, the three points belong to directions at right angles seen from the
// eye, and the level ones lie on the horizon.
func trueProjection(x *Exercise, p *perspective.Picture) error {
	for i, e := range x.Edges {
		g := x.Segment(e)
		to := x.Points[e.Set].At.From(geom.Mid(g.A, g.B))
		if a := lineAngle(g.B.Sub(g.A), to); float64(a) > aimTolerance {
			return unsound("edge %d misses its point by %g deg", i, a.Degrees())
		}
	}
	var dir [3]geom.Vec3 // from the eye to the points
	for k, v := range p.Points {
		to := v.From(x.Viewing.Principal)
		dir[k] = geom.Vec3{X: to.X, Y: to.Y, Z: v.W * x.Viewing.Distance}
	}
	for k := range dir {
		a, b := dir[k], dir[(k+1)%3]
		if c := a.Dot(b) / a.Len() / b.Len(); math.Abs(c) > rightTolerance {
			return unsound("sets %d and %d are not at right angles: cosine %g", k, (k+1)%3, c)
		}
	}
	finite := map[View]int{One: 1, Two: 2, Three: 3}[x.View]
	if p.FinitePoints() != finite {
		return unsound("%d finite points in a %s-point view", p.FinitePoints(), x.View)
	}
	for _, q := range x.Points[:2] {
		l := x.Horizon.Line
		if d := float64(l.A*q.At.X) + float64(l.B*q.At.Y) + float64(l.C*q.At.W); math.Abs(d) > 1e-6 {
			return unsound("%s lies %g mm off the horizon", q.ID, d)
		}
	}
	return nil
}

// soundJoin checks the dots of a join sheet.
func soundJoin(x *Exercise) error {
	if n := len(x.Targets); n < 8 || n > 12 {
		return unsound("%d lines", n)
	}
	for i, t := range x.Targets {
		g := geom.Segment{A: t.A, B: t.B}
		if l := g.Len(); l < minJoin || l > maxJoin {
			return unsound("%s is %.1f mm long", t.ID, l)
		}
		for _, p := range [2]geom.Vec{t.A, t.B} {
			if min(p.X, p.Y, x.Sheet.Width-p.X, x.Sheet.Height-p.Y) < joinMargin {
				return unsound("%s comes too near the sheet's edge", t.ID)
			}
		}
		for _, u := range x.Targets[:i] {
			if !apart(g, geom.Segment{A: u.A, B: u.B}, true) {
				return unsound("%s and %s can be taken for each other", t.ID, u.ID)
			}
		}
	}
	return nil
}
