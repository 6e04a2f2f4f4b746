package perspective

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"boxwright/internal/geom"
)

var faceNames = [6]string{"-e1", "+e1", "-e2", "+e2", "-e3", "+e3"}

func (c *viewCase) station() Station {
	in := c.Input
	return Station{
		Eye: geom.Vec3{X: in.Camera.Eye[0], Y: in.Camera.Eye[1], Z: in.Camera.Eye[2]},
		Yaw: geom.Degrees(in.Camera.Yaw), Pitch: geom.Degrees(in.Camera.Pitch),
		Principal: vec(in.Sheet.Principal), Distance: in.Sheet.Distance,
	}
}

func (c *viewCase) box() Box {
	b := c.Input.Box
	return Box{
		Base: geom.Vec3{X: b.Base[0], Y: b.Base[1], Z: b.Base[2]},
		Yaw:  geom.Degrees(b.Yaw), Size: b.Size,
	}
}

func vec(a [2]float64) geom.Vec { return geom.Vec{X: a[0], Y: a[1]} }

// near compares lengths: to the case's tolerance below 10 m, relative 1e-9
// above, as the file says.
func (c *viewCase) near(t *testing.T, what string, got, want float64) {
	t.Helper()
	tol := c.TolMM
	if math.Abs(want) >= 10000 {
		tol = 1e-9 * math.Abs(want)
	}
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

func (c *viewCase) nearVec(t *testing.T, what string, got geom.Vec, want [2]float64) {
	t.Helper()
	c.near(t, what+" x", got.X, want[0])
	c.near(t, what+" y", got.Y, want[1])
}

func (c *viewCase) nearDeg(t *testing.T, what string, got geom.Angle, want float64) {
	t.Helper()
	if !(math.Abs(got.Degrees()-want) <= c.TolDeg) {
		t.Errorf("%s: %.12g deg, want %.12g", what, got.Degrees(), want)
	}
}

// nearPlane compares angles to the picture plane. The file took them by the
// arcsine, which near 90 degrees cannot tell apart what differs by less than
// the last bit of the sine; two such angles (8.5e-7 deg apart) count as equal.
func (c *viewCase) nearPlane(t *testing.T, what string, got geom.Angle, want float64) {
	t.Helper()
	const lastBit = 0x1p-52
	if math.Abs(math.Sin(float64(got))-math.Sin(float64(geom.Degrees(want)))) > lastBit {
		c.nearDeg(t, what, got, want)
	}
}

func TestViews(t *testing.T) {
	f := readChecks(t)
	for i := range f.Cases {
		c := &f.Cases[i]
		t.Run(c.ID, func(t *testing.T) {
			if c.Source == "" {
				t.Error("no source")
			}
			s, b := c.station(), c.box()
			p, ok := s.Picture(b)
			if !ok {
				t.Fatal("a corner behind the eye")
			}
			checkPicture(t, c, s, b, &p)
			checkPoints(t, c, s, &p)
			checkMeasures(t, c, s, &p, &f)
			checkByHand(t, c, s, b, &p)
		})
	}
}

func checkPicture(t *testing.T, c *viewCase, s Station, b Box, p *Picture) {
	e := &c.Expected
	if p.FinitePoints() != e.Points || c.Kind != e.Points {
		t.Errorf("%d finite points, want %d", p.FinitePoints(), e.Points)
	}
	world := b.Corners()
	for i := range p.Corners {
		c.nearVec(t, fmt.Sprint("corner ", i), p.Corners[i], e.Corners[i])
		c.near(t, fmt.Sprint("depth ", i), p.Depths[i], e.Depths[i])
		v, ok := s.Project(world[i])
		if !ok || v != p.Corners[i] || s.Depth(world[i]) != p.Depths[i] {
			t.Errorf("corner %d: Project and Picture differ", i)
		}
	}
	var hidden, corners []int
	for i, h := range p.Hidden {
		if h {
			hidden = append(hidden, i)
		}
	}
	for i := range p.Corners {
		if p.HiddenCorner(i) {
			corners = append(corners, i)
		}
	}
	if !slices.Equal(hidden, e.HiddenEdges) || !slices.Equal(corners, e.HiddenCorners) {
		t.Errorf("hidden %v %v, want %v %v", hidden, corners, e.HiddenEdges, e.HiddenCorners)
	}
	var visible, edgeOn []string
	for i, d := range b.Clearance(s.Eye) {
		if p.Visible[i] {
			visible = append(visible, faceNames[i])
		}
		if math.Abs(d) <= EdgeOn {
			edgeOn = append(edgeOn, faceNames[i])
		}
	}
	if !slices.Equal(visible, e.VisibleFaces) || !slices.Equal(edgeOn, e.EdgeOnFaces) {
		t.Errorf("faces %v, edge-on %v, want %v, %v", visible, edgeOn, e.VisibleFaces, e.EdgeOnFaces)
	}
}

func checkPoints(t *testing.T, c *viewCase, s Station, p *Picture) {
	e := &c.Expected
	h := s.Horizon()
	c.near(t, "horizon a", h.A, e.Horizon.Line[0])
	c.near(t, "horizon b", h.B, e.Horizon.Line[1])
	c.near(t, "horizon c", h.C, e.Horizon.Line[2])
	c.near(t, "horizon y", -h.C/h.B, e.Horizon.Y)
	l, r := s.DistancePoints()
	c.nearVec(t, "left distance point", l, e.DistancePoints[0])
	c.nearVec(t, "right distance point", r, e.DistancePoints[1])

	var finite []geom.Vec
	var pairs []float64
	for _, k := range Sets {
		want := e.VanishingPoints[k]
		got := p.Points[k]
		if got.Finite() != want.Finite {
			t.Fatalf("%v point finite: %v", k, got.Finite())
		}
		c.near(t, k.String()+" point x", got.X, want.At[0])
		c.near(t, k.String()+" point y", got.Y, want.At[1])
		c.near(t, k.String()+" point w", got.W, want.At[2])
		c.nearPlane(t, k.String()+" plane angle", s.PlaneAngle(c.box().Direction(k)), want.PlaneAngle)
		m1, m2, ok := s.MeasuringPoints(k, got)
		if ok != (e.MeasuringPoints[k] != nil) {
			t.Fatalf("%v measuring points: %v", k, ok)
		}
		if ok {
			c.nearVec(t, k.String()+" measuring point", m1, e.MeasuringPoints[k][0])
			c.nearVec(t, k.String()+" other measuring point", m2, e.MeasuringPoints[k][1])
			v, _ := got.Vec()
			finite = append(finite, v)
		}
	}
	for i := range finite {
		if len(finite) == 2 && i == 1 || len(finite) == 1 {
			break
		}
		pairs = append(pairs, MinusDot(s.Principal, finite[i], finite[(i+1)%len(finite)]))
	}
	if len(pairs) != len(e.MinusDot) {
		t.Fatalf("%d pairs, want %d", len(pairs), len(e.MinusDot))
	}
	for i, q := range pairs {
		c.near(t, "minus dot", q, e.MinusDot[i])
	}
	if len(finite) != 3 {
		return
	}
	o, ok := Orthocentre([3]geom.Vec(finite))
	if !ok {
		t.Fatal("no orthocentre")
	}
	c.nearVec(t, "orthocentre", o, *e.Orthocentre)
	for i := range finite {
		u, v := finite[(i+1)%3].Sub(finite[i]), finite[(i+2)%3].Sub(finite[i])
		c.nearDeg(t, "triangle angle", between(u, v), e.TriangleAngles[i])
	}
}

func checkMeasures(t *testing.T, c *viewCase, s Station, p *Picture, f *checkFile) {
	e, size := &c.Expected, c.Input.Sheet.Size
	m := s.Measure(p, size[0], size[1])
	c.nearDeg(t, "cone", m.Cone, e.Cone)
	c.nearDeg(t, "cone of the farthest corner", s.ConeAngle(p.Corners[e.ConeCorner:e.ConeCorner+1]), e.Cone)
	c.near(t, "margin", m.Margin, e.Measures.Margin)
	c.near(t, "edge", m.Edge, e.Measures.Edge)
	c.nearDeg(t, "vertex", m.Vertex, e.Measures.Vertex)
	c.near(t, "face", m.Face, e.Measures.Face)
	c.near(t, "corner", m.Corner, e.Measures.Corner)
	c.near(t, "hull", m.Hull, e.Measures.Hull)
	if want := e.Measures.Near; (want != nil) != (m.Faces == 3) {
		t.Errorf("near corner of %d faces, want %v", m.Faces, want)
	} else if want != nil {
		c.nearDeg(t, "near corner", m.Near, *want)
	}
	// The spread over all four edges is that of a box of glass.
	glass := *p
	glass.Hidden = [12]bool{}
	all := s.Measure(&glass, size[0], size[1])
	for _, k := range Sets {
		c.nearDeg(t, "spread", all.Spread[k], e.Spread[k])
		c.nearDeg(t, "visible spread", m.Spread[k], e.Measures.Spread[k])
		if want := e.Measures.ToPoint[k]; want != nil {
			c.near(t, "to point", m.ToPoint[k], *want)
		} else if !math.IsInf(m.ToPoint[k], 1) {
			t.Errorf("to point %v, want none", m.ToPoint[k])
		}
		c.nearPlane(t, "plane angle", m.PlaneAngle[k], e.VanishingPoints[k].PlaneAngle)
	}
	checkFaults(t, c, &m, f)
}

func checkFaults(t *testing.T, c *viewCase, m *Measures, f *checkFile) {
	l := f.Limits
	limits := Limits{
		Cone: geom.Degrees(l.Cone), Margin: l.Margin, Hull: l.Hull, Edge: l.Edge,
		Vertex: geom.Degrees(l.Vertex), Face: l.Face, Corner: l.Corner, Near: geom.Degrees(l.Near),
		Spread: geom.Degrees(l.Spread), ToPoint: l.ToPoint, PlaneAngle: geom.Degrees(l.PlaneAngle),
		Faces: [4]int{3, l.Faces["1"], l.Faces["2"], l.Faces["3"]},
	}
	sound := Sound
	sound.AnyCorner = 0 // not among the file's limits
	if limits != sound {
		t.Errorf("limits %v, want %v", sound, limits)
	}
	names := map[string]Faults{
		"cone": FaultCone, "margin": FaultMargin, "hull": FaultHull, "edge": FaultEdge,
		"vertex_angle": FaultVertex, "face": FaultFace, "corner_to_edge": FaultCorner,
		"near_corner": FaultNear, "faces": FaultFaces, "spread": FaultSpread,
		"near_vp": FaultToPoint, "plane_angle": FaultPlaneAngle,
	}
	var want Faults
	for _, n := range c.Expected.RejectedBy {
		if names[n] == 0 {
			t.Fatalf("unknown limit %q", n)
		}
		want |= names[n]
	}
	// A value printed to 9 decimals that sits on its limit (a cone of exactly
	// 30 degrees) is on the right side of it.
	if got := m.Faults(&limits); got != want {
		t.Errorf("rejected by %v, want %v", got, want)
	}
}

func checkByHand(t *testing.T, c *viewCase, s Station, b Box, p *Picture) {
	w := &c.ByHand
	for i, want := range w.Corner {
		c.nearVec(t, "corner by hand", p.Corners[i], want)
	}
	for k, want := range w.VP {
		got, ok := p.Points[k].Vec()
		if ok != (want != nil) {
			t.Errorf("point %d by hand: %v", k, want)
		} else if ok {
			c.nearVec(t, "point by hand", got, *want)
		}
	}
	for k, want := range w.MP {
		m, _, ok := s.MeasuringPoints(Set(k), p.Points[k])
		if !ok {
			t.Errorf("no measuring point %d", k)
		}
		c.nearVec(t, "measuring point by hand", m, want)
	}
	if l, r := s.DistancePoints(); w.DP != nil {
		c.nearVec(t, "distance point by hand", l, w.DP[0])
		c.nearVec(t, "distance point by hand", r, w.DP[1])
	}
	for _, e := range w.Hidden {
		if !p.Hidden[e] {
			t.Errorf("edge %d is hidden, by hand", e)
		}
	}
	for _, n := range w.EdgeOn {
		if d := b.Clearance(s.Eye)[slices.Index(faceNames[:], n)]; math.Abs(d) > EdgeOn {
			t.Errorf("face %s is edge-on, by hand; clearance %g", n, d)
		}
	}
	h := s.Horizon()
	if w.Horizon != nil {
		c.near(t, "horizon by hand", -h.C, *w.Horizon)
	}
	for _, l := range w.LineMeetsHorizon {
		v, _ := geom.Meet(geom.Through(p.Corners[int(l[0])], p.Corners[int(l[1])]), h).Vec()
		c.nearVec(t, "line meets horizon by hand", v, [2]float64{l[2], -h.C})
	}
	if w.Orthocentre != nil {
		c.nearVec(t, "orthocentre by hand", s.Principal, *w.Orthocentre)
	}
	if w.TriangleAnglesDeg != nil {
		for i, a := range w.TriangleAnglesDeg {
			c.nearDeg(t, "triangle angle by hand", geom.Degrees(c.Expected.TriangleAngles[i]), a)
		}
	}
	for _, raw := range w.VerticalDP {
		var i, j int
		var at [2]float64
		if err := json.Unmarshal(raw, &[]any{&i, &j, &at}); err != nil {
			t.Fatal(err)
		}
		up := geom.Line{A: 1, C: -at[0]}
		v, _ := geom.Meet(geom.Through(p.Corners[i], p.Corners[j]), up).Vec()
		c.nearVec(t, "upright diagonal by hand", v, at)
	}
}
