package sheet

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// near reports whether two places are the same to a ten-thousandth of a
// millimetre, far below what any medium shows.
func near(a, b geom.Vec) bool { return a.Sub(b).Len() < 1e-4 }

func TestClip(t *testing.T) {
	r := rect{geom.Vec{X: 0, Y: 0}, geom.Vec{X: 10, Y: 5}}
	for _, c := range []struct {
		name string
		s    geom.Segment
		want geom.Segment
		ok   bool
	}{
		{"inside", geom.Segment{A: geom.Vec{X: 1, Y: 1}, B: geom.Vec{X: 9, Y: 4}}, geom.Segment{A: geom.Vec{X: 1, Y: 1}, B: geom.Vec{X: 9, Y: 4}}, true},
		{"across", geom.Segment{A: geom.Vec{X: -5, Y: 2}, B: geom.Vec{X: 15, Y: 2}}, geom.Segment{A: geom.Vec{X: 0, Y: 2}, B: geom.Vec{X: 10, Y: 2}}, true},
		{"out at the top", geom.Segment{A: geom.Vec{X: 5, Y: 3}, B: geom.Vec{X: 5, Y: -9}}, geom.Segment{A: geom.Vec{X: 5, Y: 3}, B: geom.Vec{X: 5, Y: 0}}, true},
		{"beside", geom.Segment{A: geom.Vec{X: -1, Y: 0}, B: geom.Vec{X: -1, Y: 5}}, geom.Segment{}, false},
		{"past a corner", geom.Segment{A: geom.Vec{X: -2, Y: 1}, B: geom.Vec{X: 1, Y: -2}}, geom.Segment{}, false},
	} {
		got, ok := r.clip(c.s)
		if ok != c.ok || !near(got.A, c.want.A) || !near(got.B, c.want.B) {
			t.Errorf("%s: got %v %v, want %v %v", c.name, got, ok, c.want, c.ok)
		}
	}
}

func anyVec(t *rapid.T, name string, reach float64) geom.Vec {
	g := rapid.Float64Range(-reach, reach)
	return geom.Vec{X: g.Draw(t, name+".x"), Y: g.Draw(t, name+".y")}
}

// The parts that split returns lie where they say, on the segment, and
// together are as long as its part in the outer rectangle.
func TestSplitKeepsLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		inner := rect{Max: geom.Vec{X: 297, Y: 210}}
		outer := inner.grow(50, 14)
		s := geom.Segment{A: anyVec(t, "a", 600), B: anyVec(t, "b", 600)}
		in, out := split(s, inner, outer)
		var sum float64
		for _, p := range in {
			sum += p.Len()
			if m := geom.Mid(p.A, p.B); !inner.grow(1e-9, 1e-9).holds(m) || s.Dist(m) > 1e-9 {
				t.Fatalf("inner part %v of %v", p, s)
			}
		}
		for _, p := range out {
			sum += p.Len()
			if m := geom.Mid(p.A, p.B); inner.grow(-1e-9, -1e-9).holds(m) || !outer.grow(1e-9, 1e-9).holds(m) || s.Dist(m) > 1e-9 {
				t.Fatalf("outer part %v of %v", p, s)
			}
		}
		var want float64
		if c, ok := outer.clip(s); ok {
			want = c.Len()
		}
		if math.Abs(sum-want) > 1e-6 {
			t.Fatalf("parts of %v are %g long, want %g", s, sum, want)
		}
	})
}

// Every tick lies on the line through its place on the sheet's edge and the
// point, is no longer than said, and its place is on an edge.
func TestTicksRunToTheirPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := anyVec(t, "at", 3000)
		x := &drill.Exercise{Sheet: drill.A4}
		d := newDrawing(x.Sheet, "sheet")
		l := newLayout(&d, x)
		l.ticks(drill.Point{At: geom.At(at), Shown: true})
		n := 0
		for _, g := range groups(d, Tick) {
			for _, s := range g.Marks[0].(Segments) {
				n++
				line := geom.Through(s.A, s.B)
				if off := math.Abs(line.Dist(at)); off > 1e-6*(1+at.Len()) {
					t.Fatalf("tick %v misses %v by %g mm", s, at, off)
				}
				if s.B.Sub(s.A).Dot(at.Sub(s.A)) <= 0 {
					t.Fatalf("tick %v runs away from %v", s, at)
				}
			}
		}
		if off := l.paper.dist(at); (n > 0) != (off > 0) && off > 30 {
			t.Fatalf("%d ticks for a point %g mm off the sheet", n, off)
		}
	})
}

// Ticks stand evenly: on each edge the same distance from one to the next.
func TestTicksAreEven(t *testing.T) {
	d := newDrawing(drill.A4, "sheet")
	l := newLayout(&d, &drill.Exercise{Sheet: drill.A4})
	p := l.edgePlaces(geom.Vec{X: 700, Y: 100}, Wide)
	if len(p) != 14 {
		t.Fatalf("%d places on a 210 mm edge, want 14", len(p))
	}
	for i := 1; i < len(p); i++ {
		if d := p[i].Sub(p[i-1]); !near(d, geom.Vec{Y: 15}) {
			t.Errorf("step %d is %v", i, d)
		}
	}
}

// Mirroring the sheet mirrors the places of the ticks.
func TestTicksMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := anyVec(t, "at", 2000)
		d := newDrawing(drill.A4, "sheet")
		l := newLayout(&d, &drill.Exercise{Sheet: drill.A4})
		sameMirrored(t, l.edgePlaces(at, Wide), l.edgePlaces(geom.Vec{X: 297 - at.X, Y: at.Y}, Wide), 297)
	})
}

type fataler interface{ Fatalf(string, ...any) }

// sameMirrored checks that b holds a's places mirrored in a sheet of the given width.
func sameMirrored(t fataler, a, b []geom.Vec, width float64) {
	if len(a) != len(b) {
		t.Fatalf("%d places, mirrored %d", len(a), len(b))
	}
	for _, p := range a {
		q := geom.Vec{X: width - p.X, Y: p.Y}
		if !slices.ContainsFunc(b, func(v geom.Vec) bool { return near(q, v) }) {
			t.Fatalf("no mirror of %v", p)
		}
	}
}

// An arrow points from its tip straight at the point, its tip lies in the
// room, and on a shown horizon it lies on the horizon.
func TestArrowsPointTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := anyVec(t, "at", 5000)
		x := &drill.Exercise{Sheet: drill.A4}
		onHorizon := rapid.Bool().Draw(t, "on the horizon")
		if onHorizon {
			at.Y = rapid.Float64Range(10, 200).Draw(t, "level")
			x.Horizon = &drill.Horizon{Line: geom.Line{B: 1, C: -at.Y}, Shown: true}
		}
		d := newDrawing(x.Sheet, "sheet")
		l := newLayout(&d, x)
		l.point(drill.Point{At: geom.At(at), Shown: true})
		seen := Where(0)
		for _, g := range groups(d, ArrowHead) {
			seen |= g.Where
			a := g.Marks[0].(Arrow)
			to := at.Sub(a.Tip)
			if math.Abs(a.Dir.Cross(to)) > 1e-9*(1+to.Len()) || a.Dir.Dot(to) <= 0 {
				t.Fatalf("arrow at %v along %v does not point at %v", a.Tip, a.Dir, at)
			}
			if !frame(x.Sheet, g.Where).grow(1e-6, 1e-6).holds(a.Tip) {
				t.Fatalf("arrow's tip %v outside the board", a.Tip)
			}
			if onHorizon && math.Abs(a.Tip.Y-at.Y) > 1e-6 {
				t.Fatalf("arrow's tip %v off the horizon at %g", a.Tip, at.Y)
			}
		}
		for _, g := range groups(d, Vanishing) {
			seen |= g.Where
			if g.Marks[0].(Dot).At != at {
				t.Fatalf("ring at %v, point at %v", g.Marks[0], at)
			}
		}
		if seen != Anywhere {
			t.Fatalf("point %v shown in media %b only", at, seen)
		}
	})
}

// groups returns d's groups of style s.
func groups(d Drawing, s Style) []Group {
	var out []Group
	for _, l := range d.Layers {
		for _, g := range l.Groups {
			if g.Style == s {
				out = append(out, g)
			}
		}
	}
	return out
}
