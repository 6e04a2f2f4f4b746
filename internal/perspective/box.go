package perspective

import (
	"math"

	"boxwright/internal/geom"
)

// Set names one of a box's three sets of parallel edges.
type Set uint8

// The three sets, in the order of the corner index.
const (
	Width Set = iota
	Depth
	Height
)

// String returns the word used on pages and in documents.
func (k Set) String() string { return [...]string{"width", "depth", "height"}[k] }

// Sets lists the sets in order.
var Sets = [3]Set{Width, Depth, Height}

// Box is a box standing on level ground. Its width and depth edges run along
// e1 = (cos yaw, sin yaw, 0) and e2 = (-sin yaw, cos yaw, 0), its height edges
// upright.
type Box struct {
	Base geom.Vec3  // middle of the bottom face, world units
	Yaw  geom.Angle // right-hand rule about Z
	Size [3]float64 // width, depth, height, > 0, world units
}

// BoxEdge is an edge of any box: its set and the corners it joins.
type BoxEdge struct {
	Set     Set
	Corners [2]int
	Faces   [2]int // indices into Faces: the two faces that meet in it
}

// Edges lists a box's twelve edges, set by set. Corner i is reached from the
// base corner by width if i&1, depth if i&2, height if i&4.
var Edges = [12]BoxEdge{
	{Width, [2]int{0, 1}, [2]int{2, 4}}, {Width, [2]int{2, 3}, [2]int{3, 4}},
	{Width, [2]int{4, 5}, [2]int{2, 5}}, {Width, [2]int{6, 7}, [2]int{3, 5}},
	{Depth, [2]int{0, 2}, [2]int{0, 4}}, {Depth, [2]int{1, 3}, [2]int{1, 4}},
	{Depth, [2]int{4, 6}, [2]int{0, 5}}, {Depth, [2]int{5, 7}, [2]int{1, 5}},
	{Height, [2]int{0, 4}, [2]int{0, 2}}, {Height, [2]int{1, 5}, [2]int{1, 2}},
	{Height, [2]int{2, 6}, [2]int{0, 3}}, {Height, [2]int{3, 7}, [2]int{1, 3}},
}

// Faces lists the corners of a box's six faces, each in order around it:
// -width, +width, -depth, +depth, bottom, top.
var Faces = [6][4]int{
	{0, 2, 6, 4}, {1, 3, 7, 5}, {0, 1, 5, 4}, {2, 3, 7, 6}, {0, 1, 3, 2}, {4, 5, 7, 6},
}

// EdgeOn is how far, in world units, the eye must be in front of a face's
// plane for the face to be seen.
const EdgeOn = 1e-9

// Direction returns the unit world direction of set k.
func (b Box) Direction(k Set) geom.Vec3 {
	s, c := math.Sincos(float64(b.Yaw))
	switch k {
	case Width:
		return geom.Vec3{X: c, Y: s}
	case Depth:
		return geom.Vec3{X: -s, Y: c}
	}
	return geom.Vec3{Z: 1}
}

// Corners returns the eight corners in index order.
func (b Box) Corners() [8]geom.Vec3 {
	e1, e2 := b.Direction(Width), b.Direction(Depth)
	var c [8]geom.Vec3
	for i := range c {
		c[i] = b.Base.
			Add(e1.Scale((float64(i&1) - .5) * b.Size[0])).
			Add(e2.Scale((float64(i>>1&1) - .5) * b.Size[1])).
			Add(geom.Vec3{Z: float64(float64(i>>2&1) * b.Size[2])})
	}
	return c
}

// Clearance returns, for each face, how far the eye is in front of its plane
// (negative: behind it), in world units.
func (b Box) Clearance(eye geom.Vec3) [6]float64 {
	q := eye.Sub(b.Base)
	a1, a2 := q.Dot(b.Direction(Width)), q.Dot(b.Direction(Depth))
	return [6]float64{
		-a1 - b.Size[0]/2, a1 - b.Size[0]/2,
		-a2 - b.Size[1]/2, a2 - b.Size[1]/2,
		-q.Z, q.Z - b.Size[2],
	}
}

// VisibleFaces reports which faces the eye sees: those whose plane it is
// strictly in front of. Seen edge-on, a face is not visible.
func (b Box) VisibleFaces(eye geom.Vec3) [6]bool {
	var v [6]bool
	for i, c := range b.Clearance(eye) {
		v[i] = c > EdgeOn
	}
	return v
}

// HiddenEdges reports which edges are hidden: those neither of whose faces is
// visible.
func HiddenEdges(visible [6]bool) [12]bool {
	var h [12]bool
	for i, e := range Edges {
		h[i] = !visible[e.Faces[0]] && !visible[e.Faces[1]]
	}
	return h
}
