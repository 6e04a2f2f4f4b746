package sheet

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// anyStroke draws a walk of a pen, with jitter, stops and turns.
func anyStroke(t *rapid.T, most int) ink.Stroke {
	n := rapid.IntRange(2, most).Draw(t, "samples")
	s := ink.Stroke{Role: ink.RoleEdge}
	at := anyVec(t, "start", 200)
	for range n {
		at = at.Add(anyVec(t, "step", 2))
		s.X, s.Y = append(s.X, at.X), append(s.Y, at.Y)
		s.P = append(s.P, rapid.Float64Range(0, 1).Draw(t, "pressure"))
	}
	return s
}

// way is the distance of p from a polyline.
func way(pts []geom.Vec, p geom.Vec) float64 {
	best := math.Inf(1)
	for i := 1; i < len(pts); i++ {
		best = min(best, geom.Segment{A: pts[i-1], B: pts[i]}.Dist(p))
	}
	return best
}

// No sample lies farther from the thinned trace than the slack, its ends stay,
// and its widths stay within what the pen can do.
func TestTraceStaysWithinSlack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStroke(t, 400)
		tr := trace(s, traceSlack)
		first, last := geom.Vec{X: s.X[0], Y: s.Y[0]}, geom.Vec{X: s.X[len(s.X)-1], Y: s.Y[len(s.Y)-1]}
		if len(tr.Points) > 1 && (tr.Points[0] != first || tr.Points[len(tr.Points)-1] != last) {
			t.Fatalf("ends moved: %v", tr.Points)
		}
		if len(tr.Points) > 1 {
			for i := range s.X {
				if d := way(tr.Points, geom.Vec{X: s.X[i], Y: s.Y[i]}); d > traceSlack+1e-9 {
					t.Fatalf("sample %d is %g mm off", i, d)
				}
			}
		}
		if len(tr.Widths) != 1 && len(tr.Widths) != len(tr.Points) {
			t.Fatalf("%d widths for %d points", len(tr.Widths), len(tr.Points))
		}
		for _, w := range tr.Widths {
			if w < penThin-1e-9 || w > penThick+1e-9 {
				t.Fatalf("width %g", w)
			}
		}
	})
}

func TestTrace(t *testing.T) {
	long := ink.Stroke{Role: ink.RoleEdge}
	for i := range 1000 {
		long.X, long.Y = append(long.X, float64(i)/10), append(long.Y, 5)
	}
	for _, c := range []struct {
		name  string
		s     ink.Stroke
		n     int
		width float64 // of the first point; all traces here are even
	}{
		{"two samples", ink.Stroke{X: []float64{0, 9}, Y: []float64{0, 3}}, 2, penWidth},
		{"straight in chunks", long, 1 + (999+traceChunk-1)/traceChunk, penWidth},
		{"a tap", ink.Stroke{X: []float64{4, 4}, Y: []float64{4, 4}}, 1, penWidth},
		{"construction", ink.Stroke{Role: ink.RoleConstruction, X: []float64{0, 9}, Y: []float64{0, 3}, P: []float64{1, 1}}, 2, paleThin},
		{"even pressure", ink.Stroke{X: []float64{0, 9}, Y: []float64{0, 3}, P: []float64{1, 1}}, 2, penThick},
		{"not a number", ink.Stroke{X: []float64{math.NaN(), math.Inf(1)}, Y: []float64{0, 3}}, 0, penWidth},
	} {
		tr := trace(c.s, traceSlack)
		if len(tr.Points) != c.n || len(tr.Widths) != 1 || math.Abs(tr.Widths[0]-c.width) > 1e-9 {
			t.Errorf("%s: %d points, widths %v; want %d, %g", c.name, len(tr.Points), tr.Widths, c.n, c.width)
		}
	}
}

// A drawing of very many samples is thinned until it is small enough to send.
func TestTracesAreBounded(t *testing.T) {
	var all []ink.Stroke
	for k := range 60 {
		s := ink.Stroke{Role: ink.RoleEdge}
		for i := range ink.MaxSamples {
			s.X = append(s.X, 100+.5*float64(i%7)+float64(k))
			s.Y = append(s.Y, 100+.4*float64(i%5))
		}
		all = append(all, s)
	}
	n := 0
	for _, tr := range traces(all) {
		n += len(tr.Points)
	}
	if n > traceMost || n < 2*len(all) {
		t.Errorf("%d points kept of %d samples, want at most %d", n, 60*ink.MaxSamples, traceMost)
	}
}

// The outline of a straight trace is as far from it as half its width.
func TestOutlineWidth(t *testing.T) {
	tr := Trace{Points: []geom.Vec{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 20, Y: 0}}, Widths: []float64{.4, .8, 1}}
	left, right := outline(tr)
	for i, w := range tr.Widths {
		if !near(left[i], geom.Vec{X: tr.Points[i].X, Y: -w / 2}) || !near(right[i], geom.Vec{X: tr.Points[i].X, Y: w / 2}) {
			t.Errorf("point %d: %v %v, want %g apart", i, left[i], right[i], w)
		}
	}
}

// Cut at the sheet's rim, a trace keeps its length, and every part lies on the
// side that it says.
func TestPartsKeepLength(t *testing.T) {
	r := rect{geom.Vec{X: -30, Y: -20}, geom.Vec{X: 40, Y: 25}}
	length := func(v []geom.Vec) (sum float64) {
		for i := 1; i < len(v); i++ {
			sum += v[i].Sub(v[i-1]).Len()
		}
		return sum
	}
	rapid.Check(t, func(t *rapid.T) {
		s := anyStroke(t, 60)
		for i := range s.X {
			s.X[i] /= 2
			s.Y[i] /= 2
		}
		tr := trace(s, traceSlack)
		var sum float64
		for _, p := range tr.parts(r) {
			sum += length(p.Points)
			for i := 1; i < len(p.Points); i++ {
				m := geom.Mid(p.Points[i-1], p.Points[i])
				if p.off == r.grow(-1e-6, -1e-6).holds(m) && p.off == r.grow(1e-6, 1e-6).holds(m) {
					t.Fatalf("part off=%v passes %v", p.off, m)
				}
			}
			if len(p.Widths) != 1 && len(p.Widths) != len(p.Points) {
				t.Fatalf("%d widths for %d points", len(p.Widths), len(p.Points))
			}
		}
		if want := length(tr.Points); math.Abs(sum-want) > 1e-6 {
			t.Fatalf("parts are %g long, the trace %g", sum, want)
		}
	})
}
