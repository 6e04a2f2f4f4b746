package ink

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The axis of a path is the total-least-squares line of points laid evenly
// along it: compared with gonum's singular value decomposition of many.
func TestAxisAgainstSVD(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	for range 40 {
		var s Stroke
		x, y := 100.0, 100.0
		for range 3 + r.IntN(20) {
			s.X, s.Y = append(s.X, x), append(s.Y, y)
			x += 8*r.Float64() + 1
			y += 9 * (r.Float64() - .3)
		}
		m := momentsOf(s)
		const n = 20000
		var px, py []float64
		k, done := 1, 0.0 // piece, and path before it
		for i := range n {
			at := (float64(i) + .5) / n * m.path
			l := math.Hypot(s.X[k]-s.X[k-1], s.Y[k]-s.Y[k-1])
			for at > done+l && k < len(s.X)-1 {
				done += l
				k++
				l = math.Hypot(s.X[k]-s.X[k-1], s.Y[k]-s.Y[k-1])
			}
			q := (at - done) / l
			px, py = append(px, s.X[k-1]+q*(s.X[k]-s.X[k-1])), append(py, s.Y[k-1]+q*(s.Y[k]-s.Y[k-1]))
		}
		mx, my := mean(px), mean(py)
		a := mat.NewDense(n, 2, nil)
		for i := range n {
			a.Set(i, 0, px[i]-mx)
			a.Set(i, 1, py[i]-my)
		}
		var svd mat.SVD
		if !svd.Factorize(a, mat.SVDThinV) {
			t.Fatal("no decomposition")
		}
		var v mat.Dense
		svd.VTo(&v)
		d, ok := m.axis()
		if cross := d.X*v.At(1, 0) - d.Y*v.At(0, 0); !ok || math.Abs(cross) > 1e-5 {
			t.Errorf("axis %v, gonum (%v, %v)", d, v.At(0, 0), v.At(1, 0))
		}
		if math.Abs(m.centre.X-mx)+math.Abs(m.centre.Y-my) > 1e-3 {
			t.Errorf("centre %v, want %v, %v", m.centre, mx, my)
		}
	}
}
