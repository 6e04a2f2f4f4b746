package grade

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// plan makes of the frame what an exercise would expect: twelve edges where
// the drawing itself puts them. The set of each edge is that of names.
func (f *frame) plan(at [3]geom.Point, names [3]perspective.Set, unit float64) *plan {
	p := &plan{corners: f.corners[:], known: make([]bool, 8), unit: unit, asked: 12}
	for i, e := range perspective.Edges {
		k := i / 4
		a, b := f.corners[e.Corners[0]], f.corners[e.Corners[1]]
		p.edges = append(p.edges, edge{set: names[k], hasSet: true, ends: e.Corners, to: at[k], segment: makeSegment(a, b, at[k])})
	}
	return p
}

// meetSet returns where the lines of one set meet. Lines that determine no
// point, such as a single one, are taken for parallels.
func meetSet(lines []*drawn, sd float64) (p pencil, ok bool) {
	rays := make([]ray, 0, 4)
	var m geom.Vec
	var c2, s2 float64
	for _, d := range lines {
		rays = append(rays, ray{at: d.mid, dir: d.dir, sd: max(sd*LengthLaw(d.length), float64(d.device)), off: d.offset})
		m = m.Add(d.mid.Scale(1 / float64(len(lines))))
		c2 += d.dir.X*d.dir.X - d.dir.Y*d.dir.Y
		s2 += 2 * d.dir.X * d.dir.Y
	}
	if p, ok = meet(rays, nil); ok {
		return p, true
	}
	p = pencil{m: m}
	p.set(0.5*math.Atan2(s2, c2), 0)
	return p, false
}
