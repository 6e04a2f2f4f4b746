package grade

import (
	"math"

	"boxwright/internal/geom"
)

// view is the arrangement that a picture implies: the principal point in mm
// on the sheet and the logarithm of the viewing distance in mm.
type view struct{ x, y, logF float64 }

func (v *view) part(i int) *float64 {
	switch i {
	case 0:
		return &v.x
	case 1:
		return &v.y
	}
	return &v.logF
}

// outlook is what is taken for likely of a view before anything is drawn:
// means with standard deviations.
type outlook struct{ mean, sd view }

// usualOutlook expects the eye before the sheet's middle, at one and a half
// times its width.
func usualOutlook(width, height float64) outlook {
	return outlook{
		view{width / 2, height / 2, math.Log(1.5 * width)},
		view{width / 4, width / 4, math.Ln2},
	}
}

// squares are the vanishing points of three directions at right angles to
// each other, with the standard deviation in rad of the right angle between
// each two: of 0 and 1, 0 and 2, 1 and 2.
type squares struct {
	at [3]geom.Point
	sd [3]float64
}

var pairs = [3][2]int{{0, 1}, {0, 2}, {1, 2}}

// toward returns the unit direction from the eye to a point of the picture.
func (v *view) toward(p geom.Point) geom.Vec3 { return v.sight(p, math.Exp(v.logF)).d }

// sight is the unit direction from the eye to a vanishing point, with the
// inverse of the length and the weight that it had before.
type sight struct {
	d    geom.Vec3
	l, w float64
}

// sight looks at p from the viewing distance f, which is that of v.
func (v *view) sight(p geom.Point, f float64) sight {
	// Any scale of p is the same point; one near 1 keeps the numbers tame.
	k := 1 / (max(math.Abs(p.X), math.Abs(p.Y)) + math.Abs(p.W)*f)
	p = geom.Point{X: p.X * k, Y: p.Y * k, W: p.W * k}
	t := p.From(geom.Vec{X: v.x, Y: v.y})
	d := geom.Vec3{X: t.X / f, Y: t.Y / f, Z: p.W}
	l := 1 / math.Sqrt(d.Dot(d))
	return sight{d.Scale(l), l, p.W}
}

// slopes returns the slopes of the direction by the parts of the view.
func (s *sight) slopes(f float64) (j [3]geom.Vec3) {
	x := -s.w / f * s.l
	j[0] = s.across(geom.Vec3{X: x})
	j[1] = s.across(geom.Vec3{Y: x})
	j[2] = s.across(geom.Vec3{X: -s.d.X, Y: -s.d.Y})
	return j
}

// across is the part of g square to the direction.
func (s *sight) across(g geom.Vec3) geom.Vec3 { return g.Sub(s.d.Scale(s.d.Dot(g))) }

// normal sums the normal equations of the three right angles and the outlook
// at v.
func (q *squares) normal(v view, o *outlook) (a [3][3]float64, b [3]float64, chi2 float64) {
	f := math.Exp(v.logF)
	var s [3]sight
	var slope [3][3]geom.Vec3
	for i := range s {
		s[i] = v.sight(q.at[i], f)
		slope[i] = s[i].slopes(f)
	}
	for k, ij := range pairs {
		p, r := &s[ij[0]], &s[ij[1]]
		c := min(1-1e-9, max(-1+1e-9, p.d.Dot(r.d)))
		e, w := math.Asin(c), 1/(q.sd[k]*q.sd[k])
		root := 1 / math.Sqrt(1-c*c)
		var j [3]float64
		for i := range j {
			j[i] = (slope[ij[0]][i].Dot(r.d) + p.d.Dot(slope[ij[1]][i])) * root
		}
		chi2 += w * e * e
		for m := range j {
			b[m] -= w * j[m] * e
			for n := range j {
				a[m][n] += w * j[m] * j[n]
			}
		}
	}
	for i := range b {
		e, sd := *v.part(i)-*o.mean.part(i), *o.sd.part(i)
		a[i][i] += 1 / (sd * sd)
		b[i] -= e / (sd * sd)
		chi2 += e * e / (sd * sd)
	}
	return a, b, chi2
}

// see finds the view that makes the angles between the three points' sight
// lines right angles as nearly as the outlook lets it: least squares by
// damped Gauss-Newton steps from three viewing distances.
func (q *squares) see(o *outlook) (best view) {
	least := math.Inf(1)
	for _, start := range [3]float64{0, -math.Ln2, math.Ln2} {
		v := o.mean
		v.logF += start
		if v, chi2 := q.refine(v, o); chi2 < least {
			best, least = v, chi2
		}
	}
	return best
}

// refine walks from v to the nearest optimum. What the steps leave out, the
// curvature of the right angles, makes each overshoot or fall short by about
// the same share of the one before; so that share is taken off in advance
// (Aitken's rule, in the form of Irons and Tuck 1969, from memory), and a
// walk ends after some eight steps in place of twenty.
func (q *squares) refine(v view, o *outlook) (view, float64) {
	a, b, chi2 := q.normal(v, o)
	lambda := 1e-3
	share := 1.0
	var before view // the step before, and 0 at first
	for range 60 {
		m := a
		for i := range m {
			m[i][i] *= 1 + lambda
		}
		x := solve3(m, b)
		step := view{x[0], x[1], min(1, max(-1, x[2]))}
		share = relax(share, before, step, o)
		next := view{v.x + share*step.x, v.y + share*step.y, v.logF + share*step.logF}
		na, nb, c := q.normal(next, o)
		if !(c <= chi2) {
			if c-chi2 <= 1e-14*chi2 {
				break
			}
			before, share = view{}, 1
			if lambda *= 10; lambda > 1e9 {
				break
			}
			continue
		}
		done := chi2-c <= 1e-14*chi2
		before = step
		v, a, b, chi2 = next, na, nb, c
		if lambda = max(lambda/10, 1e-12); done {
			break
		}
	}
	return v, chi2
}

// relax returns the share of a step to take after the one before, of which
// the given share was taken.
func relax(share float64, before, step view, o *outlook) float64 {
	if before == (view{}) {
		return 1
	}
	dot := func(a, b view) float64 {
		return a.x*b.x/(o.sd.x*o.sd.x) + a.y*b.y/(o.sd.y*o.sd.y) + a.logF*b.logF/(o.sd.logF*o.sd.logF)
	}
	d := view{step.x - before.x, step.y - before.y, step.logF - before.logF}
	share *= -dot(before, d) / dot(d, d)
	if !(share > 0.3 && share < 3) {
		return 1
	}
	return share
}

// solve3 solves a positive definite system.
func solve3(a [3][3]float64, b [3]float64) (x [3]float64) {
	c := adjugate(a)
	det := a[0][0]*c[0][0] + a[0][1]*c[1][0] + a[0][2]*c[2][0]
	for i := range x {
		x[i] = (c[i][0]*b[0] + c[i][1]*b[1] + c[i][2]*b[2]) / det
	}
	return x
}
