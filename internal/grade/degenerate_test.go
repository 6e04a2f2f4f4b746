package grade

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// An exercise that lists no points, tells no viewing, or lists its corners
// and edges in another order is graded the same.
func TestOfForeignExercise(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 1))
	for i := range 30 {
		x := simBox(r, [3]drill.View{drill.One, drill.Two, drill.Three}[i%3], i%4)
		a := straight(r, x, 1.5, nil)
		g := regrade(t, x, a)
		y := *x
		y.Points = nil
		same(t, g, regrade(t, &y, a), 1, 1e-5)

		y = *x
		perm := r.Perm(8)
		y.Corners, y.Edges = make([]geom.Vec, 8), slices.Clone(x.Edges)
		for k, c := range x.Corners {
			y.Corners[perm[k]] = c
		}
		for k := range y.Edges {
			c := &y.Edges[k].Corners
			c[0], c[1] = perm[c[1]], perm[c[0]]
		}
		same(t, g, regrade(t, &y, a), 1, 1e-9)
	}
}

func TestOfNothing(t *testing.T) {
	x := simBox(rand.New(rand.NewPCG(1, 9)), drill.Two, 3)
	dot := ink.Stroke{X: []float64{50, 50, 50}, Y: []float64{60, 60, 60}}
	tiny := ink.Stroke{X: []float64{50, 51}, Y: []float64{60, 60}}
	out := ink.Stroke{X: []float64{50, 90, 50}, Y: []float64{60, 60, 60}}
	for name, a := range map[string]*Attempt{
		"no strokes": {}, "dots": {Strokes: []ink.Stroke{dot, dot, tiny}}, "there and back": {Strokes: []ink.Stroke{out}},
	} {
		g := regrade(t, x, a)
		if g.Score != 0 || len(g.Missing) != len(x.Asked.Edges) || g.RMS != nil {
			t.Errorf("%s: %+v", name, g)
		}
		if len(g.Unmatched) > len(a.Strokes) || len(g.Findings) != 1 || g.Findings[0].Code != CodeMissing {
			t.Errorf("%s: unmatched %v, findings %v", name, g.Unmatched, g.Findings)
		}
	}
}

// The same stroke many times is one line, restated; what is too many is left.
func TestOfIdenticalStrokes(t *testing.T) {
	x := simBox(rand.New(rand.NewPCG(1, 10)), drill.Two, 0)
	s := x.Segment(x.Edges[0])
	a := &Attempt{Input: ink.Input{Pointer: ink.Pen}}
	for range ink.MaxStrokes {
		a.Strokes = append(a.Strokes, segmentStroke(s.A, s.B))
	}
	began := time.Now()
	g := regrade(t, x, a)
	if took := time.Since(began); took > time.Second {
		t.Errorf("took %v", took)
	}
	for _, l := range g.Lines {
		if l.Edge == x.Edges[0].ID && (len(l.Strokes) != maxCopies || math.Abs(l.Error.Degrees()) > 1e-9) {
			t.Errorf("%+v", l)
		}
	}
}

// The fullest attempt stays well under a second.
func TestOfFullestAttempt(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 11))
	x := simBox(r, drill.Three, 0)
	a := sampled(r, x, ink.MaxStrokes, 400)
	began := time.Now()
	g := regrade(t, x, a)
	if took := time.Since(began); took > time.Second {
		t.Errorf("took %v", took)
	}
	if len(g.Missing) > 0 {
		t.Errorf("missing %v", g.Missing)
	}
}

// Edges of almost no length, and level and upright lines, give finite grades.
func TestOfTinyEdges(t *testing.T) {
	x := &drill.Exercise{Kind: drill.Finish, View: drill.One, Sheet: drill.Size{Width: 297, Height: 210},
		Corners: []geom.Vec{{X: 100, Y: 100}, {X: 100, Y: 100}, {X: 100, Y: 100.0001}, {X: 200, Y: 100}},
		Edges: []drill.Edge{
			{ID: "none", Set: perspective.Width, Corners: [2]int{0, 1}},
			{ID: "tiny", Set: perspective.Height, Corners: [2]int{0, 2}},
			{ID: "level", Set: perspective.Width, Corners: [2]int{0, 3}},
		},
		Points: []drill.Point{{ID: "p", Set: perspective.Width, At: geom.At(geom.Vec{X: 100, Y: 100})}},
	}
	a := &Attempt{Strokes: []ink.Stroke{
		segmentStroke(geom.Vec{X: 100, Y: 100}, geom.Vec{X: 200, Y: 100}),
		segmentStroke(geom.Vec{X: 100, Y: 96}, geom.Vec{X: 100, Y: 104}),
		segmentStroke(geom.Vec{X: 100, Y: 100}, geom.Vec{X: 150, Y: 103}),
	}}
	checkGrade(t, x, a, regrade(t, x, a))
}

// Targets: the error is measured against the direction from dot to dot, the
// ends against the dots.
func TestOfJoin(t *testing.T) {
	x := &drill.Exercise{Kind: drill.Join, View: drill.None, Sheet: drill.Size{Width: 297, Height: 210}}
	a := &Attempt{Input: ink.Input{Pointer: ink.Pen}}
	want := map[string]float64{}
	for i := range 8 {
		p := geom.Vec{X: 30 + 30*float64(i), Y: 40 + 10*float64(i%3)}
		q := p.Add(geom.Direction(geom.Angle(i)).Scale(40 + 8*float64(i)))
		id := string(rune('a' + i))
		x.Targets = append(x.Targets, drill.Target{ID: id, A: p, B: q})
		x.Asked.Targets = append(x.Asked.Targets, id)
		if i == 7 {
			continue // not drawn
		}
		turn := geom.Degrees(float64(i) - 3)
		u := geom.Direction(q.Sub(p).Angle() + turn)
		a.Strokes = append(a.Strokes, segmentStroke(p.Sub(u.Scale(2)), p.Add(u.Scale(q.Sub(p).Len()))))
		want[id] = turn.Degrees()
	}
	a.Strokes[2].By = ink.Ruler
	g := regrade(t, x, a)
	if len(g.Lines) != 7 || !slices.Equal(g.Missing, []string{"h"}) || len(g.Sets) != 0 {
		t.Fatalf("%+v", g)
	}
	for _, l := range g.Lines {
		if l.HasSet || l.Miss != nil || !(math.Abs(l.Error.Degrees()-want[l.Edge]) < 1e-9) || !(math.Abs(l.StartGap-2) < 1e-9) {
			t.Errorf("%+v, want %v degrees", l, want[l.Edge])
		}
	}
	if g.Scatter != (Scatter{}) {
		t.Errorf("segments say nothing of the hand: %+v", g.Scatter)
	}
	r := rand.New(rand.NewPCG(1, 1))
	b := &Attempt{Input: ink.Input{Pointer: ink.Pen}}
	for _, q := range x.Targets {
		b.Strokes = append(b.Strokes, sampledStroke(r, q.A, q.B, 60))
	}
	if g := regrade(t, x, b); g.Scatter.DOF != 8 || !(g.Scatter.SumSq > 0) {
		t.Errorf("scatter %+v", g.Scatter)
	}
	b.Strokes[0].By = ink.Ruler
	if g := regrade(t, x, b); g.Scatter.DOF != 7 {
		t.Errorf("with a ruled line: scatter %+v", g.Scatter)
	}
	b.Input.Pointer = ink.Keyboard
	if g := regrade(t, x, b); g.Scatter.DOF != 0 {
		t.Errorf("with the keyboard: scatter %+v", g.Scatter)
	}
}

func TestCheck(t *testing.T) {
	x := simBox(rand.New(rand.NewPCG(1, 12)), drill.Two, 3)
	v := geom.At(geom.Vec{X: 1, Y: 2})
	ok := segmentStroke(geom.Vec{X: 10, Y: 10}, geom.Vec{X: 50, Y: 10})
	for pointer, a := range map[string]*Attempt{
		"":                {Strokes: []ink.Stroke{ok}, Marks: []Mark{{For: "p-width", At: &v}, {For: "stray", Edge: "e3"}}},
		"/strokes/1/x/1":  {Strokes: []ink.Stroke{ok, segmentStroke(geom.Vec{X: 10, Y: 10}, geom.Vec{X: 1189, Y: 10})}},
		"/strokes/0/y/0":  {Strokes: []ink.Stroke{segmentStroke(geom.Vec{X: 10, Y: -892}, geom.Vec{X: 11, Y: 10})}},
		"/strokes/0/y":    {Strokes: []ink.Stroke{{X: []float64{1, 2}, Y: []float64{1}}}},
		"/marks/0":        {Marks: []Mark{{For: "p-none", At: &v}}},
		"/marks/1":        {Marks: []Mark{{For: "p-width", At: &v}, {For: "stray", Edge: "e99"}}},
		"/strokes/0/t/1":  {Strokes: []ink.Stroke{{X: []float64{1, 9}, Y: []float64{1, 9}, T: []float64{5, 4}}}},
		"/strokes/0/p/1":  {Strokes: []ink.Stroke{{X: []float64{1, 9}, Y: []float64{1, 9}, P: []float64{0, 1.5}}}},
		"/strokes/0/x/1":  {Strokes: []ink.Stroke{{X: []float64{1, math.NaN()}, Y: []float64{1, 9}}}},
		"/strokes/0/role": {Strokes: []ink.Stroke{{Role: "x", X: []float64{1, 9}, Y: []float64{1, 9}}}},
		"/strokes/0/x":    {Strokes: []ink.Stroke{{X: []float64{1}, Y: []float64{1}}}},
	} {
		err := Check(x, a)
		var in *ink.InputError
		switch {
		case pointer == "" && err != nil:
			t.Errorf("refused: %v", err)
		case pointer != "" && (!errors.As(err, &in) || in.Pointer != pointer):
			t.Errorf("%s: %v", pointer, err)
		}
	}
}
