package grade

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// shift is how far a set's point lies off the horizon, in mm, + on the side
// of the line's normal, with its standard error.
type shift struct {
	at     geom.Vec // the true point
	mm, se float64
}

// across returns how far the shared turn and early meeting of b move its
// point across the horizon h.
func across(b *bundle, h geom.Line, noise noise) (s shift, ok bool) {
	v, finite := b.v.Vec()
	if !finite || !b.ok || !(b.truth.kappa > 0) {
		return s, false
	}
	n, u, k := geom.Vec{X: h.A, Y: h.B}, b.truth.u, b.truth.kappa
	ab, ak := n.Dot(u.Perp())/k, -n.Dot(u)/(k*k)
	s.at = v
	s.mm = float64(ab*b.db) + float64(ak*b.dk)
	s.se = noise.sd * math.Sqrt(ab*ab*b.cbb+2*ab*ak*b.cbk+ak*ak*b.ckk)
	return s, s.se > 0
}

// testHorizon asks, box by box, whether the points of the two level sets lie
// on a tilted line: off the horizon on opposite sides.
func (w *work) testHorizon() (ts []test) {
	if w.x.Horizon == nil {
		return nil
	}
	h := w.x.Horizon.Line.Normalised()
	for i := range w.bundles {
		for j := range i {
			a, b := &w.bundles[j], &w.bundles[i]
			if a.box != b.box || a.set == perspective.Height || b.set == perspective.Height {
				continue
			}
			noise := measureNoise(w.bundles, w.hand, i, j)
			p, ok := across(a, h, noise)
			q, ok2 := across(b, h, noise)
			along := geom.Vec{X: -h.B, Y: h.A} // to the right for a level line
			if along.X < 0 {
				along = along.Scale(-1)
			}
			far := q.at.Sub(p.at).Dot(along)
			if !ok || !ok2 || far == 0 {
				continue
			}
			rise := (q.mm - p.mm) * sign(h.B) // + down the sheet
			tilt := math.Atan(rise / far)
			t := test{p: twoSided(rise/math.Hypot(p.se, q.se), noise.dof), meeting: true, set: -1, line: -1,
				code: CodeTilt, box: a.box, amount: tilt}
			const alone = 1.5 // both points must be off by themselves
			t.big = p.mm*q.mm < 0 && math.Abs(p.mm) > alone*p.se && math.Abs(q.mm) > alone*q.se && math.Abs(tilt) >= float64(minAngle)
			ts = append(ts, t)
		}
	}
	return ts
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}
