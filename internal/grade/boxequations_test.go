package grade

import (
	"math"
	"math/rand/v2"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// boxEquations writes down that every edge of a box, seen with the view v,
// runs along its set's direction: z_b r_b - z_a r_a - s_k d_k = 0 for the
// sight lines r of its two corners, three equations each. Edges whose corners
// are not both known are left out.
func boxEquations(v view, corners *[8]geom.Vec, known *[8]bool, at *[3]geom.Point) (rows [][unknowns]float64) {
	var r [8]geom.Vec3
	for i, c := range corners {
		r[i] = v.toward(geom.At(c))
	}
	for i, e := range perspective.Edges {
		a, b := e.Corners[0], e.Corners[1]
		if !known[a] || !known[b] {
			continue
		}
		d := v.toward(at[e.Set])
		for axis := range 3 {
			var row [unknowns]float64
			row[b], row[a], row[8+i/4] = coordinate(r[b], axis), -coordinate(r[a], axis), -coordinate(d, axis)
			rows = append(rows, row)
		}
	}
	return rows
}

func coordinate(v geom.Vec3, axis int) float64 { return [3]float64{v.X, v.Y, v.Z}[axis] }

// smallest returns the unit vector that the rows map to the shortest one.
func smallest(rows [][unknowns]float64, known *[8]bool) (x shape, ok bool) {
	m := normalOf(rows)
	x = anyShape
	return x, x.settle(&m, known)
}

func normalOf(rows [][unknowns]float64) (m [unknowns]shape) {
	for _, r := range rows {
		for i, p := range r {
			for j, q := range r[:i+1] {
				m[i][j] += p * q
			}
		}
	}
	return m
}

// The normal matrix that is written down at once is that of the equations.
func TestBoxFormIsOfEquations(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 5))
	for i := range 60 {
		x, s := simFree(r, [3]drill.View{drill.One, drill.Two, drill.Three}[i%3])
		v := view{s.Principal.X, s.Principal.Y, math.Log(s.Distance)}
		c, known, at := boxOf(r, x, float64(i%4), i%3)
		want := normalOf(boxEquations(v, &c, &known, &at))
		got := boxForm(v, &c, &known, &at)
		for k := range want {
			for l := range want {
				if !(math.Abs(got[k][l]-want[k][l]) < 1e-13) {
					t.Fatalf("%d: %d, %d: %v, want %v", i, k, l, got[k][l], want[k][l])
				}
			}
		}
	}
}

// From a shape that is hardly different the same one is found as from any.
func TestShapeFromNearby(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 6))
	for i := range 60 {
		x, s := simFree(r, [3]drill.View{drill.One, drill.Two, drill.Three}[i%3])
		v := view{s.Principal.X, s.Principal.Y, math.Log(s.Distance)}
		c, known, at := boxOf(r, x, float64(i%3), 0)
		from := anyShape
		if _, ok := from.see(v, &c, &known, &at); !ok {
			t.Fatalf("%d: not told", i)
		}
		c[i%8] = c[i%8].Add(geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64()})
		got, ok := from.see(v, &c, &known, &at)
		want, _ := boxSizes(v, &c, &known, &at)
		for k := range got {
			if !ok || !(math.Abs(got[k]-want[k]) < 1e-7) {
				t.Fatalf("%d: %v, want %v", i, got, want)
			}
		}
	}
}
