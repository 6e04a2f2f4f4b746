package grade

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// eachDrawing runs a law over seeded drawings of all kinds of hands.
func eachDrawing(t *testing.T, n int, law func(r *rand.Rand, x *drill.Exercise, a *Attempt, g *Grade)) {
	t.Helper()
	r := rand.New(rand.NewPCG(21, 22))
	views := [3]drill.View{drill.One, drill.Two, drill.Three}
	for i := range n {
		x := simBox(r, views[i%3], i%4)
		var f *simFault
		if i%2 == 0 {
			f = &simFault{set: perspective.Set(r.IntN(3)), turn: .1 * r.NormFloat64(), early: .001 * r.NormFloat64()}
		}
		d := simHands[i%len(simHands)].draw(r, x, f)
		g, err := Of(x, d.a, Hand{})
		if err != nil {
			t.Fatal(err)
		}
		law(r, x, d.a, g)
		if t.Failed() {
			t.Fatalf("drawing %d", i)
		}
	}
}

func regrade(t *testing.T, x *drill.Exercise, a *Attempt) *Grade {
	t.Helper()
	g, err := Of(x, a, Hand{})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// same compares two grades of what should be one drawing: lines by edge, to
// the tolerance in degrees, errors of got multiplied by sign.
func same(t *testing.T, want, got *Grade, sign, tol float64) {
	t.Helper()
	if want.Score != got.Score && tol < 1e-6 {
		t.Errorf("score %d, want %d", got.Score, want.Score)
	}
	if !slices.Equal(want.Missing, got.Missing) {
		t.Errorf("missing %v, want %v", got.Missing, want.Missing)
	}
	lines := map[string]*Line{}
	for i := range got.Lines {
		lines[got.Lines[i].Edge] = &got.Lines[i]
	}
	for _, l := range want.Lines {
		if l.Edge == "" {
			continue
		}
		m := lines[l.Edge]
		if m == nil {
			t.Errorf("%s is not drawn", l.Edge)
			continue
		}
		if d := math.Remainder(sign*m.Error.Degrees()-l.Error.Degrees(), 180); !(math.Abs(d) <= tol) {
			t.Errorf("%s: error %v, want %v", l.Edge, sign*m.Error.Degrees(), l.Error.Degrees())
		}
		if d := m.Score - l.Score; !(math.Abs(d) <= 30*tol) {
			t.Errorf("%s: score %v, want %v", l.Edge, m.Score, l.Score)
		}
	}
	for i, s := range want.Sets {
		if i >= len(got.Sets) {
			t.Errorf("set %v is gone", s.Set)
			continue
		}
		o := got.Sets[i]
		for _, v := range [][2]float64{{s.RMS.Degrees(), o.RMS.Degrees()}, {s.Bias.Degrees(), o.Bias.Degrees()}, {s.Scatter.Degrees(), o.Scatter.Degrees()}} {
			if !(math.Abs(v[0]-v[1]) <= tol) {
				t.Errorf("set %v: %v, want %v", s.Set, v[1], v[0])
			}
		}
	}
	if tol < 1e-6 {
		codes := func(g *Grade) (c []string) {
			for _, f := range g.Findings {
				c = append(c, f.Code)
			}
			return c
		}
		if sign > 0 && !slices.Equal(codes(want), codes(got)) {
			t.Errorf("findings %v, want %v", codes(got), codes(want))
		}
	}
}

func TestLawOrder(t *testing.T) {
	eachDrawing(t, 120, func(r *rand.Rand, x *drill.Exercise, a *Attempt, g *Grade) {
		b := *a
		b.Strokes = nil
		for _, i := range r.Perm(len(a.Strokes)) {
			b.Strokes = append(b.Strokes, a.Strokes[i])
		}
		same(t, g, regrade(t, x, &b), 1, 1e-9)
		y := *x
		y.Edges = nil
		for _, i := range r.Perm(len(x.Edges)) {
			y.Edges = append(y.Edges, x.Edges[i])
		}
		h := regrade(t, &y, a)
		slices.Sort(h.Missing)
		slices.Sort(g.Missing)
		same(t, g, h, 1, 1e-9)
	})
}

func TestLawDirection(t *testing.T) {
	eachDrawing(t, 120, func(r *rand.Rand, x *drill.Exercise, a *Attempt, g *Grade) {
		b := *a
		b.Strokes = slices.Clone(a.Strokes)
		for i := range b.Strokes {
			if r.IntN(2) == 0 {
				s := &b.Strokes[i]
				s.X, s.Y, s.P, s.T = slices.Clone(s.X), slices.Clone(s.Y), slices.Clone(s.P), nil
				slices.Reverse(s.X)
				slices.Reverse(s.Y)
				slices.Reverse(s.P)
			}
		}
		// a stroke of an odd number of samples has its middle one in another half
		same(t, g, regrade(t, x, &b), 1, 1e-3)
	})
}

// onSheet returns x and a carried over by f, which maps points and, for
// points at infinity, directions.
func onSheet(x *drill.Exercise, a *Attempt, f func(geom.Point) geom.Point) (*drill.Exercise, *Attempt) {
	y, b := *x, *a
	at := func(v geom.Vec) geom.Vec { w, _ := f(geom.At(v)).Vec(); return w }
	y.Corners, y.Points, b.Strokes = slices.Clone(x.Corners), slices.Clone(x.Points), slices.Clone(a.Strokes)
	for i := range y.Corners {
		y.Corners[i] = at(y.Corners[i])
	}
	for i := range y.Points {
		y.Points[i].At = f(y.Points[i].At)
	}
	h := x.Horizon.Line
	p := geom.Vec{X: -h.A * h.C, Y: -h.B * h.C}
	y.Horizon = &drill.Horizon{Line: geom.Through(at(p), at(p.Add(geom.Vec{X: -100 * h.B, Y: 100 * h.A})))}
	for i := range b.Strokes {
		s := &b.Strokes[i]
		s.X, s.Y = slices.Clone(s.X), slices.Clone(s.Y)
		for k := range s.X {
			v := at(geom.Vec{X: s.X[k], Y: s.Y[k]})
			s.X[k], s.Y[k] = v.X, v.Y
		}
	}
	return &y, &b
}

func TestLawTranslation(t *testing.T) {
	eachDrawing(t, 60, func(r *rand.Rand, x *drill.Exercise, a *Attempt, g *Grade) {
		y, b := onSheet(x, a, func(p geom.Point) geom.Point {
			return geom.Point{X: p.X + 32*p.W, Y: p.Y - 64*p.W, W: p.W}
		})
		same(t, g, regrade(t, y, b), 1, 1e-6)
	})
}

func TestLawMirror(t *testing.T) {
	eachDrawing(t, 120, func(r *rand.Rand, x *drill.Exercise, a *Attempt, g *Grade) {
		y, b := onSheet(x, a, func(p geom.Point) geom.Point {
			return geom.Point{X: 297*p.W - p.X, Y: p.Y, W: p.W}
		})
		h := regrade(t, y, b)
		same(t, g, h, -1, 1e-9)
		for i, s := range g.Sets {
			if v, _ := x.Point(s.Box, s.Set); s.Turn != nil && v.At.Finite() && !(math.Abs(s.Turn.Degrees()+h.Sets[i].Turn.Degrees()) < 1e-6 && math.Abs(s.Early.Degrees()-h.Sets[i].Early.Degrees()) < 1e-6) {
				t.Errorf("turn %v, early %v became %v, %v", *s.Turn, *s.Early, *h.Sets[i].Turn, *h.Sets[i].Early)
			}
		}
	})
}

// A larger sheet with the same drawing on it has the same angles; only the
// score knows millimetres, by the length law.
func TestLawScale(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for i := range 60 {
		x := simBox(r, drill.Two, i%4)
		a := straight(r, x, 1.5, nil)
		g := regrade(t, x, a)
		for _, k := range []float64{.5, 3} {
			y, b := onSheet(x, a, func(p geom.Point) geom.Point { return geom.Point{X: k * p.X, Y: k * p.Y, W: p.W} })
			y.Sheet = drill.Size{Width: k * x.Sheet.Width, Height: k * x.Sheet.Height}
			h := regrade(t, y, b)
			for j, l := range g.Lines {
				if m := h.Lines[j]; m.Edge != l.Edge || !(math.Abs((m.Error - l.Error).Degrees()) < 1e-9) {
					t.Fatalf("at %v: %+v, want %+v", k, m, l)
				}
			}
		}
	}
}

// A straight line laid down in pieces is the same line.
func TestLawSplitting(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 8))
	views := [3]drill.View{drill.One, drill.Two, drill.Three}
	for i := range 200 {
		x := simBox(r, views[i%3], i%4)
		a := straight(r, x, 1.5, nil)
		g := regrade(t, x, a)
		b := *a
		b.Strokes = nil
		for _, s := range a.Strokes {
			p, q := geom.Vec{X: s.X[0], Y: s.Y[0]}, geom.Vec{X: s.X[1], Y: s.Y[1]}
			if q.Sub(p).Len() < 30 || r.IntN(3) > 0 {
				b.Strokes = append(b.Strokes, s)
				continue
			}
			m := p.Add(q.Sub(p).Scale(.35 + .3*r.Float64()))
			b.Strokes = append(b.Strokes, segmentStroke(p, m), segmentStroke(m, q))
		}
		same(t, g, regrade(t, x, &b), 1, 1e-9)
		if t.Failed() {
			t.Fatalf("drawing %d", i)
		}
	}
}

// Adding the right line for a missing edge never lowers the score.
func TestLawAdding(t *testing.T) {
	eachDrawing(t, 300, func(r *rand.Rand, x *drill.Exercise, a *Attempt, g *Grade) {
		for _, id := range g.Missing {
			for _, e := range x.Edges {
				if e.ID == id {
					s := x.Segment(e)
					b := *a
					b.Strokes = append(slices.Clone(a.Strokes), segmentStroke(s.A, s.B))
					h := regrade(t, x, &b)
					if h.Score < g.Score {
						t.Errorf("adding %s: score fell from %d to %d", id, g.Score, h.Score)
					}
				}
			}
		}
	})
}

// A perfect drawing, in any stroke order, has the score 100 and no findings.
func TestPerfectDrawing(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for i := range 60 {
		x := simBox(r, [3]drill.View{drill.One, drill.Two, drill.Three}[i%3], i%4)
		a := &Attempt{Input: ink.Input{Pointer: ink.Ruler}}
		for _, e := range x.Edges {
			if !e.Given {
				s := x.Segment(e)
				a.Strokes = append(a.Strokes, segmentStroke(s.A, s.B))
			}
		}
		g := regrade(t, x, a)
		if g.Score != 100 || len(g.Findings)+len(g.Missing)+len(g.Unmatched) > 0 || g.Scatter != (Scatter{}) {
			t.Fatalf("%d: %+v", i, g)
		}
	}
}
