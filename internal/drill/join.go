package drill

import (
	"math"

	"boxwright/internal/geom"
)

// join makes x a sheet of dots to be joined in pairs.
func join(x *Exercise, r *dice) {
	n := 8 + (x.Level-1)*5/10
	x.Targets = make([]Target, 0, n)
	x.Asked.Targets = targetIDs[:n:n]
	for len(x.Targets) < n {
		l := r.in(30, 150)
		a := geom.Degrees(r.in(0, 180))
		d := geom.Direction(a).Scale(l / 2)
		c := geom.Vec{X: r.in(12+math.Abs(d.X), 285-math.Abs(d.X)), Y: r.in(12+math.Abs(d.Y), 198-math.Abs(d.Y))}
		x.Targets = append(x.Targets, Target{ID: targetIDs[len(x.Targets)], A: c.Sub(d), B: c.Add(d)})
	}
}

var targetIDs = numbered("t", 12)
