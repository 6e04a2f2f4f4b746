package grade

import (
	"math"

	"boxwright/internal/geom"
)

// cornersShared is how much the variance of a set's mean length exceeds that
// of independent edges: lines started from where earlier ones ended carry one
// corner's error into several edges. Simulated hands.
const cornersShared = 2

// testSizes asks of each set whether its lines come out too long or too short
// in true proportion, from the meeting points of corners, not from the ends
// of strokes: those would read every overshoot as depth.
func (w *work) testSizes() (ts []test) {
	type sized struct {
		bundle int
		sample
	}
	var sets []sized
	var ss, dof float64
	for k := range w.bundles {
		v := w.logRatios(&w.bundles[k])
		if len(v) < 2 {
			continue
		}
		s := sampleOf(v)
		sets = append(sets, sized{k, s})
		ss += s.se * s.se * s.n * (s.n - 1)
		dof += s.n - 1
	}
	if dof < 3 {
		return nil
	}
	for _, s := range sets {
		t := test{p: twoSided(s.mean/math.Sqrt(cornersShared*ss/dof/s.n), dof), set: s.bundle, line: -1,
			code: CodeLong, amount: math.Exp(s.mean)}
		t.big = math.Abs(t.amount-1) >= minSize
		if t.amount < 1 {
			t.code = CodeBrief
		}
		ts = append(ts, t)
	}
	return ts
}

// logRatios returns the logarithms of the drawn to the true length of a
// bundle's edges, both of whose corners are met.
func (w *work) logRatios(b *bundle) (v []float64) {
	for _, s := range b.lines {
		e := &w.plan.edges[w.of[s.line]]
		i, j := e.ends[0], e.ends[1]
		if !w.cornerMet[i] || !w.cornerMet[j] {
			continue
		}
		r, ok := edgeRatio(w.cornerAt[i], w.cornerAt[j], e)
		if ok && r > 0 {
			v = append(v, math.Log(r))
		}
	}
	return v
}

// edgeRatio compares the drawn corners a and b of e with its true ones: the
// start is the end farther from the point, moved onto the true start so that
// only the length is compared.
func edgeRatio(a, b geom.Vec, e *edge) (float64, bool) {
	ta, tb := e.a, e.b
	if e.to.Finite() && e.to.From(ta).Len() < e.to.From(tb).Len() {
		a, b, ta, tb = b, a, tb, ta
	}
	return DepthRatio(ta, ta.Add(b.Sub(a)), tb, e.to)
}
