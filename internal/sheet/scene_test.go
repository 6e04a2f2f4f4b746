package sheet

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// view says how a test's box is seen.
type view struct {
	name       string
	principal  geom.Vec
	distance   float64
	pitch, yaw float64 // degrees: of the line of sight, of the box
	level      float64 // of the eye above the ground, in box heights
	size       [3]float64
	shown      bool // points are drawn
	horizon    bool
	given      []int // edges, in the order of perspective.Edges
	marks      []int
}

// The views that the tests draw: points on the sheet, on the board, past it,
// above and below it, withheld ones, and a horizon off the sheet.
var views = []view{
	{"one-point", geom.Vec{X: 120, Y: 60}, 260, 0, 0, 1.9, [3]float64{1.4, 1.2, 1}, true, true, []int{0, 2, 8, 9, 5}, nil},
	{"two-point", geom.Vec{X: 140, Y: 70}, 230, 0, 38, 1.9, [3]float64{1, 1, 1}, true, true, []int{8}, []int{1, 5, 2, 6}},
	{"three-point down", geom.Vec{X: 148, Y: 95}, 300, -32, 40, 3.2, [3]float64{1, 1, 1.3}, true, true, []int{12 - 4, 4, 0}, nil},
	{"three-point up", geom.Vec{X: 150, Y: 110}, 300, 24, 52, -.4, [3]float64{1, 1, 1.6}, true, true, []int{8}, []int{1, 2}},
	{"two-point withheld", geom.Vec{X: 150, Y: 130}, 250, 0, 55, .35, [3]float64{1.3, .8, 1}, false, true, []int{0, 4, 8}, nil},
	{"two-point nothing shown", geom.Vec{X: 150, Y: 60}, 280, 0, 30, 2.2, [3]float64{1, 1, 1}, false, false, []int{0, 4, 8}, nil},
}

// scene projects the box of v onto an A4 sheet, placed so that its picture
// fills the middle.
func scene(t testing.TB, v view) *drill.Exercise {
	t.Helper()
	b := perspective.Box{Yaw: geom.Degrees(v.yaw), Size: v.size}
	far := 4.6 // distance of the box, in widths
	pitch := geom.Degrees(v.pitch)
	eye := geom.Vec3{Y: -far, Z: v.level * v.size[2]}
	if v.pitch != 0 { // aim at the box
		eye.Z = v.size[2]/2 - far*math.Tan(float64(pitch))
	}
	st := perspective.Station{Eye: eye, Pitch: pitch, Principal: v.principal, Distance: v.distance}
	x := &drill.Exercise{
		ID: "scene", Kind: drill.Finish, View: drill.Two, Level: 4, Seed: 7,
		Sheet:   drill.Size{Width: 297, Height: 210},
		Horizon: &drill.Horizon{Line: st.Horizon(), Shown: v.horizon},
		Boxes:   []drill.Box{{Corners: [8]int{0, 1, 2, 3, 4, 5, 6, 7}}},
		Marks:   v.marks,
	}
	switch {
	case v.pitch != 0:
		x.View = drill.Three
	case v.yaw == 0:
		x.View = drill.One
	}
	for _, c := range b.Corners() {
		p, ok := st.Project(c)
		if !ok {
			t.Fatal("corner behind the eye")
		}
		x.Corners = append(x.Corners, p)
	}
	for _, k := range perspective.Sets {
		x.Points = append(x.Points, drill.Point{ID: "p-" + k.String(), Set: k, At: st.Vanishing(b.Direction(k)), Shown: v.shown})
	}
	hidden := perspective.HiddenEdges(b.VisibleFaces(eye))
	for i, e := range perspective.Edges {
		x.Edges = append(x.Edges, drill.Edge{ID: "e" + strconv.Itoa(i), Set: e.Set, Corners: e.Corners, Hidden: hidden[i]})
	}
	for _, i := range v.given {
		x.Edges[i].Given = true
	}
	for _, e := range x.Edges {
		if !e.Given {
			x.Asked.Edges = append(x.Asked.Edges, e.ID)
		}
	}
	return x
}

// dots makes a join of n pairs.
func dots(n int) *drill.Exercise {
	r := rand.New(rand.NewPCG(5, 1))
	x := &drill.Exercise{ID: "dots", Kind: drill.Join, View: drill.None, Level: 3, Sheet: drill.Size{Width: 297, Height: 210}}
	for i := range n {
		a := geom.Vec{X: 15 + 267*r.Float64(), Y: 15 + 180*r.Float64()}
		b := a
		for d := 0.; d < 30 || d > 150; d = b.Sub(a).Len() {
			b = geom.Vec{X: 15 + 267*r.Float64(), Y: 15 + 180*r.Float64()}
		}
		id := "t" + strconv.Itoa(i)
		x.Targets = append(x.Targets, drill.Target{ID: id, A: a, B: b})
		x.Asked.Targets = append(x.Asked.Targets, id)
	}
	return x
}

// drawn makes an attempt at x with errors of the given spread in degrees, and
// its grade as far as a redline needs it. Every seventh asked line is missing.
func drawn(x *drill.Exercise, spread float64, pressure bool) (*grade.Attempt, *grade.Grade) {
	r := rand.New(rand.NewPCG(11, 3))
	a := &grade.Attempt{ID: "0190", Exercise: x.ID, Input: ink.Input{Pointer: ink.Pen}}
	g := &grade.Grade{Exercise: x.ID, Score: 70}
	n := 0
	line := func(id string, s geom.Segment, l grade.Line) {
		if n++; n%7 == 0 {
			g.Missing = append(g.Missing, id)
			return
		}
		e := geom.Degrees(r.NormFloat64() * spread)
		mid := geom.Mid(s.A, s.B)
		half := s.B.Sub(s.A).Scale(.5)
		half = geom.Direction(half.Angle() + e).Scale(half.Len())
		l.Strokes, l.Edge, l.Role, l.Error = []int{len(a.Strokes)}, id, ink.RoleEdge, e
		l.From, l.To = mid.Sub(half), mid.Add(half)
		l.Outside = math.Abs(e.Degrees()) > 2
		g.Lines = append(g.Lines, l)
		a.Strokes = append(a.Strokes, stroke(r, l.From, l.To, pressure))
	}
	for _, e := range x.Edges {
		if !e.Given {
			line(e.ID, x.Segment(e), grade.Line{Set: e.Set, HasSet: true})
		}
	}
	for _, t := range x.Targets {
		line(t.ID, geom.Segment{A: t.A, B: t.B}, grade.Line{})
	}
	c := stroke(r, geom.Vec{X: 40, Y: 60}, geom.Vec{X: 200, Y: 75}, pressure)
	c.Role = ink.RoleConstruction
	a.Strokes = append(a.Strokes, c, stroke(r, geom.Vec{X: 30, Y: 180}, geom.Vec{X: 60, Y: 190}, pressure))
	g.Unmatched = []int{len(a.Strokes) - 1}
	return a, g
}

// stroke draws from a to b with a bow, some wobble and rising and falling
// pressure, 120 samples.
func stroke(r *rand.Rand, a, b geom.Vec, pressure bool) ink.Stroke {
	const n = 120
	s := ink.Stroke{Role: ink.RoleEdge}
	d := b.Sub(a)
	normal, _ := d.Perp().Unit()
	bow, wobble, phase := .012*d.Len()*r.NormFloat64(), .18, 6*r.Float64()
	for i := range n {
		t := float64(i) / (n - 1)
		off := 4*bow*t*(1-t) + wobble*math.Sin(9*t+phase) + .02*r.NormFloat64()
		p := a.Add(d.Scale(t)).Add(normal.Scale(off))
		s.X = append(s.X, math.Round(p.X*100)/100)
		s.Y = append(s.Y, math.Round(p.Y*100)/100)
		if pressure {
			s.P = append(s.P, .15+.6*math.Sin(math.Pi*t))
		}
	}
	return s
}
