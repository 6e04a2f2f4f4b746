package guide

import "boxwright/internal/geom"

func segmentOf(a, b geom.Vec) geom.Segment { return geom.Segment{A: a, B: b} }

func lineOf(s geom.Segment) geom.Line { return geom.Through(s.A, s.B) }

// crossing returns where the lines of two segments cross; ok is false for
// parallel ones.
func crossing(s, t geom.Segment) (v geom.Vec, ok bool) { return meet(lineOf(s), lineOf(t)) }

// meet returns where two lines cross on the sheet's plane.
func meet(l, m geom.Line) (v geom.Vec, ok bool) {
	v, ok = geom.Meet(l, m).Vec()
	return v, ok && v.Finite()
}
