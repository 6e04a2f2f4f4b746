package grade

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// boxOf returns what a free exercise's box looks like, its corners off by
// noise mm, with some corners unknown.
func boxOf(r *rand.Rand, x *drill.Exercise, noise float64, unknown int) (c [8]geom.Vec, known [8]bool, at [3]geom.Point) {
	for i, v := range x.Corners {
		c[i] = v.Add(geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64()}.Scale(noise))
		known[i] = true
	}
	for _, i := range r.Perm(8)[:unknown] {
		known[i] = false
	}
	for _, p := range x.Points {
		at[p.Set] = p.At
	}
	return c, known, at
}

// The smallest singular vector agrees with gonum's decomposition, with exact
// corners and with badly drawn ones, with all corners and some unknown.
func TestProportionsAreGonums(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	for i := range 150 {
		x, s := simFree(r, [3]drill.View{drill.One, drill.Two, drill.Three}[i%3])
		v := view{s.Principal.X, s.Principal.Y, math.Log(s.Distance)}
		c, known, at := boxOf(r, x, float64(i%4), i%2)
		rows := boxEquations(v, &c, &known, &at)
		if want := 36 - 9*(i%2); len(rows) != want {
			t.Fatalf("%d equations, want %d", len(rows), want)
		}
		got, ok := smallest(rows, &known)
		if !ok {
			t.Fatalf("%d: not determined", i)
		}
		// gonum sees the columns of known corners only.
		var cols []int
		for k := range unknowns {
			if k >= 8 || known[k] {
				cols = append(cols, k)
			}
		}
		m := mat.NewDense(len(rows), len(cols), nil)
		for j, row := range rows {
			for k, col := range cols {
				m.Set(j, k, row[col])
			}
		}
		var svd mat.SVD
		if !svd.Factorize(m, mat.SVDThin) {
			t.Fatal("gonum gives up")
		}
		var vt mat.Dense
		svd.VTo(&vt)
		last := len(cols) - 1
		dot := 0.0
		for k, col := range cols {
			dot += vt.At(k, last) * got[col]
		}
		if !(math.Abs(math.Abs(dot)-1) < 1e-9) {
			t.Errorf("%d: %v is not gonum's vector: cosine %v", i, got, dot)
		}
	}
}

// Exact corners give the box's own sizes.
func TestProportionsOfExactBox(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 2))
	for i := range 90 {
		x, s := simFree(r, [3]drill.View{drill.One, drill.Two, drill.Three}[i%3])
		v := view{s.Principal.X, s.Principal.Y, math.Log(s.Distance)}
		c, known, at := boxOf(r, x, 0, i%3)
		size, ok := boxSizes(v, &c, &known, &at)
		if !ok {
			t.Fatalf("%d: not told", i)
		}
		want := x.Boxes[0].Proportions
		for k := range size {
			near(t, "size", size[k]/size[0], want[k]/want[0], 1e-6)
		}
	}
	if _, ok := boxSizes(view{150, 100, 6}, new([8]geom.Vec), new([8]bool), new([3]geom.Point)); ok {
		t.Error("sizes of nothing")
	}
}
