package perspective

import (
	"math"

	"boxwright/internal/geom"
)

// MinusDot returns -(v-p)·(w-p) for the vanishing points of two directions at
// right angles, seen from principal point p: it equals the square of the
// viewing distance (XI Congress of Photogrammetry 1968, fasc. 6, eqs 24-28).
func MinusDot(p, v, w geom.Vec) float64 { return -v.Sub(p).Dot(w.Sub(p)) }

// ViewingDistance returns the distance at which directions at right angles
// vanish in v and w, given the principal point p. ok is false when no distance
// does that: v and w then lie on the same side of p.
func ViewingDistance(p, v, w geom.Vec) (d float64, ok bool) {
	q := MinusDot(p, v, w)
	if !(q > 0) {
		return 0, false
	}
	return math.Sqrt(q), true
}

// Orthocentre returns the point in which the heights of the triangle meet;
// for the three vanishing points of a box it is the principal point. ok is
// false for a triangle without area.
func Orthocentre(t [3]geom.Vec) (p geom.Vec, ok bool) {
	// From a, the height through a is square to bc: h·bc = 0; the height
	// through b is square to ac: (h - ab)·ac = 0.
	ab, ac, bc := t[1].Sub(t[0]), t[2].Sub(t[0]), t[2].Sub(t[1])
	det := bc.Cross(ac)
	if det == 0 || math.IsNaN(det) {
		return geom.Vec{}, false
	}
	return t[0].Add(bc.Perp().Scale(ab.Dot(ac) / det)), true
}
