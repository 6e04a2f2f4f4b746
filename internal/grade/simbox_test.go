package grade

import (
	"fmt"
	"math"
	"math/rand/v2"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// simBox makes an exercise with one box in the given view, all edges asked
// for but those of given; the picture is sound enough to be drawn: inside the
// sheet, no tiny or coinciding edges, points not next to corners.
func simBox(r *rand.Rand, view drill.View, given int) *drill.Exercise {
	for {
		s := perspective.Station{Principal: geom.Vec{X: 148.5, Y: 105}, Distance: 220 + 200*r.Float64()}
		b := perspective.Box{Size: [3]float64{.6 + r.Float64(), .6 + r.Float64(), .6 + r.Float64()}}
		away := 4 + 5*r.Float64()
		b.Base = geom.Vec3{X: 2 * (r.Float64() - .5), Y: away, Z: -2.5 + 4*r.Float64()}
		switch view {
		case drill.Two:
			b.Yaw = geom.Degrees(15 + 60*r.Float64())
		case drill.Three:
			b.Yaw = geom.Degrees(15 + 60*r.Float64())
			s.Pitch = geom.Degrees(15 + 25*r.Float64())
			if r.IntN(2) == 0 {
				s.Pitch = -s.Pitch
			}
			b.Base.Z += away * math.Tan(float64(s.Pitch))
		default:
			b.Base.X *= 1.5
		}
		p, ok := s.Picture(b)
		if !ok || !drawable(p) {
			continue
		}
		return simExercise(s, b, p, view, given)
	}
}

// drawable is a looser form of the generator's own conditions.
func drawable(p perspective.Picture) bool {
	lo, hi := p.Bounds()
	if lo.X < 10 || lo.Y < 10 || hi.X > 287 || hi.Y > 200 || max(hi.X-lo.X, hi.Y-lo.Y) < 65 {
		return false
	}
	for i := range perspective.Edges {
		s := p.Segment(i)
		if s.Len() < 12 {
			return false
		}
		for c, q := range p.Corners {
			if e := perspective.Edges[i].Corners; c != e[0] && c != e[1] && s.Dist(q) < 3 {
				return false
			}
		}
		if v, ok := p.Points[perspective.Edges[i].Set].Vec(); ok && s.Dist(v) < 20 {
			return false
		}
	}
	return true
}

// simExercise writes the picture down as an exercise. Edges are shuffled by
// nothing: the tests of order do that themselves.
func simExercise(s perspective.Station, b perspective.Box, p perspective.Picture, view drill.View, given int) *drill.Exercise {
	x := &drill.Exercise{ID: "sim", Kind: drill.Finish, View: view, Level: 5, Sheet: drill.Size{Width: 297, Height: 210},
		Horizon: &drill.Horizon{Line: s.Horizon(), Shown: true}, Corners: p.Corners[:]}
	for _, k := range perspective.Sets {
		x.Points = append(x.Points, drill.Point{ID: "p-" + k.String(), Set: k, At: p.Points[k], Shown: true})
	}
	near, _ := p.NearCorner()
	for i, e := range perspective.Edges {
		g := drill.Edge{ID: fmt.Sprintf("e%d", i), Set: e.Set, Corners: e.Corners, Hidden: p.Hidden[i]}
		if (e.Corners[0] == near || e.Corners[1] == near) && given > 0 {
			given--
			g.Given = true
		} else {
			x.Asked.Edges = append(x.Asked.Edges, g.ID)
		}
		x.Edges = append(x.Edges, g)
	}
	x.Boxes = []drill.Box{{Corners: [8]int{0, 1, 2, 3, 4, 5, 6, 7}, Proportions: b.Size}}
	return x
}
