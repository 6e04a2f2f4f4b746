package guide

import (
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// box is a box in construction: what is known of it so far. Its corners and
// edges are numbered as in package perspective.
type box struct {
	x       *drill.Exercise
	n       int // which box of x
	edges   [12]drill.Edge
	at      [8]geom.Vec // of known corners
	known   [8]bool
	points  [3]geom.Point // of known points
	have    [3]bool
	horizon geom.Line
}

// newBox reads what is given of box n of x: the ends of given edges, marks,
// the points that are shown and the horizon.
func newBox(x *drill.Exercise, n int) (*box, error) {
	if n >= len(x.Boxes) {
		return nil, unfixed("no box %d", n)
	}
	if x.Horizon == nil || !x.Horizon.Shown {
		return nil, unfixed("no horizon")
	}
	b := &box{x: x, n: n, horizon: x.Horizon.Line}
	place := map[int]int{} // from the exercise's corner to the box's own
	given := x.CornersGiven()
	for i, c := range x.Boxes[n].Corners {
		if c < 0 || c >= len(x.Corners) {
			return nil, unfixed("no corner %d", c)
		}
		place[c] = i
		if given[c] {
			b.at[i], b.known[i] = x.Corners[c], true
		}
	}
	found := 0
	for _, e := range x.Edges {
		if e.Box != n {
			continue
		}
		i, okI := place[e.Corners[0]]
		j, okJ := place[e.Corners[1]]
		if !okI || !okJ || i^j != 1<<e.Set {
			return nil, unfixed("edge %s is none of the box", e.ID)
		}
		k, _ := perspective.EdgeAt(i, e.Set)
		b.edges[k] = e
		found++
	}
	if found != len(b.edges) {
		return nil, unfixed("%d edges", found)
	}
	for _, p := range x.Points {
		if p.Box == n && p.Shown {
			b.points[p.Set], b.have[p.Set] = p.At, true
		}
	}
	return b, nil
}

// finite reports whether the set's point is known and on the sheet's plane.
func (b *box) finite(k perspective.Set) bool { return b.have[k] && b.points[k].Finite() }

// given returns the given edges of set k.
func (b *box) given(k perspective.Set) []int {
	var list []int
	for i, e := range b.edges {
		if e.Given && perspective.Edges[i].Set == k {
			list = append(list, i)
		}
	}
	return list
}

// segment returns edge i between its known corners.
func (b *box) segment(i int) geom.Segment {
	c := perspective.Edges[i].Corners
	return geom.Segment{A: b.at[c[0]], B: b.at[c[1]]}
}

// line returns the line through corner c along set k.
func (b *box) line(c int, k perspective.Set) geom.Line {
	return geom.Join(geom.At(b.at[c]), b.points[k])
}

// solve finds corner c as the crossing of the lines along j and k through its
// neighbours. ok is false when one of them is not known.
func (b *box) solve(c int, j, k perspective.Set) (ok bool) {
	if b.known[c] {
		return true
	}
	m, n := c^1<<j, c^1<<k
	if !b.known[m] || !b.known[n] || !b.have[j] || !b.have[k] {
		return false
	}
	v, ok := geom.Meet(b.line(m, j), b.line(n, k)).Vec()
	if !ok || !v.Finite() {
		return false
	}
	b.at[c], b.known[c] = v, true
	return true
}

// overshoot is how far, in mm, a construction line runs past its ends where
// it runs to no point of the sheet's plane.
const overshoot = 7

// rail is the light line along set k through the known ones of the corners
// given: on to the set's point, or a little past them where that is at
// infinity.
func (b *box) rail(k perspective.Set, corners ...int) Line {
	var at []geom.Vec
	for _, c := range corners {
		if b.known[c] {
			at = append(at, b.at[c])
		}
	}
	return Line{Segment: along(b.points[k], at), Role: Construction, HasSet: true, Set: k}
}

// along returns the segment of the line to p that covers the places at, which
// lie on it. There must be at least one.
func along(p geom.Point, at []geom.Vec) geom.Segment {
	v, finite := p.Vec()
	if finite {
		far := at[0]
		for _, q := range at {
			if q.Sub(v).Len() > far.Sub(v).Len() {
				far = q
			}
		}
		return geom.Segment{A: far, B: v}
	}
	d := geom.Vec{X: p.X, Y: p.Y}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range at {
		t := q.Sub(at[0]).Dot(d)
		lo, hi = min(lo, t), max(hi, t)
	}
	return geom.Segment{A: at[0].Add(d.Scale(lo - overshoot)), B: at[0].Add(d.Scale(hi + overshoot))}
}

// dots returns the places of the given corners, as found.
func (b *box) dots(corners ...int) []Dot {
	var d []Dot
	for _, c := range corners {
		d = append(d, Dot{At: b.at[c], Role: Corner})
	}
	return d
}

// pick returns those of the edges that satisfy want, as lines of a role.
func (b *box) pick(r Role, want func(i int, e drill.Edge) bool) []Line {
	var l []Line
	for i, e := range b.edges {
		if want(i, e) {
			l = append(l, Line{Segment: b.segment(i), Role: r, HasSet: true, Set: perspective.Edges[i].Set})
		}
	}
	return l
}

// all reports whether all corners given are known.
func (b *box) all(corners ...int) bool {
	for _, c := range corners {
		if !b.known[c] {
			return false
		}
	}
	return true
}

// rest finds by crossings whatever corners are still open, and returns the
// light lines of it.
func (b *box) rest() (lines []Line, found []int) {
	for again := true; again; {
		again = false
		for c := range b.at {
			for i, j := range perspective.Sets {
				k := perspective.Sets[(i+1)%3]
				if !b.known[c] && b.solve(c, j, k) {
					lines = append(lines, b.rail(j, c, c^1<<j), b.rail(k, c, c^1<<k))
					found = append(found, c)
					again = true
				}
			}
		}
	}
	return lines, found
}
