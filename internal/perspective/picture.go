package perspective

import "boxwright/internal/geom"

// Picture is a box as it is drawn from a station: corners in index order,
// edges in the order of Edges, faces in that of Faces, points in that of Sets.
type Picture struct {
	Corners [8]geom.Vec   // mm on the sheet
	Depths  [8]float64    // in front of the eye, world units
	Points  [3]geom.Point // vanishing points, canonical
	Visible [6]bool       // faces
	Hidden  [12]bool      // edges
}

// Picture draws b. ok is false when a corner is not in front of the eye.
func (s Station) Picture(b Box) (p Picture, ok bool) {
	r, u, f := s.Axes()
	for i, c := range b.Corners() {
		q := c.Sub(s.Eye)
		p.Depths[i] = q.Dot(f)
		if !(p.Depths[i] > 0) {
			return Picture{}, false
		}
		p.Corners[i] = s.onSheet(q.Dot(r), q.Dot(u), p.Depths[i])
	}
	for _, k := range Sets {
		p.Points[k] = s.Vanishing(b.Direction(k))
	}
	p.Visible = b.VisibleFaces(s.Eye)
	p.Hidden = HiddenEdges(p.Visible)
	return p, true
}

// FinitePoints counts the vanishing points that are not at infinity: it makes
// a view one-, two- or three-point.
func (p Picture) FinitePoints() int {
	n := 0
	for _, v := range p.Points {
		if v.Finite() {
			n++
		}
	}
	return n
}

// HiddenCorner reports whether every edge at corner i is hidden.
func (p Picture) HiddenCorner(i int) bool {
	for _, e := range at[i] {
		if !p.Hidden[e] {
			return false
		}
	}
	return true
}

// NearCorner returns the corner that three visible faces share. ok is false
// when fewer than three faces are visible.
func (p Picture) NearCorner() (i int, ok bool) {
	n := 0
	for k := range Sets {
		for side := range 2 {
			if p.Visible[2*k+side] {
				n++
				i |= side << k
			}
		}
	}
	return i, n == 3
}

// Segment returns the picture of edge e.
func (p Picture) Segment(e int) geom.Segment {
	c := Edges[e].Corners
	return geom.Segment{A: p.Corners[c[0]], B: p.Corners[c[1]]}
}

// at holds, for every corner, its three edges by set.
var at = edgesAt()

func edgesAt() (a [8][3]int) {
	for i, e := range Edges {
		for _, c := range e.Corners {
			a[c][e.Set] = i
		}
	}
	return a
}

// EdgeAt returns the edge of set k that ends in corner i, and the corner at
// its other end.
func EdgeAt(i int, k Set) (edge, other int) { return at[i][k], i ^ 1<<k }

// Bounds returns the corners of the upright rectangle round the picture.
func (p *Picture) Bounds() (lo, hi geom.Vec) {
	lo, hi = p.Corners[0], p.Corners[0]
	for _, c := range p.Corners[1:] {
		lo = geom.Vec{X: min(lo.X, c.X), Y: min(lo.Y, c.Y)}
		hi = geom.Vec{X: max(hi.X, c.X), Y: max(hi.Y, c.Y)}
	}
	return lo, hi
}
