// Package grade measures an attempt against its exercise: which stroke is
// which edge, how far each drawn line runs from its true vanishing point,
// where each set really meets, a score, and the findings that the numbers
// prove. It does no I/O and keeps no state.
package grade

import (
	"time"

	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// Attempt is one handed-in drawing of a sheet.
type Attempt struct {
	ID       string // a UUID made by the client
	Exercise string
	Started  time.Time // zero: not told
	Input    ink.Input
	Strokes  []ink.Stroke
	Marks    []Mark
}

// Mark answers a question that is not a line: a point, the horizon, an edge.
// Exactly one of At, Line and Edge is set.
type Mark struct {
	For  string
	At   *geom.Point
	Line *geom.Line
	Edge string
}

// Hand is what is known of the learner's own drawing noise from earlier
// attempts with the same pointer: the standard deviation of direction at
// 80 mm and its degrees of freedom. The zero Hand knows nothing.
type Hand struct {
	SD  geom.Angle
	DOF float64
}

// Grade is the mark of one attempt. Optional numbers are nil when they do not
// apply or are not determined.
type Grade struct {
	Attempt, Exercise string
	Score             int         // 0 to 100
	RMS               *geom.Angle // over graded edges; nil: none was drawn
	Hand              *geom.Angle // the learner's scatter at 80 mm before this attempt
	Lines             []Line
	Sets              []SetGrade
	CornerGap         *float64 // rms, mm
	Proportions       *[3]float64
	HorizonError      *geom.Angle
	// Of free drawings: standard errors of the proportions and the horizon's
	// tilt, and the arrangement that the drawing implies.
	ProportionsSE  *[3]float64
	HorizonErrorSE *geom.Angle
	Camera         *Camera
	// Answers to what is found rather than drawn: points and the horizon.
	Answers []Answer
	Signals *Signals    // which edges were told from the rest; nil: not asked
	Strays  []StrayEdge // the edges that are bent or were taken for it
	Depths  []Depth     // depths judged, in true depth
	// RightAngle is how far the angle between a box's two level points, seen
	// from the station point, is from a right one.
	RightAngle *geom.Angle
	Missing    []string // asked edges, targets, points or the horizon without an answer
	Unmatched  []int    // strokes that are no edge and no construction line
	Findings   []Finding
	// Scatter is what this attempt adds to the learner's hand history: zero
	// when it was not drawn free-hand.
	Scatter Scatter
}

// Line is one drawn line: a stroke, or several merged into one.
type Line struct {
	Strokes  []int
	Edge     string          // the edge or target it was matched to
	Set      perspective.Set // meaningful when HasSet
	HasSet   bool            // false for a target
	Box      int
	Role     ink.Role
	From, To geom.Vec // the fitted line's ends on the sheet
	Length   float64  // mm
	Error    geom.Angle
	ErrorSE  geom.Angle
	Miss     *float64 // mm, absolute; nil for a point at infinity
	StartGap float64  // mm along the line, + past / - short of the corner
	EndGap   float64
	Bow      float64 // sagitta, mm, signed
	Wobble   float64 // rms, mm
	Score    float64 // line score, 0 to 100
	Excess   float64 // |error| / g(L) in degrees: e* of the length law
	Outside  bool    // outside the band 2 sqrt(device² + (s80 g)²)
}

// Answer is a point or the horizon as it was marked. Angles are those by which
// the edges of the point's set would turn if they ran to the mark.
type Answer struct {
	For         string // id of a point, or "horizon"
	Error       geom.Angle
	Turn, Early *geom.Angle // of a point: the pencil's two parts, as in SetGrade
	Height      *float64    // of the horizon: mm below (+) or above (-) the true one
	Tilt        *geom.Angle // of the horizon, clockwise positive
	Score       float64     // 0 to 100
	Outside     bool        // outside the band
}

// Signals counts the edges of a stray sheet as signal detection does.
type Signals struct{ Hits, Misses, FalseAlarms, Rejections int }

// StrayEdge is an edge that is bent, or was taken for bent, or both.
type StrayEdge struct {
	Edge   string
	By     geom.Angle // 0: it is true
	Tapped bool
}

// Depth is one judged depth. Lengths are true ones, in units of the depth that
// is given, so that millimetres near and far count alike.
type Depth struct {
	For         string // a target, or the set that was judged
	Want, Drawn float64
	LnRatio     float64 // ln(Drawn / Want): + too deep, - too shallow
	Score       float64 // 0 to 100
	Outside     bool    // outside the band
}

// SetGrade is what one set of one box amounts to.
type SetGrade struct {
	Box     int
	Set     perspective.Set
	Lines   int
	RMS     geom.Angle
	Bias    geom.Angle // rms of the part that the whole pencil shares
	Scatter geom.Angle // rms of the rest
	// Turn is the whole pencil turned (+ clockwise), Early how much too early
	// (+) or too late (-) it meets, as rms angle over the set; nil when the
	// set has too few lines.
	Turn, TurnSE   *geom.Angle
	Early, EarlySE *geom.Angle
	Fitted         *geom.Point // maximum-likelihood meeting point, canonical
	FittedCov      *[3]float64 // sxx, sxy, syy in mm²; nil: not determined
	Pool           *SetPool    // for findings over several drawings; nil: adds nothing
}

// Scatter is a sum of squared, length-scaled deviations (in square degrees
// at 80 mm) with its degrees of freedom.
type Scatter struct {
	SumSq float64
	DOF   float64
}

// Finding is one sentence of the redline that the numbers prove.
type Finding struct {
	Code   string
	Set    perspective.Set
	HasSet bool
	Box    int
	Text   string
	P      float64 // p value; 0 for plain facts such as a missing edge
}
