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
	Aim    Kind = "aim"    // from dots toward a vanishing point
	Finish Kind = "finish" // some edges given, draw the rest of the box
	Cube   Kind = "cube"   // judge the depth that makes a true cube
	Meet   Kind = "meet"   // find the vanishing points and the horizon of a box
	Stray  Kind = "stray"  // find the edges that break the rule
	Halve  Kind = "halve"  // halve a face and repeat its depth
	Turn   Kind = "turn"   // a second box, turned, on the same horizon
	Free   Kind = "free"   // any box in a view, judged against itself
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
	Targets   []Target    // lines asked for that are no edges
	Lines     []GivenLine // lines drawn for the learner that are no edges
	Bent      []Bent      // edges that break the rule; withheld
	Told      *Told       // what is told besides; nil: nothing
	Asked     Asked
	// Difficulty is the difficulty that was asked for, see Difficulty; nil:
	// a level was.
	Difficulty *float64
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
	// Drawn is where a given edge is printed when that is not from corner to
	// corner. Such an edge does not show its corners.
	Drawn *geom.Segment
}

// Box is one box of the exercise.
type Box struct {
	Corners     [8]int // in the order of perspective.Edges
	Proportions [3]float64
	Cube        bool
}

// Target is a straight line that is asked for and is no edge of a box: from
// dot to dot, from a dot toward a vanishing point, or across a face at a
// depth.
type Target struct {
	ID     string
	A, B   geom.Vec // its true ends
	Hidden [2]bool  // A, B: not drawn for the learner
	// With HasSet the line belongs to the set Set of box Box and runs to its
	// vanishing point; else only its ends say where it runs.
	HasSet bool
	Set    perspective.Set
	Box    int
	// Depth is the true depth at which the line lies, in units of the depth
	// that is given; 0: it lies at none.
	Depth float64
}

// GivenLine is a line drawn for the learner that is no edge of a box.
type GivenLine struct {
	ID   string
	Role LineRole
	geom.Segment
}

// LineRole says what a given line is for.
type LineRole string

// The roles of given lines.
const (
	StopLine  LineRole = "stop"  // where a line that is asked for ends
	RailLine  LineRole = "rail"  // along it depth is divided
	PostLine  LineRole = "post"  // stands at a given depth
	GuideLine LineRole = "guide" // runs to a vanishing point
)

// Bent is an edge that is drawn turned out of its true direction.
type Bent struct {
	Edge string
	By   geom.Angle // positive clockwise on the sheet, about the edge's middle
}

// Told is what a learner is told of the arrangement besides what is drawn.
type Told struct {
	Turn     *geom.Angle // of box 1 against box 0 about the upright, world sense
	Cube     bool        // all edges of the box have one length
	Distance *float64    // viewing distance, mm
	Cone     *geom.Angle // full angle of the circle drawn round the principal point
	Points   []ToldPoint // places drawn on the sheet
	// What a free drawing is to show; "" leaves it to the learner.
	Stand Stand
	Form  Form
}

// ToldPoint is a place on the sheet that tells of the arrangement.
type ToldPoint struct {
	ID     string
	Role   PointRole
	HasSet bool // a measuring point is that of a set
	Set    perspective.Set
	At     geom.Vec
}

// PointRole says what a told point is.
type PointRole string

// The roles of told points.
const (
	PrincipalPoint PointRole = "principal" // foot of the line of sight
	MeasuringPoint PointRole = "measuring" // carries true lengths onto a set's line
	DistancePoint  PointRole = "distance"  // the measuring point of one-point views
)

// Stand says how a free box stands to the eye level.
type Stand string

// The stands.
const (
	Below  Stand = "below"
	Above  Stand = "above"
	Across Stand = "across"
)

// Form is the shape that a free box is to have.
type Form string

// The forms.
const (
	CubeForm  Form = "cube"
	SlabForm  Form = "slab"
	TowerForm Form = "tower"
	BlockForm Form = "block"
)

// Asked says what the learner is to draw or find: ids of edges, targets and
// points, the horizon, the edges that break the rule.
type Asked struct {
	Edges   []string
	Targets []string
	Points  []string
	Horizon bool
	Stray   bool
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

// Printed returns where e is drawn for the learner.
func (x *Exercise) Printed(e Edge) geom.Segment {
	if e.Drawn != nil {
		return *e.Drawn
	}
	return x.Segment(e)
}

// CornersGiven reports for every corner whether the learner sees it: as the
// end of a given edge or as a mark.
func (x *Exercise) CornersGiven() []bool {
	g := make([]bool, len(x.Corners))
	for _, e := range x.Edges {
		if e.Given && e.Drawn == nil {
			g[e.Corners[0]], g[e.Corners[1]] = true, true
		}
	}
	for _, i := range x.Marks {
		g[i] = true
	}
	return g
}
