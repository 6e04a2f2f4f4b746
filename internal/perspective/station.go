// Package perspective projects: a station point looks along a line of sight
// at boxes through a picture plane, and every vanishing point, the horizon,
// the measuring and distance points follow from that one arrangement.
//
// The world is right-handed, X right, Y ahead of a line of sight with yaw 0,
// Z up, in free units. World angles follow the right-hand rule: yaw turns
// about Z and is positive to the left, pitch is positive looking up; there is
// no roll. The one flip of y between the world and the sheet happens here.
package perspective

import (
	"math"

	"boxwright/internal/geom"
)

// AtInfinity is the cosine between a direction and the line of sight below
// which the direction counts as parallel to the picture plane, so that its
// vanishing point lies at infinity. At a viewing distance of 300 mm a point
// nearer than that would be 300,000 km away.
const AtInfinity = 1e-9

// OnAxis is how far, in millimetres, a vanishing point must lie beside the
// principal point to count as lying on one side of it.
const OnAxis = 1e-6

// Station is a station point with its line of sight and picture plane.
type Station struct {
	Eye        geom.Vec3  // the station point, world units
	Yaw, Pitch geom.Angle // of the line of sight, right-hand rule
	Principal  geom.Vec   // foot of the line of sight on the sheet, mm
	Distance   float64    // viewing distance, mm, > 0
}

// Axes returns the unit vectors right, up and forward of the line of sight.
func (s Station) Axes() (right, up, forward geom.Vec3) {
	sy, cy := math.Sincos(float64(s.Yaw))
	sp, cp := math.Sincos(float64(s.Pitch))
	right = geom.Vec3{X: cy, Y: sy}
	up = geom.Vec3{X: sp * sy, Y: -sp * cy, Z: cp}
	forward = geom.Vec3{X: -cp * sy, Y: cp * cy, Z: sp}
	return right, up, forward
}

// Depth returns the distance of p in front of the eye along the line of
// sight, in world units.
func (s Station) Depth(p geom.Vec3) float64 {
	_, _, f := s.Axes()
	return p.Sub(s.Eye).Dot(f)
}

// Project returns the picture of p on the sheet. ok is false for a point that
// is not in front of the eye.
func (s Station) Project(p geom.Vec3) (v geom.Vec, ok bool) {
	r, u, f := s.Axes()
	q := p.Sub(s.Eye)
	c := q.Dot(f)
	if !(c > 0) {
		return geom.Vec{}, false
	}
	return s.onSheet(q.Dot(r), q.Dot(u), c), true
}

// onSheet places the picture of what lies a to the right, b up and c ahead of
// the eye. Here y is flipped, and nowhere else.
func (s Station) onSheet(a, b, c float64) geom.Vec {
	return geom.Vec{
		X: s.Principal.X + s.Distance*a/c,
		Y: s.Principal.Y - s.Distance*b/c,
	}
}

// Ray returns the world direction of the sight line that meets the picture
// plane in v, of such a length that it reaches one world unit ahead.
func (s Station) Ray(v geom.Vec) geom.Vec3 {
	r, u, f := s.Axes()
	return f.
		Add(r.Scale((v.X - s.Principal.X) / s.Distance)).
		Add(u.Scale((s.Principal.Y - v.Y) / s.Distance))
}

// Vanishing returns the vanishing point of all lines with direction dir, in
// canonical form; it lies at infinity when dir is parallel to the picture
// plane within AtInfinity. The zero direction gives the zero Point.
func (s Station) Vanishing(dir geom.Vec3) geom.Point {
	r, u, f := s.Axes()
	a, b, c := dir.Dot(r), dir.Dot(u), dir.Dot(f)
	if math.Abs(c) < AtInfinity*dir.Len() {
		return geom.Toward(geom.Vec{X: a, Y: -b})
	}
	return geom.Point{
		X: float64(s.Principal.X*c) + float64(s.Distance*a),
		Y: float64(s.Principal.Y*c) - float64(s.Distance*b),
		W: c,
	}.Canonical()
}

// Horizon returns the picture of the eye level, y = py + d tan(pitch), as a
// normalised line. Without roll it is always level.
func (s Station) Horizon() geom.Line {
	y := s.Principal.Y + s.Distance*math.Tan(float64(s.Pitch))
	return geom.Line{A: 0, B: 1, C: -y}
}

// PlaneAngle returns the angle between direction dir and the picture plane,
// in [0°, 90°].
func (s Station) PlaneAngle(dir geom.Vec3) geom.Angle {
	r, u, f := s.Axes()
	return geom.Angle(math.Atan2(math.Abs(dir.Dot(f)), math.Hypot(dir.Dot(r), dir.Dot(u))))
}

// DistancePoints returns the vanishing points of level lines at 45 degrees to
// the picture, left one first: d/cos(pitch) to either side of the principal
// point's foot on the horizon (Storey 1910, Rule 6; ISO 10209).
func (s Station) DistancePoints() (left, right geom.Vec) {
	h := s.Horizon()
	off := s.Distance / math.Cos(float64(s.Pitch))
	return geom.Vec{X: s.Principal.X - off, Y: -h.C}, geom.Vec{X: s.Principal.X + off, Y: -h.C}
}

// MeasuringPoints returns the two measuring points that belong to the finite
// vanishing point v of set k: as far from v as v is from the eye, on the
// horizon for width and depth, on the upright through v for height. The first
// is the customary one, on the other side of the principal point (the right
// or lower one where v is straight above, below or at it). ok is false for a
// vanishing point at infinity. (Storey 1910, LVII and LXII.)
func (s Station) MeasuringPoints(k Set, v geom.Point) (first, second geom.Vec, ok bool) {
	at, ok := v.Vec()
	if !ok {
		return geom.Vec{}, geom.Vec{}, false
	}
	to := at.Sub(s.Principal)
	r := math.Hypot(s.Distance, to.Len())
	axis, side := geom.Vec{X: 1}, to.X
	if k == Height {
		axis, side = geom.Vec{Y: 1}, to.Y
	}
	if side > OnAxis {
		r = -r
	}
	return at.Add(axis.Scale(r)), at.Sub(axis.Scale(r)), true
}

// ConeAngle returns the half angle of the cone of vision that just holds the
// sheet points given; none give 0.
func (s Station) ConeAngle(points []geom.Vec) geom.Angle {
	var far float64
	for _, p := range points {
		far = max(far, p.Sub(s.Principal).Len())
	}
	return geom.Angle(math.Atan2(far, s.Distance))
}
