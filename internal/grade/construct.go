package grade

import "math"

// What makes a stroke that is no edge a construction line rather than a stray
// one.
const (
	constructLength = 12 // mm on a sheet 297 mm long
	constructFit    = 6  // squared standard deviations off an edge's line
)

// constructs reports whether t lies along some edge's line, on the edge or
// beyond it, or along the horizon.
func (m *matching) constructs(t *trace) bool {
	if t.Length < constructLength*m.plan.unit {
		return false
	}
	for i := range m.at {
		s := &m.at[i]
		off := s.dir.Cross(t.Mid.Sub(s.mid)) / (sdOffset * m.plan.unit)
		a := math.Atan2(math.Abs(s.dir.Cross(t.Dir)), math.Abs(s.dir.Dot(t.Dir))) / (float64(sdAngle) * m.law(t.Length))
		if off*off+a*a < constructFit {
			return true
		}
	}
	return false
}
