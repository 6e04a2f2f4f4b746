package sheet

import (
	"math"
	"testing"

	"boxwright/internal/geom"
	"boxwright/internal/grade"
)

// Lines outside the band get one pill in every medium, with their own angle,
// and a red extension; all others get neither.
func TestOnlyLinesOutsideAreMarked(t *testing.T) {
	for i, v := range views {
		x := scene(t, v)
		a, g := drawn(x, 2.5, i%2 == 0)
		d := Redline(x, a, g)
		want := map[string]string{}
		for _, n := range g.Lines {
			if n.Outside {
				want[n.Edge] = Signed(n.Error)
			}
		}
		if len(want) == 0 || len(want) == len(g.Lines) {
			t.Fatalf("%s: the case tells nothing: %d of %d outside", v.name, len(want), len(g.Lines))
		}
		got := map[string]Where{}
		for _, p := range groups(d, PillPlate) {
			pill := p.Marks[0].(Pill)
			if want[p.Edge] != pill.Text {
				t.Errorf("%s: pill of %s says %q, want %q", v.name, p.Edge, pill.Text, want[p.Edge])
			}
			got[p.Edge] |= p.Where
		}
		runs := map[string]bool{}
		for _, o := range groups(d, Overrun) {
			runs[o.Edge] = true
		}
		for id := range want {
			if got[id] != Anywhere {
				t.Errorf("%s: pill of %s in media %b", v.name, id, got[id])
			}
			if !runs[id] {
				t.Errorf("%s: %s is not extended", v.name, id)
			}
		}
		if len(got) != len(want) || len(runs) != len(want) {
			t.Errorf("%s: %d pills, %d extensions, want %d", v.name, len(got), len(runs), len(want))
		}
	}
}

// The red extension continues the drawn line, starts at its end, and passes
// the true point where that lies on the board.
func TestOverrunContinuesTheLine(t *testing.T) {
	for _, v := range views {
		x := scene(t, v)
		a, g := drawn(x, 2.5, false)
		d := Redline(x, a, g)
		for _, n := range g.Lines {
			if !n.Outside {
				continue
			}
			line := geom.Through(n.From, n.To)
			touches, past := false, 0.
			p, _ := x.Point(n.Box, n.Set)
			at, finite := p.At.Vec()
			out := at.Sub(geom.Mid(n.From, n.To))
			for _, o := range groups(d, Overrun) {
				if o.Edge != n.Edge {
					continue
				}
				for _, s := range o.Marks[0].(Segments) {
					if math.Abs(line.Dist(s.A)) > 1e-6 || math.Abs(line.Dist(s.B)) > 1e-6 {
						t.Errorf("%s: extension of %s leaves its line", v.name, n.Edge)
					}
					touches = touches || near(s.A, n.From) || near(s.A, n.To)
					past = max(past, s.B.Sub(at).Dot(out))
				}
			}
			if !touches {
				t.Errorf("%s: extension of %s starts off the line", v.name, n.Edge)
			}
			if finite && frame(x.Sheet, Wide).grow(-20, -20).holds(at) && past <= 0 {
				t.Errorf("%s: extension of %s ends before the point", v.name, n.Edge)
			}
		}
	}
}

// Rays lie on the true line of an edge and lead to its point.
func TestRaysLeadToThePoint(t *testing.T) {
	for _, v := range views {
		x := scene(t, v)
		a, g := drawn(x, 1, false)
		n := 0
		for _, r := range groups(Redline(x, a, g), Ray) {
			for _, p := range x.Points {
				if HueOf(p.Set) != r.Set {
					continue
				}
				at, _ := p.At.Vec()
				for _, s := range r.Marks[0].(Segments) {
					n++
					if off := math.Abs(geom.Through(s.A, s.B).Dist(at)); off > 1e-6*(1+at.Len()) {
						t.Errorf("%s: a ray misses its point by %g mm", v.name, off)
					}
				}
			}
		}
		if n == 0 {
			t.Errorf("%s: no rays", v.name)
		}
	}
}

// Every stroke is drawn once, whatever the grade says of it, under the edge
// that it was matched to.
func TestEveryStrokeIsDrawnOnce(t *testing.T) {
	x := scene(t, views[1])
	a, g := drawn(x, 2, true)
	g.Lines[1].Strokes = append(g.Lines[1].Strokes, g.Lines[0].Strokes...) // claimed twice
	seen := map[int]string{}
	for _, s := range []Style{InkLine, InkUnmatched, InkConstruction} {
		for _, gr := range groups(Redline(x, a, g), s) {
			for _, m := range gr.Marks {
				k := m.(Trace).Stroke
				if _, twice := seen[k]; twice {
					t.Errorf("stroke %d is drawn twice", k)
				}
				seen[k] = gr.Edge
				if gr.Title == "" {
					t.Errorf("stroke %d has no words", k)
				}
			}
		}
	}
	if len(seen) != len(a.Strokes) {
		t.Errorf("%d strokes drawn of %d", len(seen), len(a.Strokes))
	}
	if seen[g.Lines[0].Strokes[0]] != g.Lines[0].Edge {
		t.Errorf("stroke is drawn for %q, matched to %q", seen[g.Lines[0].Strokes[0]], g.Lines[0].Edge)
	}
}

// In a mirrored exercise every line, point and arrow is mirrored; letters go
// where they find room.
func TestRedlineMirrors(t *testing.T) {
	for _, v := range views {
		x := scene(t, v)
		y := *x
		w := x.Sheet.Width
		y.Corners, y.Points = append([]geom.Vec(nil), x.Corners...), append(y.Points[:0:0], x.Points...)
		for i, c := range x.Corners {
			y.Corners[i] = geom.Vec{X: w - c.X, Y: c.Y}
		}
		for i, p := range x.Points {
			y.Points[i].At = geom.Point{X: float64(w*p.At.W) - p.At.X, Y: p.At.Y, W: p.At.W}
		}
		a, g := &grade.Attempt{}, &grade.Grade{}
		d, m := Redline(x, a, g), Redline(&y, a, g)
		for _, s := range []Style{GivenLine, GivenDot, TrueLine, Ray, Horizon, Vanishing, ArrowHead} {
			sameMirrored(t, places(d, s), places(m, s), w)
		}
	}
}

// places lists the coordinates of all wide marks of style s.
func places(d Drawing, s Style) []geom.Vec {
	var out []geom.Vec
	for _, g := range groups(d, s) {
		if g.Where&Wide == 0 || s == Horizon && isArrow(g.Marks[0]) {
			continue
		}
		for _, m := range g.Marks {
			if a, ok := m.(Arrow); ok {
				out = append(out, a.Tip)
				continue
			}
			out = append(out, m.points()...)
		}
	}
	return out
}

// isArrow tells the arrow toward a far horizon, which goes where there is
// room, from the horizon itself.
func isArrow(m Mark) bool { _, ok := m.(Arrow); return ok }
