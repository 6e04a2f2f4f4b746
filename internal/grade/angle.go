package grade

import (
	"math"

	"boxwright/internal/geom"
)

// Deviation returns the signed angle from the direction of the vanishing
// point v, taken at m, to the undirected line through m along d: positive
// when the drawn line is turned clockwise from correct, in (-90°, 90°]. v may
// be at infinity and may be scaled by any factor. It is 0 when v is m itself.
func Deviation(m, d geom.Vec, v geom.Point) geom.Angle { return deviation(m, d, 0, v) }

// Bounded is Deviation for a stroke of the given length through m, held down
// where the point lies next to the stroke: there the distance of the point
// from the line, in half lengths, takes the angle's place, so that it never
// blows up. Far from the point both agree.
func Bounded(m, d geom.Vec, length float64, v geom.Point) geom.Angle {
	return deviation(m, d, length, v)
}

func deviation(m, d geom.Vec, length float64, v geom.Point) geom.Angle {
	t := v.From(m)
	c, s := d.Dot(t), d.Cross(t)
	if c < 0 {
		s = -s
	}
	h := v.W * length / 2
	a := -math.Atan2(s, math.Hypot(c, h))
	if a <= -math.Pi/2 {
		a = math.Pi / 2
	}
	return geom.Angle(a + 0) // + 0 turns -0 into 0
}

// Miss returns the distance in mm by which the line through m along the unit
// vector d, extended, passes the point v. ok is false for a point at infinity.
func Miss(m, d geom.Vec, v geom.Point) (mm float64, ok bool) {
	if v.W == 0 {
		return 0, false
	}
	return math.Abs(d.Cross(v.From(m)) / v.W), true
}

// deviationSE is the standard error of a deviation whose line has the
// standard deviations dir of its direction and off across itself.
func deviationSE(m geom.Vec, dir geom.Angle, off float64, v geom.Point) geom.Angle {
	t := v.From(m).Len()
	if v.W == 0 || t == 0 {
		return dir
	}
	return geom.Angle(math.Hypot(float64(dir), off*v.W/t))
}
