package grade

import (
	"math"

	"boxwright/internal/geom"
)

// ray is one drawn line as the meeting point sees it: a place, a unit
// direction, the standard deviations of the direction (radians) and of the
// place across the line (mm).
type ray struct {
	at, dir geom.Vec
	sd, off float64
}

// pencil is a family of lines through one point, told by the bearing of the
// point from the middle m of the lines and by the inverse of its distance,
// which is 0 for parallels. (beta, kappa) and (beta+180°, -kappa) are the
// same pencil.
type pencil struct {
	m           geom.Vec
	beta, kappa float64
	u           geom.Vec // (cos beta, sin beta)

	chi2 float64
	// Inverse of the information about (beta, kappa), for the rays' own
	// standard deviations.
	cbb, cbk, ckk float64
}

func (p *pencil) set(beta, kappa float64) {
	p.beta, p.kappa = beta, kappa
	p.u = geom.Direction(geom.Angle(beta))
}

// point returns the pencil's point in canonical form; one whose inverse
// distance is below parallel lies at infinity.
func (p *pencil) point(parallel float64) geom.Point {
	if math.Abs(p.kappa) < parallel {
		return geom.Toward(p.u)
	}
	return geom.Point{X: p.u.X + float64(p.kappa*p.m.X), Y: p.u.Y + float64(p.kappa*p.m.Y), W: p.kappa}.Canonical()
}

// toward makes the pencil of v about m, with kappa >= 0. A point nearer to m
// than a millimetre counts as a millimetre away.
func toward(m geom.Vec, v geom.Point) pencil {
	p := pencil{m: m}
	t := v.From(m)
	if v.W < 0 {
		t = t.Scale(-1)
	}
	k := 0.0
	if v.W != 0 {
		k = 1 / max(t.Len()/math.Abs(v.W), 1)
	}
	p.set(float64(t.Angle()), k)
	return p
}

// turned moves beta to the side of the bearing near, and kappa with it.
func (p *pencil) turned(near float64) {
	if math.Cos(p.beta-near) < 0 {
		p.set(math.Remainder(p.beta+math.Pi, 2*math.Pi), -p.kappa)
		p.cbk = -p.cbk
	}
}

// slopes returns the residual angle of r from the pencil and the derivatives
// of the predicted direction by beta and kappa, with the weight 1/variance.
func (p *pencil) slopes(r ray) (res, jb, jk, w float64) {
	q := p.m.Sub(r.at)
	t := geom.Vec{X: p.u.X + float64(p.kappa*q.X), Y: p.u.Y + float64(p.kappa*q.Y)}
	t2 := t.Dot(t)
	if t2 < 1e-12 { // the ray's middle is the point itself: it says nothing
		return 0, 0, 0, 0
	}
	c, s := t.Dot(r.dir), t.Cross(r.dir)
	if c < 0 {
		c, s = -c, -s
	}
	o := r.off * p.kappa
	return math.Atan2(s, c), t.Dot(p.u) / t2, t.Cross(q) / t2, 1 / (float64(r.sd*r.sd) + float64(o*o)/t2)
}

// cost is twice the negative log likelihood, up to a constant.
func (p *pencil) cost(rays []ray) (chi2 float64) {
	for _, r := range rays {
		e, _, _, w := p.slopes(r)
		chi2 += w * e * e
	}
	return chi2
}

// information sums J'WJ and J'Wr.
func (p *pencil) information(rays []ray) (ibb, ibk, ikk, gb, gk, chi2 float64) {
	for _, r := range rays {
		e, jb, jk, w := p.slopes(r)
		ibb += w * jb * jb
		ibk += w * jb * jk
		ikk += w * jk * jk
		gb += w * jb * e
		gk += w * jk * e
		chi2 += w * e * e
	}
	return
}

// meet finds the maximum-likelihood pencil of at least two rays, starting
// from several first guesses and, where expected is not nil, from that point
// too; beta is then on its side, else kappa is not negative. ok is false when
// the rays do not determine a pencil, such as rays that lie on one line.
func meet(rays []ray, expected *geom.Point) (best pencil, ok bool) {
	if len(rays) < 2 {
		return best, false
	}
	var m geom.Vec
	for _, r := range rays {
		m = m.Add(r.at)
	}
	m = m.Scale(1 / float64(len(rays)))
	var s starts
	s.gather(rays, m, expected)
	for i := range s.best() {
		p := s.p[i]
		if i > 0 && best.nearby(&p, rays) {
			continue
		}
		p.refine(rays)
		if i == 0 || p.chi2 < best.chi2 {
			best = p
		}
	}
	ok = best.covariance(rays)
	if expected != nil {
		best.turned(toward(m, *expected).beta)
	} else if best.kappa < 0 {
		best.turned(best.beta + math.Pi)
	}
	return best, ok
}

// nearby reports whether q lies within three standard deviations of the
// optimum p, where starting again would only lead back to p.
func (p *pencil) nearby(q *pencil, rays []ray) bool {
	ibb, ibk, ikk, _, _, _ := p.information(rays)
	db, dk := math.Remainder(q.beta-p.beta, 2*math.Pi), q.kappa-p.kappa
	return ibb*db*db+2*ibk*db*dk+ikk*dk*dk < 9
}

// settled is the square of a step, in standard deviations, too small to see.
const settled = 1e-12

// refine runs Levenberg-Marquardt to the nearest optimum.
func (p *pencil) refine(rays []ray) {
	ibb, ibk, ikk, gb, gk, chi2 := p.information(rays)
	p.chi2 = chi2
	lambda := 1e-4
	for range 60 {
		abb, akk := ibb*(1+lambda), ikk*(1+lambda)
		det := float64(abb*akk) - float64(ibk*ibk)
		if !(det > 0) {
			return
		}
		db, dk := (float64(gb*akk)-float64(gk*ibk))/det, (float64(gk*abb)-float64(gb*ibk))/det
		q := pencil{m: p.m}
		q.set(p.beta+db, p.kappa+dk)
		nbb, nbk, nkk, nb, nk, next := q.information(rays)
		if !(next <= chi2) {
			// Right at the optimum steps only lose to what they leave out, the
			// weights' own slopes.
			if ibb*db*db+2*ibk*db*dk+ikk*dk*dk < settled {
				return
			}
			if lambda *= 10; lambda > 1e8 {
				return
			}
			continue
		}
		done := math.Abs(db) < 1e-10 && math.Abs(dk) < 1e-13
		done = done || chi2-next <= 1e-13*chi2
		*p = q
		ibb, ibk, ikk, gb, gk, chi2 = nbb, nbk, nkk, nb, nk, next
		p.chi2 = next
		lambda = max(lambda/10, 1e-9)
		if done {
			return
		}
	}
}

// leastSpread is how far apart sideways, in mm, rays must lie at least to
// tell where they meet.
const leastSpread = 0.1

// covariance inverts the information; ok is false when the rays hardly tell
// kappa, or beta, from nothing.
func (p *pencil) covariance(rays []ray) (ok bool) {
	ibb, ibk, ikk, _, _, _ := p.information(rays)
	det := float64(ibb*ikk) - float64(ibk*ibk)
	if !(det > 1e-12*ibb*ikk) || !(ikk > leastSpread*leastSpread*ibb) || math.IsInf(det, 0) {
		return false
	}
	p.cbb, p.cbk, p.ckk = ikk/det, -ibk/det, ibb/det
	return true
}
