package drill

import (
	"errors"
	"testing"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// Sound must find what is wrong: each sheet here is a good one spoilt.
func TestSoundFindsFaults(t *testing.T) {
	for _, c := range []struct {
		what  string
		spoil func(x *Exercise)
	}{
		{"a corner moved by a micrometre", func(x *Exercise) { x.Corners[5].X += .001 }},
		{"a point moved", func(x *Exercise) { x.Points[0].At.X += .1 }},
		{"another viewing distance", func(x *Exercise) { x.Viewing.Distance++ }},
		{"another principal point", func(x *Exercise) { x.Viewing.Principal.X++ }},
		{"another horizon", func(x *Exercise) { x.Horizon.Line.C++ }},
		{"a hidden edge called visible", func(x *Exercise) {
			for i := range x.Edges {
				if x.Edges[i].Hidden {
					x.Edges[i].Hidden = false
					return
				}
			}
		}},
		{"the wrong view", func(x *Exercise) { x.View = Two }},
		{"no viewing", func(x *Exercise) { x.Viewing = nil }},
		{"a corner missing", func(x *Exercise) { x.Corners = x.Corners[:7] }},
		{"drawn at half the size", func(x *Exercise) { scaleSheet(x, .5) }},
		{"drawn at twice the size", func(x *Exercise) { scaleSheet(x, 2) }},
		{"moved off the sheet", func(x *Exercise) { moveSheet(x, geom.Vec{X: 150}) }},
		{"edges in another order", func(x *Exercise) { x.Edges[0], x.Edges[1] = x.Edges[1], x.Edges[0] }},
		{"points in another order", func(x *Exercise) {
			x.Points[0].Set, x.Points[1].Set = perspective.Depth, perspective.Width
		}},
	} {
		for seed := range uint64(20) {
			x, err := New(Finish, Three, 5, seed)
			if err != nil {
				t.Fatal(err)
			}
			c.spoil(x)
			if err := Sound(x); !errors.Is(err, ErrUnsound) {
				t.Errorf("%s, seed %d: %v", c.what, seed, err)
			}
		}
	}
}

// scaleSheet and moveSheet keep the projection true, so that only the limits
// can find the fault.
func scaleSheet(x *Exercise, k float64) {
	mid := geom.Vec{X: A4.Width / 2, Y: A4.Height / 2}
	move := func(v geom.Vec) geom.Vec { return mid.Add(v.Sub(mid).Scale(k)) }
	mapSheet(x, move)
	x.Viewing.Distance *= k
}

func moveSheet(x *Exercise, d geom.Vec) { mapSheet(x, func(v geom.Vec) geom.Vec { return v.Add(d) }) }

func mapSheet(x *Exercise, move func(geom.Vec) geom.Vec) {
	for i := range x.Corners {
		x.Corners[i] = move(x.Corners[i])
	}
	for i := range x.Points {
		if v, ok := x.Points[i].At.Vec(); ok {
			x.Points[i].At = geom.At(move(v))
		}
	}
	x.Viewing.Principal = move(x.Viewing.Principal)
	x.Horizon.Line.C = -move(geom.Vec{Y: -x.Horizon.Line.C}).Y
}

func TestSoundFindsConfusedDots(t *testing.T) {
	for _, c := range []struct {
		what  string
		spoil func(x *Exercise)
	}{
		{"a dot on another", func(x *Exercise) { x.Targets[0].A = x.Targets[1].A }},
		{"a dot on another line", func(x *Exercise) { x.Targets[0].A = geom.Mid(x.Targets[1].A, x.Targets[1].B) }},
		{"a dot off the sheet", func(x *Exercise) { x.Targets[2].B.X = -3 }},
		{"a short line", func(x *Exercise) { x.Targets[3].B = x.Targets[3].A.Add(geom.Vec{X: 5}) }},
		{"too few lines", func(x *Exercise) { x.Targets = x.Targets[:7] }},
	} {
		x, err := New(Join, None, 5, 3)
		if err != nil {
			t.Fatal(err)
		}
		c.spoil(x)
		if err := Sound(x); !errors.Is(err, ErrUnsound) {
			t.Errorf("%s: %v", c.what, err)
		}
	}
}

// The test that redraws a box from its givens must fail when they do not fix
// it.
func TestRedrawnNeedsItsGivens(t *testing.T) {
	for _, v := range Views(Finish) {
		for _, level := range []int{1, 5, 8, 10} {
			x, err := New(Finish, v, level, 11)
			if err != nil {
				t.Fatal(err)
			}
			y := *x
			if len(x.Marks) > 0 {
				y.Marks = nil
			} else {
				y.Edges = append([]Edge(nil), x.Edges...)
				for i := range y.Edges { // the last given edge of a level set
					if y.Edges[i].Given && y.Edges[i].Set == perspective.Depth {
						y.Edges[i].Given = false
					}
				}
			}
			if err := redrawn(&y); err == nil {
				t.Errorf("%s level %d: redrawn without its givens", v, level)
			}
			z := *x
			z.Corners = append([]geom.Vec(nil), x.Corners...)
			for i := range z.Corners {
				if !x.CornersGiven()[i] {
					z.Corners[i].Y += .01
				}
			}
			if err := redrawn(&z); err == nil {
				t.Errorf("%s level %d: another box from the same givens", v, level)
			}
		}
	}
}
