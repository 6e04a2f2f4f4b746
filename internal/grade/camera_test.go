package grade

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"boxwright/internal/geom"
)

type cameraVector struct {
	VPs [][3]float64
	P   [2]float64
	F   float64
}

func cameraVectors(t *testing.T) []cameraVector {
	t.Helper()
	b, err := os.ReadFile("../../testdata/checks/grading-vectors.json")
	if err != nil {
		t.Fatal(err)
	}
	var f struct{ Camera []cameraVector }
	if err := json.Unmarshal(b, &f); err != nil {
		t.Fatal(err)
	}
	if len(f.Camera) == 0 {
		t.Fatal("no camera vectors")
	}
	return f.Camera
}

// squaresOf takes three points, all right angles known to within sd.
func squaresOf(v [][3]float64, sd float64) squares {
	q := squares{sd: [3]float64{sd, sd, sd}}
	for i := range q.at {
		q.at[i] = point(v[i])
	}
	return q
}

// The worked cameras were found by another optimiser, which stopped a little
// earlier: ours agrees with them to that and costs no more.
func TestVectorsCamera(t *testing.T) {
	for i, c := range cameraVectors(t) {
		q := squaresOf(c.VPs, float64(geom.Degrees(1)))
		o := usualOutlook(297, 210)
		v := q.see(&o)
		near(t, "x", v.x, c.P[0], 1e-3)
		near(t, "y", v.y, c.P[1], 1e-3)
		near(t, "f", math.Exp(v.logF), c.F, 2e-3)
		_, slope, cost := q.normal(v, &o)
		_, _, theirs := q.normal(view{c.P[0], c.P[1], math.Log(c.F)}, &o)
		if cost > theirs {
			t.Errorf("%d: costs %v, the worked one %v", i, cost, theirs)
		}
		for k, s := range slope {
			if math.Abs(s**o.sd.part(k)) > 1e-4 {
				t.Errorf("%d: not an optimum, slope %v", i, slope)
			}
		}
	}
}

// viewFact is one of the published facts.
type viewFact struct {
	ID     string
	Given  json.RawMessage
	Expect []float64
}

func viewFacts(t *testing.T) map[string]viewFact {
	t.Helper()
	b, err := os.ReadFile("../../testdata/checks/views.json")
	if err != nil {
		t.Fatal(err)
	}
	var f struct{ Facts []viewFact }
	if err := json.Unmarshal(b, &f); err != nil {
		t.Fatal(err)
	}
	m := map[string]viewFact{}
	for _, x := range f.Facts {
		m[x.ID] = x
	}
	for _, id := range []string{"F15", "F16", "F17", "F18", "F19"} {
		if _, ok := m[id]; !ok {
			t.Fatalf("no fact %s", id)
		}
	}
	return m
}

func (f viewFact) given(t *testing.T, to any) {
	t.Helper()
	if err := json.Unmarshal(f.Given, to); err != nil {
		t.Fatal(err)
	}
}

// open is an outlook that holds nothing for likely, around a place.
func open(x, y, f float64) outlook {
	return outlook{view{x, y, math.Log(f)}, view{1e7, 1e7, 1e4}}
}

// finitePoints makes points of pairs of coordinates.
func finitePoints(v ...[2]float64) (p [][3]float64) {
	for _, a := range v {
		p = append(p, [3]float64{a[0], a[1], 1})
	}
	return p
}

// A published roadside camera (github.com/JakubSochor/BoxCars, issue 4): with
// its principal point known, two points give its focal length; the three
// published points give the orthocentre of their triangle, as far from the
// published principal point as stated, and that focal length again.
func TestCameraOfPublishedCalibration(t *testing.T) {
	facts := viewFacts(t)
	var c struct{ V1, V2, P [2]float64 }
	facts["F15"].given(t, &c)
	var third struct{ V3 [2]float64 }
	facts["F16"].given(t, &third)
	q := squaresOf(finitePoints(c.V1, c.V2, third.V3), 1e-6)
	q.sd[1], q.sd[2] = 1e6, 1e6 // the third point says nothing
	o := open(c.P[0], c.P[1], 500)
	o.sd.x, o.sd.y = 1e-6, 1e-6
	v := q.see(&o)
	near(t, "focal length", math.Exp(v.logF), facts["F15"].Expect[0], 1e-5)

	q = squaresOf(finitePoints(c.V1, c.V2, third.V3), 1e-6)
	o = open(300, 200, 500)
	v = q.see(&o)
	off := geom.Vec{X: v.x - c.P[0], Y: v.y - c.P[1]}.Len()
	near(t, "orthocentre off the principal point", off, facts["F16"].Expect[0], 1e-4)
	if f := math.Exp(v.logF); math.Abs(f/facts["F15"].Expect[0]-1) > 0.002 {
		t.Errorf("focal length %v", f)
	}
}

// XI Congress of Photogrammetry 1968, fasc. 6, eqs (24)-(28): the orthocentre
// of the three points is the principal point, and the product of each two
// seen from it is minus the distance squared.
func TestCameraOfPhotogrammetry(t *testing.T) {
	var g struct{ V [][2]float64 }
	f := viewFacts(t)["F17"]
	f.given(t, &g)
	q := squaresOf(finitePoints(g.V...), 1e-6)
	o := open(40, -60, 400)
	v := q.see(&o)
	near(t, "x", v.x, f.Expect[0], 1e-6)
	near(t, "y", v.y, f.Expect[1], 1e-6)
	near(t, "distance squared", math.Exp(2*v.logF), f.Expect[2], 1e-3)
	// The same triangle's sides give the sight lines' squares.
	f = viewFacts(t)["F18"]
	for i, want := range f.Expect {
		d := math.Hypot(geom.Vec{X: g.V[i][0] - v.x, Y: g.V[i][1] - v.y}.Len(), math.Exp(v.logF))
		near(t, "sight line squared", d*d, want, 1e-3)
	}
}

// Lehrbuch der Perspective fuer bildende Kuenstler, par. 206: the height over
// the principal point in the circle upon both points is the distance.
func TestCameraOfTextbook(t *testing.T) {
	f := viewFacts(t)["F19"]
	var g struct{ Left, Right float64 }
	f.given(t, &g)
	q := squaresOf([][3]float64{{-g.Left, 0, 1}, {g.Right, 0, 1}, {0, 1, 0}}, 1e-7)
	o := open(0, 5, 300)
	o.sd.x = 1e-6
	v := q.see(&o)
	near(t, "distance", math.Exp(v.logF), f.Expect[0], 1e-5)
	near(t, "eye level", v.y, 0, 1e-5)
}
