package grade

import (
	"boxwright/internal/geom"
)

// DepthRatio returns how long an edge from a toward (or away from) the
// vanishing point v was drawn against its true length, in true proportions
// rather than on the sheet: b is the drawn end, truth the right one. ok is
// false where the sheet shows no such length: an end at or beyond the point.
func DepthRatio(a, b, truth geom.Vec, v geom.Point) (ratio float64, ok bool) {
	if v.W < 0 {
		v = geom.Point{X: -v.X, Y: -v.Y, W: -v.W}
	}
	t := v.From(a)
	d, ok := t.Unit()
	if !ok {
		return 0, false
	}
	far := t.Len()
	lb, lt := b.Sub(a).Dot(d), truth.Sub(a).Dot(d)
	nb, nt := far-float64(v.W*lb), far-float64(v.W*lt)
	if !(nb > 0) || !(nt > 0) || lt == 0 {
		return 0, false
	}
	ratio = lb / nb / (lt / nt)
	return ratio, finite(ratio)
}
