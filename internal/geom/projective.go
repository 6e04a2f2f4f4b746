package geom

import "math"

// Point is a point of the sheet in homogeneous coordinates: (X/W, Y/W) in
// millimetres where W is not 0, the direction (X, Y) at infinity where it is.
// A non-zero multiple, also a negative one, is the same point.
type Point struct{ X, Y, W float64 }

// At makes a finite Point.
func At(v Vec) Point { return Point{v.X, v.Y, 1} }

// Toward makes the point at infinity in the direction d, in canonical form.
// The zero vector gives the zero Point, which is no point.
func Toward(d Vec) Point { return Point{d.X, d.Y, 0}.Canonical() }

// Canonical scales p so that W is 1 for a finite point; a point at infinity
// becomes a unit direction with X > 0, or X = 0 and Y > 0. The zero Point, or
// one with a part that is not finite, gives the zero Point.
func (p Point) Canonical() Point {
	if !finite(p.X) || !finite(p.Y) || !finite(p.W) {
		return Point{}
	}
	if p.W != 0 {
		return Point{p.X / p.W, p.Y / p.W, 1}
	}
	u, ok := Vec{p.X, p.Y}.Unit()
	if !ok {
		return Point{}
	}
	if u.X < 0 || u.X == 0 && u.Y < 0 {
		u = u.Scale(-1)
	}
	return Point{u.X + 0, u.Y + 0, 0} // + 0 turns -0 into 0
}

// Finite reports whether p lies on the sheet's plane proper.
func (p Point) Finite() bool { return p.W != 0 }

// Vec returns the finite point's coordinates; ok is false at infinity.
func (p Point) Vec() (v Vec, ok bool) {
	if p.W == 0 {
		return Vec{}, false
	}
	return Vec{p.X / p.W, p.Y / p.W}, true
}

// From returns the vector from m toward p, scaled by W: p.xy - W m. For a
// point at infinity it is the direction itself. Its sign has no meaning.
func (p Point) From(m Vec) Vec { return Vec{p.X - float64(p.W*m.X), p.Y - float64(p.W*m.Y)} }

// Line is the line A x + B y + C = 0; the line at infinity has A = B = 0.
type Line struct{ A, B, C float64 }

// Join returns the normalised line through p and q. Two equal points give the
// zero Line, which is no line.
func Join(p, q Point) Line {
	return Line{
		float64(p.Y*q.W) - float64(p.W*q.Y),
		float64(p.W*q.X) - float64(p.X*q.W),
		float64(p.X*q.Y) - float64(p.Y*q.X),
	}.Normalised()
}

// Through returns the normalised line through two finite points.
func Through(v, w Vec) Line { return Join(At(v), At(w)) }

// Normalised scales l so that A² + B² = 1. The line at infinity becomes
// (0, 0, 1), the zero Line stays zero.
func (l Line) Normalised() Line {
	n := math.Hypot(l.A, l.B)
	if n == 0 {
		if l.C == 0 {
			return Line{}
		}
		return Line{0, 0, 1}
	}
	return Line{l.A / n, l.B / n, l.C / n}
}

// Meet returns the point that l and m share, not scaled; parallel lines meet
// at infinity. Equal lines give the zero Point.
func Meet(l, m Line) Point {
	return Point{
		float64(l.B*m.C) - float64(l.C*m.B),
		float64(l.C*m.A) - float64(l.A*m.C),
		float64(l.A*m.B) - float64(l.B*m.A),
	}
}

// Dist returns the signed distance of v from the normalised line l.
func (l Line) Dist(v Vec) float64 { return float64(l.A*v.X) + float64(l.B*v.Y) + l.C }
