package perspective

import (
	"strings"

	"boxwright/internal/geom"
)

// Limits bounds the measures of a sound exercise. A measure must not be below
// its limit, Cone not above.
type Limits struct {
	Cone       geom.Angle
	Margin     float64
	Hull       float64
	Edge       float64
	Vertex     geom.Angle
	Face       float64
	Corner     float64
	AnyCorner  float64
	Near       geom.Angle // two- and three-point only
	Spread     geom.Angle // of sets with a finite point
	ToPoint    float64
	PlaneAngle geom.Angle // of sets with a finite point
	Faces      [4]int     // by the number of finite points
}

// Sound holds the limits within which a drawn box makes a fair exercise. The
// cone is the trade's 60 degrees, where shapes stretch by 1/cos 30° = 1.155
// (Storey 1910, p. 18, gives 60 as the widest); the others are set so that a
// line that starts or ends one pixel off does not decide the mark: at 15 mm
// that turns it by one degree. A set spreads by at least 4 degrees or is
// parallel, for parallel must be tellable from converging. Below 95 degrees
// the near corner does not read as a right one.
var Sound = Limits{
	Cone: geom.Degrees(30), Margin: 10, Hull: 60, Edge: 15, Vertex: geom.Degrees(12),
	Face: 8, Corner: 5, AnyCorner: 2.5, Near: geom.Degrees(95), Spread: geom.Degrees(4),
	ToPoint: 20, PlaneAngle: geom.Degrees(12), Faces: [4]int{3, 2, 3, 3},
}

// Faults is the set of limits that a picture breaks.
type Faults uint16

// The faults, in the order of Measures.
const (
	FaultCone Faults = 1 << iota
	FaultMargin
	FaultHull
	FaultEdge
	FaultVertex
	FaultFace
	FaultCorner
	FaultAnyCorner
	FaultNear
	FaultFaces
	FaultSpread
	FaultToPoint
	FaultPlaneAngle
)

var faultNames = [...]string{
	"cone", "margin", "hull", "edge", "vertex angle", "face", "corner to edge",
	"corner to hidden edge", "near corner", "faces", "spread", "near point", "plane angle",
}

// String lists the faults' names.
func (f Faults) String() string {
	var s []string
	for i, n := range faultNames {
		if f>>i&1 == 1 {
			s = append(s, n)
		}
	}
	return strings.Join(s, ", ")
}

// Faults returns the limits of l that m breaks.
func (m *Measures) Faults(l *Limits) Faults {
	var f Faults
	mark := func(broken bool, w Faults) {
		if broken {
			f |= w
		}
	}
	mark(m.Cone > l.Cone, FaultCone)
	mark(m.Margin < l.Margin, FaultMargin)
	mark(m.Hull < l.Hull, FaultHull)
	mark(m.Edge < l.Edge, FaultEdge)
	mark(m.Vertex < l.Vertex, FaultVertex)
	mark(m.Face < l.Face, FaultFace)
	mark(m.Corner < l.Corner, FaultCorner)
	mark(m.AnyCorner < l.AnyCorner, FaultAnyCorner)
	mark(m.Points > 1 && m.Near < l.Near, FaultNear)
	mark(m.Faces < l.Faces[m.Points], FaultFaces)
	for _, k := range Sets {
		if m.PlaneAngle[k] > 0 {
			mark(m.Spread[k] < l.Spread, FaultSpread)
			mark(m.ToPoint[k] < l.ToPoint, FaultToPoint)
			mark(m.PlaneAngle[k] < l.PlaneAngle, FaultPlaneAngle)
		}
	}
	return f
}
