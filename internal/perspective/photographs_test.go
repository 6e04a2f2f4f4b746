package perspective

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/mat"

	"boxwright/internal/geom"
)

// photos holds the corners of a chessboard found in photographs, and the
// camera calibrated from them; the file names its source.
type photos struct {
	Focal     float64        `json:"focal"`
	Principal [2]float64     `json:"principal"`
	Lens      [5]float64     `json:"lens"`
	Columns   int            `json:"columns"`
	Rows      int            `json:"rows"`
	Boards    [][][2]float64 `json:"boards"`
}

// photographs measures the angle between the sight lines to the vanishing
// points of a board's rows and columns in every photograph: it is a right
// angle up to what the camera's calibration and the finder of corners leave.
// The worst is the fact's number. With windows of 5 and 7 pixels instead of 3
// the corners give 89.838 and 89.827 deg: the number is known no better than
// that, whatever the fact's tolerance.
func photographs(t *testing.T, f *fact) []float64 {
	b, err := os.ReadFile("../../testdata/photographs.json")
	if err != nil {
		t.Fatal(err)
	}
	var p photos
	if err := json.Unmarshal(b, &p); err != nil {
		t.Fatal(err)
	}
	var g struct {
		F float64
		P [2]float64
	}
	f.given(t, &g)
	if g.F != p.Focal || g.P != p.Principal || len(p.Boards) != 13 {
		t.Fatalf("another camera: %v %v", p.Focal, p.Principal)
	}
	s := Station{Principal: vec(p.Principal), Distance: p.Focal}
	worst := 90.0
	for i, board := range p.Boards {
		v, w := p.vanishing(t, board)
		a := angleBetween(sight(s, v), sight(s, w))
		t.Logf("photograph %d: %.4f deg", i, a)
		worst = min(worst, min(a, 180-a))
	}
	return []float64{worst}
}

// sight returns the direction of the sight line to v, finite or not.
func sight(s Station, v geom.Point) geom.Vec3 {
	if at, ok := v.Vec(); ok {
		return s.Ray(at)
	}
	r, u, _ := s.Axes()
	return r.Scale(v.X).Sub(u.Scale(v.Y))
}

func angleBetween(v, w geom.Vec3) float64 {
	return geom.Angle(math.Acos(v.Dot(w) / v.Len() / w.Len())).Degrees()
}

// vanishing returns the vanishing points of a board's columns' and rows'
// directions: the images of the two points at infinity under the plane map
// that fits all corners best (direct linear transformation, by gonum).
func (p *photos) vanishing(t *testing.T, board [][2]float64) (v, w geom.Point) {
	t.Helper()
	a := mat.NewDense(2*len(board), 9, nil)
	const scale = 300 // keeps the equations' numbers of one size
	for i, q := range board {
		x, y := float64(i%p.Columns)-4, float64(i/p.Columns)-2.5
		at := p.undistort(vec(q)).Sub(vec(p.Principal)).Scale(1.0 / scale)
		a.SetRow(2*i, []float64{x, y, 1, 0, 0, 0, -at.X * x, -at.X * y, -at.X})
		a.SetRow(2*i+1, []float64{0, 0, 0, x, y, 1, -at.Y * x, -at.Y * y, -at.Y})
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		t.Fatal("no decomposition")
	}
	var m mat.Dense
	svd.VTo(&m)
	point := func(col int) geom.Point {
		w := m.At(6+col, 8)
		return geom.Point{
			X: scale*m.At(col, 8) + w*p.Principal[0],
			Y: scale*m.At(3+col, 8) + w*p.Principal[1],
			W: w,
		}.Canonical()
	}
	return point(0), point(1)
}

// undistort takes the lens out of q (Brown 1966, as OpenCV documents it: k1,
// k2, p1, p2, k3), by iteration.
func (p *photos) undistort(q geom.Vec) geom.Vec {
	k := p.Lens
	to := q.Sub(vec(p.Principal)).Scale(1 / p.Focal)
	at := to
	for range 50 {
		r2 := at.Dot(at)
		radial := 1 + r2*(k[0]+r2*(k[1]+r2*k[4]))
		tangential := geom.Vec{
			X: 2*k[2]*at.X*at.Y + k[3]*(r2+2*at.X*at.X),
			Y: k[2]*(r2+2*at.Y*at.Y) + 2*k[3]*at.X*at.Y,
		}
		at = to.Sub(tangential).Scale(1 / radial)
	}
	return at.Scale(p.Focal).Add(vec(p.Principal))
}
