package perspective

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"boxwright/internal/geom"
)

// Drawn parallel edges, extended, meet in the vanishing point of their
// direction.
func TestDrawnParallelsMeetInTheirPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stations(t)
		p, ok := s.Picture(boxes(t, s))
		if !ok {
			t.Skip("a corner behind the eye")
		}
		for i := 0; i < 12; i += 4 {
			g, h := p.Segment(i), p.Segment(i+3)
			u, v := g.B.Sub(g.A), h.B.Sub(h.A)
			if g.Len() < 1 || h.Len() < 1 || lineAngle(u, v).Degrees() < .5 {
				continue // too short or too parallel to extend in numbers
			}
			m, _ := geom.Meet(geom.Through(g.A, g.B), geom.Through(h.A, h.B)).Vec()
			at, ok := p.Points[i/4].Vec()
			if !ok || m.Sub(at).Len() > 1e-6*(1+at.Len()) {
				t.Fatalf("set %d meets in %v, its point is %v", i/4, m, p.Points[i/4])
			}
		}
	})
}

// Points of one line are drawn in one line, and in their order.
func TestLinesStayLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stations(t)
		a, b := inView(t, s, "a"), inView(t, s, "b")
		k := rapid.Float64Range(.05, .95).Draw(t, "k")
		c := a.Add(b.Sub(a).Scale(k))
		pa, _ := s.Project(a)
		pb, _ := s.Project(b)
		pc, ok := s.Project(c)
		if !ok {
			t.Fatal("between two points in view is out of view")
		}
		if d := (geom.Segment{A: pa, B: pb}).Dist(pc); d > 1e-9*(1+pa.Len()+pb.Len()) {
			t.Fatalf("%g mm off the line", d)
		}
	})
}

// A sight line meets the picture where its points are drawn.
func TestRayUndoesProject(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stations(t)
		p := inView(t, s, "p")
		v, _ := s.Project(p)
		q := s.Eye.Add(s.Ray(v).Scale(s.Depth(p)))
		if d := q.Sub(p).Len(); d > 1e-9 {
			t.Fatalf("comes back %g beside itself", d)
		}
	})
}

// The points of level directions lie on the horizon, whatever the turn.
func TestLevelDirectionsVanishOnTheHorizon(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stations(t)
		a := geom.Degrees(rapid.Float64Range(-180, 180).Draw(t, "turn"))
		v := s.Vanishing(Box{Yaw: a}.Direction(Width))
		h := s.Horizon()
		tol := 1e-9 * (1 + math.Abs(v.X) + math.Abs(v.Y))
		if !v.Finite() {
			// A direction that counts as parallel to the picture may be off
			// by as much, and tilted by the pitch of up to 70 degrees.
			tol = AtInfinity * math.Tan(float64(geom.Degrees(71)))
		}
		if d := float64(h.A*v.X) + float64(h.B*v.Y) + float64(h.C*v.W); math.Abs(d) > tol {
			t.Fatalf("%v lies %g off the horizon", v, d)
		}
	})
}

// The three finite points of a box: their orthocentre is the principal point,
// and every pair gives the viewing distance.
func TestThreePointsGiveTheStation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stations(t)
		turn := geom.Degrees(rapid.Float64Range(10, 80).Draw(t, "turn"))
		pitch := geom.Degrees(rapid.Float64Range(10, 70).Draw(t, "tilt"))
		s.Pitch = pitch * geom.Angle(1-2*rapid.IntRange(0, 1).Draw(t, "up"))
		b := Box{Yaw: s.Yaw + turn}
		var v [3]geom.Vec
		for _, k := range Sets {
			var ok bool
			if v[k], ok = s.Vanishing(b.Direction(k)).Vec(); !ok {
				t.Fatal("a point at infinity")
			}
		}
		o, ok := Orthocentre(v)
		if !ok || o.Sub(s.Principal).Len() > 1e-6 {
			t.Fatalf("orthocentre %v, principal point %v", o, s.Principal)
		}
		for k := range v {
			d, ok := ViewingDistance(s.Principal, v[k], v[(k+1)%3])
			if !ok || math.Abs(d-s.Distance) > 1e-9*s.Distance {
				t.Fatalf("viewing distance %g, want %g", d, s.Distance)
			}
		}
	})
}

// From the measuring point a length laid off along the picture is carried to
// its true length on the receding line: the station point, the point and the
// measuring point stand in an isosceles triangle.
func TestMeasuringPointsMeasure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(100, 500).Draw(t, "d")
		turn := geom.Degrees(rapid.Float64Range(12, 78).Draw(t, "turn"))
		length := rapid.Float64Range(.1, 3).Draw(t, "length")
		s := level(d, 1.5)
		dir := Box{Yaw: turn}.Direction(Width)
		v := s.Vanishing(dir)
		m, _, ok := s.MeasuringPoints(Width, v)
		if !ok {
			t.Fatal("no measuring point")
		}
		a := geom.Vec3{X: -.4, Y: 6}
		pa, _ := s.Project(a)
		pb, _ := s.Project(a.Add(dir.Scale(length)))
		pc, _ := s.Project(a.Add(geom.Vec3{X: length})) // the same length along the picture
		got, ok := geom.Meet(geom.Through(pc, m), geom.Join(geom.At(pa), v)).Vec()
		if !ok || got.Sub(pb).Len() > 1e-7 {
			t.Fatalf("measured %v, projected %v", got, pb)
		}
	})
}

// Twice the viewing distance draws everything twice as far from the principal
// point; a world twice as big in twice the distance is drawn the same.
func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stations(t)
		p := inView(t, s, "p")
		k := rapid.Float64Range(.2, 5).Draw(t, "k")
		v, _ := s.Project(p)
		far := s
		far.Distance *= k
		w, _ := far.Project(p)
		if d := w.Sub(s.Principal).Sub(v.Sub(s.Principal).Scale(k)).Len(); d > 1e-8 {
			t.Fatalf("distance times %g: %g mm off", k, d)
		}
		big := s
		big.Eye = s.Eye.Scale(k)
		w, _ = big.Project(p.Scale(k))
		if d := w.Sub(v).Len(); d > 1e-8 {
			t.Fatalf("world times %g: %g mm off", k, d)
		}
	})
}

// A mirrored station sees a mirrored box as the mirrored picture, hidden edges
// and all: corner i's mirror image is the corner on the other side in width.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stations(t)
		b := boxes(t, s)
		p, ok := s.Picture(b)
		if !ok {
			t.Skip("a corner behind the eye")
		}
		ms, mb := s, b
		ms.Eye.X, ms.Yaw, ms.Principal.X = -s.Eye.X, -s.Yaw, 297-s.Principal.X
		mb.Base.X, mb.Yaw = -b.Base.X, -b.Yaw
		q, ok := ms.Picture(mb)
		if !ok {
			t.Fatal("the mirrored box is behind the eye")
		}
		for i, v := range p.Corners {
			w := q.Corners[i^1]
			if math.Abs(v.X+w.X-297) > 1e-7 || math.Abs(v.Y-w.Y) > 1e-7 {
				t.Fatalf("corner %d: %v, mirrored %v", i, v, w)
			}
		}
		for i, c := range b.Clearance(s.Eye) {
			j := i
			if i < 2 {
				j = 1 - i
			}
			if math.Abs(c) > 1e-9 && p.Visible[i] != q.Visible[j] {
				t.Fatalf("face %d visible %v, its mirror image %v", i, p.Visible[i], q.Visible[j])
			}
		}
		m, n := s.Measure(&p, 297, 210), ms.Measure(&q, 297, 210)
		for _, d := range []float64{
			m.Margin - n.Margin, m.Hull - n.Hull, float64(m.Cone - n.Cone), m.AnyCorner - n.AnyCorner,
			float64(m.AnyVertex - n.AnyVertex),
		} {
			if math.Abs(d) > 1e-7 {
				t.Fatalf("measures %+v, mirrored %+v", m, n)
			}
		}
	})
}

// What is behind the eye or beside it is not drawn.
func TestBehindTheEye(t *testing.T) {
	s := level(300, 1)
	for _, p := range []geom.Vec3{{Y: -1}, {X: 5}, s.Eye, {X: 1, Y: math.NaN()}} {
		if v, ok := s.Project(p); ok {
			t.Errorf("%v is drawn at %v", p, v)
		}
	}
	if _, ok := s.Picture(Box{Base: geom.Vec3{Y: .4}, Size: [3]float64{1, 1, 1}}); ok {
		t.Error("a box around the eye is drawn")
	}
}

// A face seen edge-on is not visible, and its edges are hidden when nothing
// else of them is seen.
func TestEdgeOn(t *testing.T) {
	b := Box{Base: geom.Vec3{Y: 5}, Size: [3]float64{2, 2, 2}}
	v := b.VisibleFaces(geom.Vec3{Z: 2})
	if v != [6]bool{2: true} {
		t.Errorf("visible %v", v)
	}
	h := HiddenEdges(v)
	for i, e := range Edges {
		if want := e.Corners[0]&2 != 0 || e.Corners[1]&2 != 0; h[i] != want {
			t.Errorf("edge %d hidden: %v", i, h[i])
		}
	}
}

// No three points, no distance.
func TestNoStation(t *testing.T) {
	if _, ok := Orthocentre([3]geom.Vec{{X: 1}, {X: 2}, {X: 5}}); ok {
		t.Error("an orthocentre of three points in line")
	}
	if d, ok := ViewingDistance(geom.Vec{}, geom.Vec{X: 10}, geom.Vec{X: 20}); ok {
		t.Errorf("a distance of %g for points on one side", d)
	}
	if got := (FaultCone | FaultSpread).String(); got != "cone, spread" {
		t.Errorf("faults %q", got)
	}
}
