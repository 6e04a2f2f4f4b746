package grade

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// plan makes of the frame what an exercise would expect: twelve edges where
// the drawing itself puts them. The frame's k-th set becomes names[k], and
// its corners and edges move to where perspective.Edges has them.
func (f *frame) plan(at [3]geom.Point, names [3]perspective.Set, unit float64) *plan {
	p := &plan{corners: make([]geom.Vec, 8), known: make([]bool, 8), unit: unit, asked: 12}
	var of [3]int // the frame's set of each name
	for k, n := range names {
		of[n] = k
	}
	for i := range p.corners {
		from := 0
		for n, k := range of {
			from |= i >> n & 1 << k
		}
		p.corners[i] = f.corners[from]
	}
	for _, e := range perspective.Edges {
		v := at[of[e.Set]]
		p.edges = append(p.edges, edge{set: e.Set, hasSet: true, ends: e.Corners, to: v,
			segment: makeSegment(p.corners[e.Corners[0]], p.corners[e.Corners[1]], v)})
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
		p.polish(rays)
		return p, true
	}
	p = pencil{m: m}
	p.set(0.5*math.Atan2(s2, c2), 0)
	return p, false
}

// polish takes a few more steps toward the optimum, so that the order of the
// rays does not show.
func (p *pencil) polish(rays []ray) {
	for range 3 {
		ibb, ibk, ikk, gb, gk, _ := p.information(rays)
		det := ibb*ikk - ibk*ibk
		if !(det > 0) {
			return
		}
		p.set(p.beta+(gb*ikk-gk*ibk)/det, p.kappa+(gk*ibb-gb*ibk)/det)
	}
}
