package geom

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

func TestCanonical(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct{ in, want Point }{
		{Point{2, 4, 2}, Point{1, 2, 1}},
		{Point{-2, -4, -2}, Point{1, 2, 1}},
		{Point{3, 4, 0}, Point{.6, .8, 0}},
		{Point{-3, -4, 0}, Point{.6, .8, 0}},
		{Point{-3, 4, 0}, Point{.6, -.8, 0}},
		{Point{0, -5, 0}, Point{0, 1, 0}},
		{Point{-5, 0, 0}, Point{1, 0, 0}},
		{Point{}, Point{}},
		{Point{nan, 0, 1}, Point{}},
		{Point{inf, 0, 1}, Point{}},
		{Point{1, 0, nan}, Point{}},
	} {
		got := c.in.Canonical()
		if math.Abs(got.X-c.want.X) > 1e-15 || math.Abs(got.Y-c.want.Y) > 1e-15 || got.W != c.want.W {
			t.Errorf("%v: %v, want %v", c.in, got, c.want)
		}
		if math.Signbit(got.X) && got.X == 0 || math.Signbit(got.Y) && got.Y == 0 {
			t.Errorf("%v: a negative zero in %v", c.in, got)
		}
	}
}

// A multiple, also a negative one, of a point is the same point, and the
// direction toward it the same line.
func TestMultiplesAreOnePoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Point{num(t, "x"), num(t, "y"), rapid.Float64Range(.01, 3).Draw(t, "w")}
		if rapid.Bool().Draw(t, "at infinity") {
			p.W = 0
		}
		if p.X == 0 && p.Y == 0 && p.W == 0 {
			t.Skip("no point")
		}
		k := rapid.Float64Range(.001, 1000).Draw(t, "k")
		if rapid.Bool().Draw(t, "negative") {
			k = -k
		}
		q := Point{k * p.X, k * p.Y, k * p.W}
		a, b := p.Canonical(), q.Canonical()
		if d := math.Hypot(a.X-b.X, a.Y-b.Y); d > 1e-9*(1+math.Hypot(a.X, a.Y)) || a.W != b.W {
			t.Fatalf("%v and its multiple: %v and %v", p, a, b)
		}
		m := vecs(t, "m")
		u, v := p.From(m), q.From(m)
		if c := u.Cross(v); math.Abs(c) > 1e-9*(1+u.Len()*v.Len()) {
			t.Fatalf("directions %v and %v", u, v)
		}
		if p.Finite() != q.Finite() {
			t.Fatal("finite")
		}
	})
}

func TestPointVec(t *testing.T) {
	if v, ok := At(Vec{3, 4}).Vec(); !ok || v != (Vec{3, 4}) {
		t.Errorf("%v %v", v, ok)
	}
	if v, ok := Toward(Vec{3, 4}).Vec(); ok {
		t.Errorf("a point at infinity lies at %v", v)
	}
	if p := Toward(Vec{}); p != (Point{}) {
		t.Errorf("toward nothing: %v", p)
	}
}

// Join and Meet are the cross products of projective geometry: a joined line
// holds both points, a meeting point lies on both lines.
func TestIncidence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c, d := vecs(t, "a"), vecs(t, "b"), vecs(t, "c"), vecs(t, "d")
		if a.Sub(b).Len() < 1 || c.Sub(d).Len() < 1 {
			t.Skip("no line")
		}
		l, m := Through(a, b), Through(c, d)
		if n := math.Hypot(l.A, l.B); math.Abs(n-1) > 1e-14 {
			t.Fatalf("normal of length %g", n)
		}
		if e := max(math.Abs(l.Dist(a)), math.Abs(l.Dist(b))); e > 1e-9 {
			t.Fatalf("%g from its own point", e)
		}
		// The distance is that of the nearest point of a long segment.
		u, _ := b.Sub(a).Unit()
		long := Segment{a.Sub(u.Scale(1e4)), a.Add(u.Scale(1e4))}
		if e := math.Abs(l.Dist(c)) - long.Dist(c); math.Abs(e) > 1e-6 {
			t.Fatalf("distance %g off", e)
		}
		p := Meet(l, m)
		if math.Abs(p.W) < 1e-3 {
			return // all but parallel
		}
		v, _ := p.Vec()
		if e := max(math.Abs(l.Dist(v)), math.Abs(m.Dist(v))); e > 1e-6 {
			t.Fatalf("meets in %v, %g off a line", v, e)
		}
		// An outside solver finds the same point.
		var x mat.VecDense
		if err := x.SolveVec(mat.NewDense(2, 2, []float64{l.A, l.B, m.A, m.B}), mat.NewVecDense(2, []float64{-l.C, -m.C})); err != nil {
			t.Fatal(err)
		}
		if e := math.Hypot(x.AtVec(0)-v.X, x.AtVec(1)-v.Y); e > 1e-6*(1+v.Len()) {
			t.Fatalf("meets in %v, gonum says %v", v, x.RawVector().Data)
		}
	})
}

// Parallel lines meet at infinity in their direction.
func TestParallelsMeetAtInfinity(t *testing.T) {
	for _, d := range []Vec{{1, 0}, {0, 1}, {3, 4}, {-8, 6}} {
		l := Join(At(Vec{5, 7}), Toward(d))
		m := Join(At(Vec{-30, 2}), Toward(d))
		p := Meet(l, m)
		if p.Finite() && math.Abs(p.W) > 1e-15 {
			t.Fatalf("parallels meet in %v", p)
		}
		if c := (Vec{p.X, p.Y}).Cross(d); math.Abs(c) > 1e-12*math.Hypot(p.X, p.Y)*d.Len() {
			t.Errorf("in direction %v, want %v", p, d)
		}
	}
}

func TestDegenerateLines(t *testing.T) {
	if l := Through(Vec{1, 2}, Vec{1, 2}); l != (Line{}) {
		t.Errorf("a line through one point: %v", l)
	}
	if l := Join(Toward(Vec{1, 0}), Toward(Vec{0, 1})); l != (Line{0, 0, 1}) {
		t.Errorf("line at infinity: %v", l)
	}
	l := Through(Vec{0, 0}, Vec{1, 1})
	if p := Meet(l, l); p != (Point{}) {
		t.Errorf("a line meets itself in %v", p)
	}
}

// Three lines through one point: the triple product of their coordinates
// vanishes (Menelaus and Ceva in coordinates, recalled).
func TestConcurrent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := vecs(t, "p")
		var a []float64
		for _, n := range []string{"a", "b", "c"} {
			q := vecs(t, n)
			if q.Sub(p).Len() < 1 {
				t.Skip("too near")
			}
			l := Through(p, q)
			a = append(a, l.A, l.B, l.C/1000)
		}
		if d := mat.Det(mat.NewDense(3, 3, a)); math.Abs(d) > 1e-9 {
			t.Fatalf("triple product %g", d)
		}
	})
}
