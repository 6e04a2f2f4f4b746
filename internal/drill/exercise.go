// Package drill says what can be practised: a kind, a view, a level and a
// seed make an Exercise, always the same one.
package drill

import (
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// Generator is the version of the generator. The same version, kind, view,
// level and seed give the same exercise on every machine, for ever; any
// change to what is generated raises it.
const Generator = 1

// Kind is a kind of exercise.
type Kind string

// The kinds that can be practised.
const (
	Join   Kind = "join"   // straight lines between dots: measures the hand
	Finish Kind = "finish" // some edges given, draw the rest of the box
	Free   Kind = "free"   // any box in a view, judged against itself; New does not make it
)

// View is the number of vanishing points in play, in words.
type View string

// The views; None is for drills without perspective.
const (
	None  View = "none"
	One   View = "one"
	Two   View = "two"
	Three View = "three"
)

// MinLevel and MaxLevel bound the difficulty levels.
const (
	MinLevel = 1
	MaxLevel = 10
)

// Exercise is one sheet with all its answers. Lengths are millimetres on the
// sheet, angles follow package geom. It is plain data: an Exercise decoded
// from a document made elsewhere may have no Viewing and lists its corners in
// any order, so readers go by Edges, never by corner numbers.
type Exercise struct {
	ID        string
	Generator int // 0: made elsewhere
	Kind      Kind
	View      View
	Level     int
	Seed      uint64
	Sheet     Size
	Viewing   *Viewing // nil: not told
	Horizon   *Horizon // nil: the drill has none
	Points    []Point
	Corners   []geom.Vec
	Edges     []Edge
	Marks     []int // corners given as dots, besides those of given edges
	Boxes     []Box
	Targets   []Target // join: pairs of dots, else none
	Asked     Asked
}

// Size is a sheet's size.
type Size struct{ Width, Height float64 }

// Viewing is the arrangement that the sheet was projected with.
type Viewing struct {
	Principal  geom.Vec
	Distance   float64
	Yaw, Pitch geom.Angle // world sense: see package perspective
}

// Horizon is the eye level on the sheet.
type Horizon struct {
	Line  geom.Line
	Shown bool // drawn for the learner
}

// Point is the true vanishing point of one set of one box, at infinity too.
type Point struct {
	ID    string
	Set   perspective.Set
	Box   int
	At    geom.Point // canonical
	Shown bool       // drawn for the learner
}

// Edge is one edge of a box between two of the exercise's corners.
type Edge struct {
	ID      string
	Box     int
	Set     perspective.Set
	Corners [2]int
	Given   bool // drawn for the learner
	Hidden  bool // behind the box
}

// Box is one box of the exercise.
type Box struct {
	Corners     [8]int // in the order of perspective.Edges
	Proportions [3]float64
	Cube        bool
}

// Target is a pair of dots to be joined by a straight line.
type Target struct {
	ID   string
	A, B geom.Vec
}

// Asked says what the learner is to draw or find: ids of edges, targets and
// points.
type Asked struct {
	Edges   []string
	Targets []string
	Points  []string
	Horizon bool
}

// Segment returns the true picture of e.
func (x *Exercise) Segment(e Edge) geom.Segment {
	return geom.Segment{A: x.Corners[e.Corners[0]], B: x.Corners[e.Corners[1]]}
}

// Point returns the vanishing point of set k of box b; ok is false when the
// exercise lists none.
func (x *Exercise) Point(b int, k perspective.Set) (p Point, ok bool) {
	for _, p := range x.Points {
		if p.Box == b && p.Set == k {
			return p, true
		}
	}
	return Point{}, false
}

// CornersGiven reports for every corner whether the learner sees it: as the
// end of a given edge or as a mark.
func (x *Exercise) CornersGiven() []bool {
	g := make([]bool, len(x.Corners))
	for _, e := range x.Edges {
		if e.Given {
			g[e.Corners[0]], g[e.Corners[1]] = true, true
		}
	}
	for _, i := range x.Marks {
		g[i] = true
	}
	return g
}
