package perspective

import (
	"math"
	"testing"

	"boxwright/internal/geom"
)

// pointFacts computes the numbers of vanishing points, rows and roundness; see
// tradeFacts.
var pointFacts = map[string]func(t *testing.T, f *fact) []float64{
	// github.com/JakubSochor/BoxCars, issue 4.
	"F15": func(t *testing.T, f *fact) []float64 {
		var g struct{ V1, V2, P [2]float64 }
		f.given(t, &g)
		d, ok := ViewingDistance(vec(g.P), vec(g.V1), vec(g.V2))
		if !ok {
			t.Fatal("no viewing distance")
		}
		return []float64{d}
	},
	// github.com/JakubSochor/BoxCars, issue 4, with the points of F15.
	"F16": func(t *testing.T, f *fact) []float64 {
		var g struct{ V3 [2]float64 }
		f.given(t, &g)
		var c struct{ V1, V2, P [2]float64 }
		factByID(t, "F15").given(t, &c)
		o, ok := Orthocentre([3]geom.Vec{vec(c.V1), vec(c.V2), vec(g.V3)})
		if !ok {
			t.Fatal("no orthocentre")
		}
		return []float64{o.Sub(vec(c.P)).Len()}
	},
	// XI Congress of Photogrammetry 1968, fasc. 6, eqs (24)-(28), TIB
	// 1048642631, image 271; Symposium "From Analytical to Digital", p. 532.
	"F17": func(t *testing.T, f *fact) []float64 {
		var g struct{ V [3][2]float64 }
		f.given(t, &g)
		v := [3]geom.Vec{vec(g.V[0]), vec(g.V[1]), vec(g.V[2])}
		o, ok := Orthocentre(v)
		if !ok {
			t.Fatal("no orthocentre")
		}
		got := []float64{o.X, o.Y}
		for i := range v {
			got = append(got, MinusDot(o, v[i], v[(i+1)%3]))
		}
		return got
	},
	// Follows from F17: the triangle of the three points is acute. Here it is
	// that of a real station: the products are taken from its projections.
	"F18": func(t *testing.T, f *fact) (got []float64) {
		var g struct {
			V [3][2]float64
			D float64
		}
		f.given(t, &g)
		s := Station{Distance: g.D}
		for i := range g.V {
			v, w, u := vec(g.V[i]), vec(g.V[(i+1)%3]), vec(g.V[(i+2)%3])
			// The three sight lines are square to each other, so the product
			// of two sides of the triangle is the square of the third line.
			if c := s.Ray(w).Dot(s.Ray(u)); math.Abs(c) > 1e-12 {
				t.Errorf("sight lines %d: cosine %g", i, c)
			}
			product := w.Sub(v).Dot(u.Sub(v))
			line := s.Ray(v).Len() * g.D
			if math.Abs(product-line*line) > 1e-9*product {
				t.Errorf("point %d: product %g, sight line squared %g", i, product, line*line)
			}
			got = append(got, product)
		}
		return got
	},
	// Lehrbuch der Perspective fuer bildende Kuenstler, TIB 865579199, par. 206,
	// image 228.
	"F19": func(t *testing.T, f *fact) []float64 {
		var g struct{ Left, Right float64 }
		f.given(t, &g)
		d, ok := ViewingDistance(geom.Vec{}, geom.Vec{X: -g.Left}, geom.Vec{X: g.Right})
		if !ok {
			t.Fatal("no viewing distance")
		}
		return []float64{d}
	},
	// Projective geometry, from memory: equal depths are a harmonic set.
	"F20": func(t *testing.T, f *fact) []float64 {
		var g struct{ X [4]float64 }
		f.given(t, &g)
		s, dir := level(g.X[0], 0), geom.Vec3{Y: 1}
		v, _ := s.Vanishing(dir).Vec()
		x := [4]float64{3: v.X}
		for i := range 3 {
			x[i] = mustProject(t, s, 1, float64(i+1), 0).X
		}
		for i := range x {
			if math.Abs(x[i]-g.X[i]) > 1e-9 {
				t.Errorf("point %d drawn at %g, want %g", i, x[i], g.X[i])
			}
		}
		a, b, c, w := x[0], x[1], x[2], x[3]
		return []float64{(b - a) / (b - c) / ((w - a) / (w - c))}
	},
	// Follows from F20: the posts of a row, projected.
	"F21": func(t *testing.T, f *fact) (got []float64) {
		var g struct{ X [2]float64 }
		f.given(t, &g)
		// Two drawn posts tell where they stand: at depths z and z + q with
		// the same offset from the line of sight.
		s := level(100, 0)
		z := 1.0
		q := z*g.X[0]/g.X[1] - z
		for i := range f.Expect {
			got = append(got, mustProject(t, s, g.X[0]*z/s.Distance, z+float64(i+2)*q, 0).X)
		}
		return got
	},
	// Derived: the drawn outline of a small sphere, length by breadth.
	"F22": func(t *testing.T, f *fact) (got []float64) {
		var g struct {
			Half []float64 `json:"half_angle_deg"`
		}
		f.given(t, &g)
		const small = 1e-4
		s := level(300, 0)
		for _, a := range g.Half {
			sin, cos := math.Sincos(float64(geom.Degrees(a)))
			// Four points of the outline, square to the sight line to the middle.
			at := func(along, across float64) geom.Vec {
				return mustProject(t, s, sin+along*cos, cos-along*sin, across)
			}
			long := at(small, 0).Sub(at(-small, 0)).Len()
			broad := at(0, small).Sub(at(0, -small)).Len()
			got = append(got, long/broad)
		}
		return got
	},
	// Debian package opencv-doc 4.6.0+dfsg-12, examples/data/left_intrinsics.yml
	// and left01.jpg to left14.jpg.
	"F23": photographs,
}
