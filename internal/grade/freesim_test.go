package grade

import (
	"math"
	"math/rand/v2"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// simFree makes a free exercise whose box is what the hand has in mind: any
// view, above, below or across the eye level, near and far points, cubes,
// slabs and towers; sound, but for how wide its sets spread.
func simFree(r *rand.Rand, view drill.View) (*drill.Exercise, perspective.Station) {
	limits := perspective.Sound
	limits.Hull, limits.Spread, limits.Near, limits.Faces = 50, geom.Degrees(1), geom.Degrees(90), [4]int{2, 2, 2, 2}
	for {
		s := perspective.Station{Distance: 200 + 300*r.Float64()}
		s.Principal = geom.Vec{X: 148.5 + 40*(2*r.Float64()-1), Y: 105 + 40*(2*r.Float64()-1)}
		var b perspective.Box
		for k := range b.Size {
			b.Size[k] = math.Exp(.5 * r.NormFloat64())
		}
		if r.IntN(4) == 0 {
			b.Size = [3]float64{1, 1, 1}
		}
		away := 2.5 + 7*r.Float64()
		b.Base = geom.Vec3{X: 2 * (2*r.Float64() - 1), Y: away, Z: 2 * (2*r.Float64() - 1.2)}
		switch view {
		case drill.Two:
			b.Yaw = geom.Degrees(15 + 60*r.Float64())
		case drill.Three:
			b.Yaw = geom.Degrees(15 + 60*r.Float64())
			s.Pitch = geom.Degrees(15 + 30*r.Float64())
			if r.IntN(2) == 0 {
				s.Pitch = -s.Pitch
			}
			b.Base.Z += away * math.Tan(float64(s.Pitch))
		}
		p, ok := s.Picture(b)
		if !ok {
			continue
		}
		m := s.Measure(&p, 297, 210)
		if m.Faults(&limits) != 0 || m.AnyVertex < limits.Vertex {
			continue
		}
		x := simExercise(s, b, p, view, 0)
		x.Kind = drill.Free
		return x, s
	}
}

// meantSets returns the set that each stroke of d means, -1 for none.
func (d *simDrawing) meantSets(x *drill.Exercise) (want []int) {
	for _, id := range d.edge {
		k := -1
		for _, e := range x.Edges {
			if e.ID == id {
				k = int(e.Set)
			}
		}
		want = append(want, k)
	}
	return want
}
