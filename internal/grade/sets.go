package grade

import (
	"math"

	"boxwright/internal/geom"
)

// gradeSets measures each set against its true point and finds where it
// meets.
func (w *work) gradeSets() {
	rays := make([]ray, 0, 4)
	for k := range w.bundles {
		b := &w.bundles[k]
		s := SetGrade{Box: b.box, Set: b.set, Lines: len(b.lines)}
		b.noise = measureNoise(w.bundles, w.hand, k)
		rays = rays[:0]
		var e2 float64
		for _, t := range b.lines {
			d := &w.drawn[t.line]
			e := float64(w.g.Lines[t.line].Error)
			e2 += e * e
			// never below what the device alone does, so that a ruler's lines
			// keep a finite certainty
			rays = append(rays, ray{at: d.mid, dir: d.dir, sd: max(b.noise.sd*t.g, float64(d.device)), off: d.offset})
		}
		s.RMS = geom.Angle(math.Sqrt(e2 / float64(len(b.lines))))
		bias, turn, early, scatter := b.shared()
		s.Bias, s.Scatter = geom.Angle(bias), geom.Angle(scatter)
		if b.ok {
			jt, je := b.lever()
			s.Turn = angle(math.Copysign(turn, b.db))
			s.TurnSE = angle(jt * b.noise.sd * math.Sqrt(b.cbb))
			s.Early = angle(math.Copysign(early, b.dk))
			s.EarlySE = angle(je * b.noise.sd * math.Sqrt(b.ckk))
		}
		if b.fitted, b.met = meet(rays, &b.v); b.met {
			s.Fitted, s.FittedCov = b.fitted.report()
		}
		s.Pool = b.pool()
		w.g.Sets = append(w.g.Sets, s)
	}
}

func angle(a float64) *geom.Angle { r := geom.Angle(a + 0); return &r }

// parallelMM is the distance in mm from which a fitted point counts as lying
// at infinity: beyond it the numbers would say nothing.
const parallelMM = 1e9

// report returns the pencil's point and, where it is finite for certain (the
// 95 % interval of its inverse distance leaves 0 out), its covariance.
func (p *pencil) report() (*geom.Point, *[3]float64) {
	v := p.point(1 / parallelMM)
	if v == (geom.Point{}) {
		return nil, nil
	}
	if v.W == 0 || math.Abs(p.kappa) <= 1.96*math.Sqrt(p.ckk) {
		return &v, nil
	}
	n, k := p.u.Perp(), p.kappa
	// d(x,y) = n/kappa dbeta - u/kappa² dkappa
	bx, by, kx, ky := n.X/k, n.Y/k, -p.u.X/(k*k), -p.u.Y/(k*k)
	cov := [3]float64{
		bx*bx*p.cbb + 2*bx*kx*p.cbk + kx*kx*p.ckk,
		bx*by*p.cbb + (bx*ky+by*kx)*p.cbk + kx*ky*p.ckk,
		by*by*p.cbb + 2*by*ky*p.cbk + ky*ky*p.ckk,
	}
	for _, c := range cov {
		if !finite(c) {
			return &v, nil
		}
	}
	return &v, &cov
}

// horizon measures a marked horizon against the true one.
func (w *work) horizon() {
	if w.x.Horizon == nil {
		return
	}
	for _, m := range w.a.Marks {
		if m.For != "horizon" || m.Line == nil {
			continue
		}
		a, b := geom.Vec{X: w.x.Horizon.Line.A, Y: w.x.Horizon.Line.B}, geom.Vec{X: m.Line.A, Y: m.Line.B}
		if e := geom.Angle(math.Atan2(a.Cross(b), a.Dot(b))).Fold(); finite(float64(e)) {
			w.g.HorizonError = &e
		}
	}
}
