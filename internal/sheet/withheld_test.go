package sheet

import (
	"bytes"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// without returns a copy of x in which everything withheld from the learner
// is replaced by other numbers.
func without(x *drill.Exercise, r *rapid.T) *drill.Exercise {
	y := *x
	y.Corners = append([]geom.Vec(nil), x.Corners...)
	for i, given := range x.CornersGiven() {
		if !given {
			y.Corners[i] = anyVec(r, "corner", 400)
		}
	}
	y.Points = append([]drill.Point(nil), x.Points...)
	for i, p := range y.Points {
		if !p.Shown {
			y.Points[i].At = geom.At(anyVec(r, "point", 900))
		}
	}
	if x.Horizon != nil && !x.Horizon.Shown {
		y.Horizon = &drill.Horizon{Line: geom.Line{B: 1, C: rapid.Float64Range(-500, 500).Draw(r, "horizon")}}
	}
	if x.Viewing != nil {
		y.Viewing = &drill.Viewing{Distance: 1}
	}
	y.Boxes = nil
	return &y
}

// Nothing withheld has any influence on what is sent before hand-in: another
// exercise that shows the same gives the same bytes.
func TestWithheldLeavesNoTrace(t *testing.T) {
	check := func(t *testing.T, x *drill.Exercise) {
		a := Exercise(x)
		print, err := PDF(a, "title")
		if err != nil {
			t.Fatal(err)
		}
		printed := false
		rapid.Check(t, func(r *rapid.T) {
			b := Exercise(without(x, r))
			if !reflect.DeepEqual(a, b) {
				r.Fatal("the display list depends on what is withheld")
			}
			if a.SVG() != b.SVG() || a.Picture() != b.Picture() || Thumb(a) != Thumb(b) {
				r.Fatal("a picture depends on what is withheld")
			}
			if printed { // once is enough: it is made from the display list alone
				return
			}
			printed = true
			again, err := PDF(b, "title")
			if err != nil {
				r.Fatal(err)
			}
			if !bytes.Equal(print, again) {
				r.Fatal("the print depends on what is withheld")
			}
		})
	}
	for _, v := range views {
		t.Run(v.name, func(t *testing.T) { check(t, scene(t, v)) })
	}
	for _, v := range drill.Views(drill.Finish) {
		for _, level := range []int{2, 5, 8, 10} {
			x, err := drill.New(drill.Finish, v, level, 99)
			if err != nil {
				t.Fatal(err)
			}
			t.Run(string(v), func(t *testing.T) { check(t, x) })
		}
	}
}

// No mark lies on a withheld corner or point, or along a withheld horizon.
func TestWithheldIsNotDrawn(t *testing.T) {
	const clear = .01 // mm: what a picture's numbers can tell apart
	for _, v := range views {
		x := scene(t, v)
		var secret []geom.Vec
		for i, given := range x.CornersGiven() {
			if !given {
				secret = append(secret, x.Corners[i])
			}
		}
		for _, p := range x.Points {
			if at, ok := p.At.Vec(); ok && !p.Shown {
				secret = append(secret, at)
			}
		}
		if len(secret) == 0 {
			t.Fatalf("%s withholds nothing", v.name)
		}
		for _, l := range Exercise(x).Layers {
			for _, g := range l.Groups {
				for _, m := range g.Marks {
					for _, p := range m.points() {
						for _, s := range secret {
							if p.Sub(s).Len() < clear {
								t.Errorf("%s: %s draws the withheld %v", v.name, looks[g.Style].class, s)
							}
						}
						if !x.Horizon.Shown && g.Style != PaperEdge && math.Abs(x.Horizon.Line.Dist(p)) < clear {
							t.Errorf("%s: %s has a place on the withheld horizon", v.name, looks[g.Style].class)
						}
					}
				}
			}
		}
	}
}

// The redline then shows it all.
func TestRedlineReveals(t *testing.T) {
	for _, v := range views {
		x := scene(t, v)
		a, g := drawn(x, 2, true)
		d := Redline(x, a, g)
		points := len(groups(d, VanishingLabel))
		want := 0
		for _, p := range x.Points {
			if p.At.Finite() {
				want += len(media)
			}
		}
		if points != want {
			t.Errorf("%s: %d labels of points, want %d", v.name, points, want)
		}
		if len(groups(d, HorizonLabel)) < len(media) {
			t.Errorf("%s: the eye level is not named in every medium", v.name)
		}
		if n := len(groups(d, TrueLine)) + len(groups(d, MissingLine)); n != len(x.Asked.Edges) {
			t.Errorf("%s: %d true lines, want %d", v.name, n, len(x.Asked.Edges))
		}
		if n := len(groups(d, MissingLine)); n != len(g.Missing) {
			t.Errorf("%s: %d missing lines stressed, want %d", v.name, n, len(g.Missing))
		}
	}
}

// What the learner saw stays where it was: the redline only adds.
func TestRedlineKeepsTheSheet(t *testing.T) {
	for _, v := range views {
		x := scene(t, v)
		a, g := drawn(x, 2, false)
		before, after := Exercise(x), Redline(x, a, g)
		for i, l := range before.Layers {
			if len(after.Layers[i].Groups) < len(l.Groups) {
				t.Fatalf("%s: layer %s lost marks", v.name, l.Name)
			}
			for k, b := range l.Groups {
				w, u := newWriter(), newWriter()
				w.group(b)
				u.group(after.Layers[i].Groups[k])
				if w.buf.String() != u.buf.String() {
					t.Errorf("%s: layer %s mark %d moved", v.name, l.Name, k)
				}
			}
		}
	}
}
