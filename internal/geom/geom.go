// Package geom holds the plane geometry that the rest of Boxwright stands on:
// vectors, homogeneous points, lines and angles. It knows nothing of
// perspective.
//
// Plane coordinates are millimetres on the sheet, x to the right, y down.
// Angles are positive clockwise as seen on the sheet, which is the direction
// in which atan2(y, x) grows when y points down.
package geom

import "math"

// Angle is an angle in radians; on the sheet it is positive clockwise.
type Angle float64

// Degrees makes an Angle of a number of degrees.
func Degrees(d float64) Angle { return Angle(d * math.Pi / 180) }

// Degrees returns a in degrees.
func (a Angle) Degrees() float64 { return float64(a) * 180 / math.Pi }

// Fold brings a, the angle between two undirected lines, into (-90°, 90°].
func (a Angle) Fold() Angle {
	r := math.Remainder(float64(a), math.Pi) // [-π/2, π/2]
	if r <= -math.Pi/2 {
		r += math.Pi
	}
	return Angle(r)
}

// Vec is a point or a vector of the sheet, in millimetres.
type Vec struct{ X, Y float64 }

// Add returns v + w.
func (v Vec) Add(w Vec) Vec { return Vec{v.X + w.X, v.Y + w.Y} }

// Sub returns v - w.
func (v Vec) Sub(w Vec) Vec { return Vec{v.X - w.X, v.Y - w.Y} }

// Scale returns k v. The products are rounded here, so that no machine fuses
// them into a later sum.
func (v Vec) Scale(k float64) Vec { return Vec{float64(k * v.X), float64(k * v.Y)} }

// Dot returns the scalar product. The products are rounded before they are
// added, so that every machine gives the same bits.
func (v Vec) Dot(w Vec) float64 { return float64(v.X*w.X) + float64(v.Y*w.Y) }

// Cross returns the z part of the vector product; it is positive when w is
// clockwise from v as seen on the sheet.
func (v Vec) Cross(w Vec) float64 { return float64(v.X*w.Y) - float64(v.Y*w.X) }

// Len returns the length of v.
func (v Vec) Len() float64 { return math.Hypot(v.X, v.Y) }

// Perp returns v turned clockwise by 90 degrees as seen on the sheet.
func (v Vec) Perp() Vec { return Vec{-v.Y, v.X} }

// Angle returns the direction of v in (-180°, 180°]; that of the zero vector
// is 0.
func (v Vec) Angle() Angle { return Angle(math.Atan2(v.Y, v.X)) }

// Unit returns v at length 1. The zero vector gives ok = false and itself.
func (v Vec) Unit() (u Vec, ok bool) {
	l := v.Len()
	if l == 0 || math.IsInf(l, 0) || math.IsNaN(l) {
		return v, false
	}
	return Vec{v.X / l, v.Y / l}, true
}

// Finite reports whether both coordinates are finite numbers.
func (v Vec) Finite() bool { return finite(v.X) && finite(v.Y) }

// Direction returns the unit vector at angle a.
func Direction(a Angle) Vec { s, c := math.Sincos(float64(a)); return Vec{c, s} }

// Mid returns the point halfway between v and w.
func Mid(v, w Vec) Vec { return Vec{(v.X + w.X) / 2, (v.Y + w.Y) / 2} }

// Segment is a straight stroke from A to B.
type Segment struct{ A, B Vec }

// Len returns the segment's length.
func (s Segment) Len() float64 { return s.B.Sub(s.A).Len() }

// Dist returns the distance from p to the nearest point of the segment.
func (s Segment) Dist(p Vec) float64 {
	d := s.B.Sub(s.A)
	l2 := d.Dot(d)
	if l2 == 0 {
		return p.Sub(s.A).Len()
	}
	t := min(1, max(0, p.Sub(s.A).Dot(d)/l2))
	return p.Sub(s.A.Add(d.Scale(t))).Len()
}

// Vec3 is a point or a vector of the world: X right, Y ahead, Z up, in free
// units.
type Vec3 struct{ X, Y, Z float64 }

// Add returns v + w.
func (v Vec3) Add(w Vec3) Vec3 { return Vec3{v.X + w.X, v.Y + w.Y, v.Z + w.Z} }

// Sub returns v - w.
func (v Vec3) Sub(w Vec3) Vec3 { return Vec3{v.X - w.X, v.Y - w.Y, v.Z - w.Z} }

// Scale returns k v, its products rounded as those of Vec.Scale.
func (v Vec3) Scale(k float64) Vec3 {
	return Vec3{float64(k * v.X), float64(k * v.Y), float64(k * v.Z)}
}

// Dot returns the scalar product.
func (v Vec3) Dot(w Vec3) float64 {
	return float64(v.X*w.X) + float64(v.Y*w.Y) + float64(v.Z*w.Z)
}

// Len returns the length of v.
func (v Vec3) Len() float64 { return math.Sqrt(v.Dot(v)) }

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
