package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func num(t *rapid.T, name string) float64 { return rapid.Float64Range(-1000, 1000).Draw(t, name) }

func vecs(t *rapid.T, name string) Vec { return Vec{num(t, name+".x"), num(t, name+".y")} }

func TestFold(t *testing.T) {
	for _, c := range []struct{ in, want float64 }{
		{0, 0}, {90, 90}, {-90, 90}, {91, -89}, {-91, 89}, {180, 0}, {-180, 0}, {270, 90}, {359, -1}, {-450, 90},
	} {
		if got := Degrees(c.in).Fold().Degrees(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%g folds to %g, want %g", c.in, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		a := Degrees(rapid.Float64Range(-1000, 1000).Draw(t, "a"))
		f := a.Fold()
		if f <= -math.Pi/2 || f > math.Pi/2 {
			t.Fatalf("%v is outside", f)
		}
		// The same undirected line.
		if d := Direction(a).Cross(Direction(f)); math.Abs(d) > 1e-12 {
			t.Fatalf("%v and %v are not one line: %g", a, f, d)
		}
	})
}

func TestAnglesAreClockwise(t *testing.T) {
	right, down := Vec{1, 0}, Vec{0, 1} // y down
	if right.Perp() != down {
		t.Errorf("right turned clockwise is %v", right.Perp())
	}
	if right.Cross(down) != 1 || down.Cross(right) != -1 {
		t.Error("cross product of right and down")
	}
	if a := down.Angle().Degrees(); a != 90 {
		t.Errorf("down lies at %g", a)
	}
	rapid.Check(t, func(t *rapid.T) {
		a := Degrees(rapid.Float64Range(-179, 179).Draw(t, "a"))
		if d := (Direction(a).Angle() - a).Degrees(); math.Abs(d) > 1e-12 {
			t.Fatalf("direction at %v lies %g off", a, d)
		}
	})
}

func TestUnit(t *testing.T) {
	for _, v := range []Vec{{}, {math.Inf(1), 0}, {math.NaN(), 1}} {
		if u, ok := v.Unit(); ok {
			t.Errorf("%v has the unit vector %v", v, u)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		v := vecs(t, "v")
		u, ok := v.Unit()
		if !ok {
			if v != (Vec{}) {
				t.Fatalf("%v has no unit vector", v)
			}
			return
		}
		if math.Abs(u.Len()-1) > 1e-14 || math.Abs(u.Cross(v)) > 1e-12*v.Len() || u.Dot(v) < 0 {
			t.Fatalf("unit of %v: %v", v, u)
		}
	})
}

func TestFinite(t *testing.T) {
	if !(Vec{1, 2}).Finite() || (Vec{math.NaN(), 0}).Finite() || (Vec{0, math.Inf(-1)}).Finite() {
		t.Error("finite")
	}
}

// The distance to a segment is that to the nearest of many points on it, and
// zero on it; a segment without length is a point.
func TestSegmentDist(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Segment{vecs(t, "a"), vecs(t, "b")}
		p := vecs(t, "p")
		d := s.Dist(p)
		least := math.Inf(1)
		const n = 2000
		for i := range n + 1 {
			q := s.A.Add(s.B.Sub(s.A).Scale(float64(i) / n))
			least = min(least, q.Sub(p).Len())
		}
		if d > least+1e-9 || d < least-s.Len()/n {
			t.Fatalf("distance %g, nearest of many points %g", d, least)
		}
		k := rapid.Float64Range(0, 1).Draw(t, "k")
		if d := s.Dist(s.A.Add(s.B.Sub(s.A).Scale(k))); d > 1e-9 {
			t.Fatalf("%g from a point of its own", d)
		}
		if d := (Segment{s.A, s.A}).Dist(p); math.Abs(d-p.Sub(s.A).Len()) > 1e-9 {
			t.Fatalf("%g from a point", d)
		}
	})
}

func TestMid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, w := vecs(t, "v"), vecs(t, "w")
		if m := Mid(v, w); math.Abs(m.Sub(v).Len()-m.Sub(w).Len()) > 1e-9 || (Segment{v, w}).Dist(m) > 1e-9 {
			t.Fatalf("middle of %v and %v: %v", v, w, m)
		}
	})
}

func TestVec3(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Vec3{num(t, "x"), num(t, "y"), num(t, "z")}
		w := Vec3{num(t, "u"), num(t, "v"), num(t, "w")}
		// The polarisation identity ties sum, difference, length and product.
		p, m := v.Add(w).Len(), v.Sub(w).Len()
		if d := (p*p-m*m)/4 - v.Dot(w); math.Abs(d) > 1e-9*(1+p*p+m*m) {
			t.Fatalf("product of %v and %v is %g off", v, w, d)
		}
		if d := v.Scale(-3).Len() - 3*v.Len(); math.Abs(d) > 1e-9*(1+v.Len()) {
			t.Fatalf("length times 3 is %g off", d)
		}
	})
}
