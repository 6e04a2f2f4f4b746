package perspective

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"boxwright/internal/geom"
)

// stations draws any station with its line of sight off the zenith.
func stations(t *rapid.T) Station {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	return Station{
		Eye: geom.Vec3{X: f("ex", -9, 9), Y: f("ey", -9, 9), Z: f("ez", -9, 9)},
		Yaw: geom.Degrees(f("yaw", -200, 200)), Pitch: geom.Degrees(f("pitch", -70, 70)),
		Principal: geom.Vec{X: f("px", -100, 400), Y: f("py", -100, 300)}, Distance: f("d", 50, 600),
	}
}

// inView draws a point between 2 and 30 units ahead of s, within its cone.
func inView(t *rapid.T, s Station, name string) geom.Vec3 {
	r, u, f := s.Axes()
	ahead := rapid.Float64Range(2, 30).Draw(t, name+" ahead")
	a := rapid.Float64Range(-.6, .6).Draw(t, name+" right")
	b := rapid.Float64Range(-.6, .6).Draw(t, name+" up")
	return s.Eye.Add(f.Scale(ahead)).Add(r.Scale(a * ahead)).Add(u.Scale(b * ahead))
}

// boxes draws a box all of whose corners are before s.
func boxes(t *rapid.T, s Station) Box {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	_, _, fwd := s.Axes()
	return Box{
		Base: s.Eye.Add(fwd.Scale(f("ahead", 8, 20))),
		Yaw:  geom.Degrees(f("turn", -180, 180)),
		Size: [3]float64{f("w", .2, 4), f("dp", .2, 4), f("h", .2, 4)},
	}
}

// camera returns the 3 by 4 matrix K [R | -R e] of a pinhole camera with this
// station's place, turn and focal length, as textbooks of projective geometry
// write it (Hartley and Zisserman, Multiple View Geometry, ch. 6, recalled),
// built from rotations about fixed axes and multiplied by gonum.
func camera(s Station) *mat.Dense {
	sy, cy := math.Sincos(float64(s.Yaw))
	sp, cp := math.Sincos(float64(s.Pitch))
	// World to a frame that looks along Y: turn back by yaw, then by pitch.
	yaw := mat.NewDense(3, 3, []float64{cy, sy, 0, -sy, cy, 0, 0, 0, 1})
	pitch := mat.NewDense(3, 3, []float64{1, 0, 0, 0, cp, sp, 0, -sp, cp})
	// Camera axes: x right, y down, z ahead.
	axes := mat.NewDense(3, 3, []float64{1, 0, 0, 0, 0, -1, 0, 1, 0})
	k := mat.NewDense(3, 3, []float64{s.Distance, 0, s.Principal.X, 0, s.Distance, s.Principal.Y, 0, 0, 1})
	var r, m mat.Dense
	r.Product(axes, pitch, yaw)
	e := mat.NewDense(3, 1, []float64{s.Eye.X, s.Eye.Y, s.Eye.Z})
	e.Product(&r, e)
	e.Scale(-1, e)
	var rt mat.Dense
	rt.Augment(&r, e)
	m.Mul(k, &rt)
	return &m
}

func through(m *mat.Dense, x, y, z, w float64) geom.Point {
	var v mat.VecDense
	v.MulVec(m, mat.NewVecDense(4, []float64{x, y, z, w}))
	return geom.Point{X: v.AtVec(0), Y: v.AtVec(1), W: v.AtVec(2)}
}

// The pinhole matrix of textbooks, multiplied out by gonum, projects every
// point where Project does, and points at infinity where Vanishing does.
func TestProjectionIsThePinholeMatrix(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stations(t)
		m := camera(s)
		p := inView(t, s, "p")
		got, ok := s.Project(p)
		want, _ := through(m, p.X, p.Y, p.Z, 1).Vec()
		if !ok || got.Sub(want).Len() > 1e-8 {
			t.Fatalf("%v, the matrix says %v", got, want)
		}
		for _, k := range Sets {
			d := Box{Yaw: geom.Degrees(rapid.Float64Range(-180, 180).Draw(t, "turn"))}.Direction(k)
			v, w := s.Vanishing(d), through(m, d.X, d.Y, d.Z, 0)
			// Near and far alike, the way to it is the same.
			if a, b := v.From(s.Principal), w.From(s.Principal); math.Abs(a.Cross(b)) > 1e-9*a.Len()*b.Len()+1e-9 {
				t.Fatalf("toward %v, the matrix says %v", a, b)
			}
			if math.Abs(w.W) < 1e-3 {
				continue // so far off that the last bits decide how far
			}
			if !v.Finite() {
				t.Fatalf("%v at infinity, the matrix says %v", v, w)
			}
			a, _ := v.Vec()
			b, _ := w.Vec()
			if a.Sub(b).Len() > 1e-9*(1+b.Len()) {
				t.Fatalf("%v, the matrix says %v", a, b)
			}
		}
	})
}

// The null space of the pinhole matrix is the station point.
func TestEyeIsTheCentre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stations(t)
		p := through(camera(s), s.Eye.X, s.Eye.Y, s.Eye.Z, 1)
		if r := math.Hypot(math.Hypot(p.X, p.Y), p.W); r > 1e-8 {
			t.Fatalf("the eye is drawn at %v", p)
		}
	})
}
