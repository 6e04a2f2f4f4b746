package perspective

import (
	"math"

	"boxwright/internal/geom"
)

// Measures is what decides whether a drawn box makes a sound exercise:
// lengths in millimetres on the sheet, drawn angles. A measure over nothing
// (no visible face, no finite point) is +Inf.
type Measures struct {
	Cone       geom.Angle // half angle that just holds all corners
	Margin     float64    // nearest corner to the sheet's edge, negative off it
	Hull       float64    // greater side of the upright rectangle round the box
	Edge       float64    // shortest visible edge
	Vertex     geom.Angle // two visible edges at a corner: how far from one line
	AnyVertex  geom.Angle // the same, hidden edges counted
	Face       float64    // thinnest visible face: corner to the line of a foreign side
	Corner     float64    // visible corner to a foreign visible edge
	AnyCorner  float64    // any corner to any foreign edge
	Near       geom.Angle // smallest drawn angle at the corner of three visible faces
	Faces      int        // visible faces
	Points     int        // finite vanishing points
	Spread     [3]geom.Angle
	ToPoint    [3]float64    // nearest corner to the set's point; +Inf at infinity
	PlaneAngle [3]geom.Angle // the set's direction to the picture plane
}

// Outline takes the cheap half of the measures of p, drawn from s on a sheet
// of the given size: Cone, Margin, Hull, Edge, Faces and Points. Those of the
// other half are +Inf, so that Faults finds no fault with them.
func (s Station) Outline(p *Picture, width, height float64) Measures {
	inf := math.Inf(1)
	m := Measures{
		Cone: s.ConeAngle(p.Corners[:]), Edge: inf, Points: p.FinitePoints(),
		Vertex: geom.Angle(inf), AnyVertex: geom.Angle(inf), Near: geom.Angle(inf),
		Face: inf, Corner: inf, AnyCorner: inf,
	}
	m.Margin, m.Hull = frame(p, width, height)
	for _, v := range p.Visible {
		if v {
			m.Faces++
		}
	}
	for i, h := range p.Hidden {
		if !h {
			m.Edge = min(m.Edge, p.Segment(i).Len())
		}
	}
	return m
}

// Measure takes all measures of p, drawn from s on a sheet of the given size.
// Spread is the largest drawn angle between two visible edges of a set.
func (s Station) Measure(p *Picture, width, height float64) Measures {
	m := s.Outline(p, width, height)
	var dir [12]geom.Vec
	for i := range dir {
		g := p.Segment(i)
		dir[i] = g.B.Sub(g.A)
	}
	m.Vertex, m.AnyVertex = vertexAngles(p, &dir)
	m.Face = faceThickness(p)
	m.Corner, m.AnyCorner = cornerGaps(p)
	if i, ok := p.NearCorner(); ok {
		m.Near = nearAngle(i, &dir)
	}
	for _, k := range Sets {
		m.Spread[k] = spread(p, k, &dir)
		m.ToPoint[k], m.PlaneAngle[k] = s.toPoint(p, k)
	}
	return m
}

// frame returns how far the box stays inside the sheet and its extent.
func frame(p *Picture, width, height float64) (margin, hull float64) {
	lo, hi := p.Bounds()
	return min(lo.X, lo.Y, width-hi.X, height-hi.Y), max(hi.X-lo.X, hi.Y-lo.Y)
}

// between returns the angle between two directions, in [0°, 180°].
func between(u, v geom.Vec) geom.Angle {
	return geom.Angle(math.Atan2(math.Abs(u.Cross(v)), u.Dot(v)))
}

// lineAngle returns the angle between two undirected lines, in [0°, 90°].
func lineAngle(u, v geom.Vec) geom.Angle {
	return geom.Angle(math.Atan2(math.Abs(u.Cross(v)), math.Abs(u.Dot(v))))
}

// vertexAngles returns how far any two edges at a corner are from lying in
// one line, over visible edges and over all.
func vertexAngles(p *Picture, dir *[12]geom.Vec) (visible, any geom.Angle) {
	visible, any = geom.Angle(math.Inf(1)), geom.Angle(math.Inf(1))
	for i := range at {
		for k := range 3 {
			e, f := at[i][k], at[i][(k+1)%3]
			a := lineAngle(dir[e], dir[f])
			any = min(any, a)
			if !p.Hidden[e] && !p.Hidden[f] {
				visible = min(visible, a)
			}
		}
	}
	return visible, any
}

// faceThickness returns the smallest distance from a corner of a visible face
// to the line of one of that face's other sides.
func faceThickness(p *Picture) float64 {
	thin := math.Inf(1)
	for i, f := range Faces {
		if !p.Visible[i] {
			continue
		}
		for j := range f {
			a := p.Corners[f[j]]
			d := p.Corners[f[(j+1)%4]].Sub(a)
			l := d.Len()
			for _, n := range [2]int{j + 2, j + 3} {
				thin = min(thin, math.Abs(d.Cross(p.Corners[f[n%4]].Sub(a)))/l)
			}
		}
	}
	return thin
}

// cornerGaps returns the smallest distance from a corner to an edge that does
// not end in it, over visible corners and edges and over all.
func cornerGaps(p *Picture) (visible, any float64) {
	visible, any = math.Inf(1), math.Inf(1)
	for i, c := range p.Corners {
		hidden := p.HiddenCorner(i)
		for e := range Edges {
			if Edges[e].Corners[0] == i || Edges[e].Corners[1] == i {
				continue
			}
			g := p.Segment(e).Dist(c)
			any = min(any, g)
			if !hidden && !p.Hidden[e] {
				visible = min(visible, g)
			}
		}
	}
	return visible, any
}

// nearAngle returns the smallest drawn angle between the three edges at
// corner i, in [0°, 180°].
func nearAngle(i int, dir *[12]geom.Vec) geom.Angle {
	var out [3]geom.Vec
	for k := range out {
		out[k] = dir[at[i][k]]
		if i>>k&1 == 1 {
			out[k] = out[k].Scale(-1)
		}
	}
	return min(between(out[0], out[1]), between(out[1], out[2]), between(out[2], out[0]))
}

// spread returns the largest angle between two visible edges of set k.
func spread(p *Picture, k Set, dir *[12]geom.Vec) geom.Angle {
	var most geom.Angle
	for i := 4 * int(k); i < 4*int(k)+4; i++ {
		for j := 4 * int(k); j < i; j++ {
			if !p.Hidden[i] && !p.Hidden[j] {
				most = max(most, lineAngle(dir[i], dir[j]))
			}
		}
	}
	return most
}

// toPoint returns the distance from the set's vanishing point to the nearest
// corner and the angle between the set's direction and the picture plane.
func (s Station) toPoint(p *Picture, k Set) (near float64, plane geom.Angle) {
	near = math.Inf(1)
	v, ok := p.Points[k].Vec()
	if !ok {
		return near, 0
	}
	for _, c := range p.Corners {
		near = min(near, c.Sub(v).Len())
	}
	return near, geom.Angle(math.Atan2(s.Distance, v.Sub(s.Principal).Len()))
}
