package grade

import (
	"math"

	"boxwright/internal/geom"
)

// sightline is a ray that counts by its direction alone, as the telling apart
// of sets tries thousands of: what every fit needs of it is worked out once.
type sightline struct {
	at, dir geom.Vec
	w       float64 // 1/variance of the direction, 1/rad²
	c2, s2  float64 // cosine and sine of twice its bearing, times w
}

func makeSightline(at, dir geom.Vec, sd float64) sightline {
	w := 1 / (sd * sd)
	return sightline{at: at, dir: dir, w: w, c2: w * (dir.X*dir.X - dir.Y*dir.Y), s2: w * 2 * dir.X * dir.Y}
}

// heading is a pencil without its bearing as an angle: the direction u from m to
// the point and the inverse of its distance. Turned by rational rotations and
// read by a short arc tangent, a step of it costs a fourth of a pencil's.
type heading struct {
	m, u  geom.Vec
	kappa float64
}

// turned returns the heading with its bearing moved by some radians, to third
// order, and its convergence by dk.
func (a *heading) turned(db, dk float64) heading {
	t := db / 2
	n := 1 / (1 + float64(t*t))
	c, s := (1-float64(t*t))*n, 2*t*n
	return heading{a.m, geom.Vec{X: float64(c*a.u.X) - float64(s*a.u.Y), Y: float64(s*a.u.X) + float64(c*a.u.Y)}, a.kappa + dk}
}

// arc is the arc tangent of s/c for c >= 0, within 2e-8 (Hastings 1955, from
// memory).
func arc(s, c float64) float64 {
	if c < math.Abs(s) {
		return math.Copysign(math.Pi/2, s) - arc0(c/s)
	}
	if c == 0 {
		return 0
	}
	return arc0(s / c)
}

func arc0(x float64) float64 {
	y := x * x
	return x * (1 + y*(-0.3333314528+y*(0.1999355085+y*(-0.1420889944+y*(0.1065626393+y*(-0.0752896400+y*(0.0429096138+y*(-0.0161657367+y*0.0028662257))))))))
}

// miss is the squared residual of a line in units of its variance.
func (a *heading) miss(r *sightline) float64 {
	qx, qy := a.m.X-r.at.X, a.m.Y-r.at.Y
	tx, ty := a.u.X+a.kappa*qx, a.u.Y+a.kappa*qy
	if tx*tx+ty*ty < 1e-12 { // the line's middle is the point itself
		return 0
	}
	c, s := tx*r.dir.X+ty*r.dir.Y, float64(tx*r.dir.Y)-float64(ty*r.dir.X)
	e := arc(s, math.Abs(c))
	return r.w * e * e
}

// capped is the largest that one line's squared residual may count.
const capped = capResidual * capResidual

// normal are the normal equations of a heading's bearing and convergence at some
// lines, with the sum of the squared residuals, plain and capped.
type normal struct{ bb, bk, kk, gb, gk, chi2, robust float64 }

func (a *heading) normal(rs []sightline) (n normal) {
	for i := range rs {
		r := &rs[i]
		qx, qy := a.m.X-r.at.X, a.m.Y-r.at.Y
		tx, ty := a.u.X+a.kappa*qx, a.u.Y+a.kappa*qy
		t2 := tx*tx + ty*ty
		if t2 < 1e-12 {
			continue
		}
		c, s := tx*r.dir.X+ty*r.dir.Y, float64(tx*r.dir.Y)-float64(ty*r.dir.X)
		if c < 0 {
			c, s = -c, -s
		}
		e, inv := arc(s, c), 1/t2
		jb, jk := (tx*a.u.X+ty*a.u.Y)*inv, (float64(tx*qy)-float64(ty*qx))*inv
		wb, wk := r.w*jb, r.w*jk
		n.bb += wb * jb
		n.bk += wb * jk
		n.kk += wk * jk
		n.gb += wb * e
		n.gk += wk * e
		e *= r.w * e
		n.chi2 += e
		n.robust += min(e, capped)
	}
	return n
}

// step solves the equations; ok is false when they do not determine a step.
func (n *normal) step(hold float64) (db, dk float64, ok bool) {
	kk := n.kk + hold
	det := float64(n.bb*kk) - float64(n.bk*n.bk)
	if !(det > 0) {
		return 0, 0, false
	}
	return (n.gb*kk - n.gk*n.bk) / det, (n.gk*n.bb - n.gb*n.bk) / det, true
}

// converge is the price of meeting nearer than a box of that size is drawn.
func converge(kappa, diam float64) float64 {
	x := max(0, math.Abs(kappa)*diam-maxConverge) / 0.3
	return min(x*x, priceNear)
}

// quickMeet fits a pencil to lines by at most five Gauss-Newton steps from
// their mean direction, and returns what taking the lines for it costs.
func quickMeet(rs []sightline, diam float64) (a heading, cost float64) {
	var c2, s2 float64
	for i := range rs {
		a.m = a.m.Add(rs[i].at)
		c2 += rs[i].c2
		s2 += rs[i].s2
	}
	a.m = a.m.Scale(1 / float64(len(rs)))
	a.u = halfway(c2, s2)
	// A weak hold on the convergence keeps two lines from running away.
	far := max(diam, 1)
	sd, hold := 1/far, 1e-6*far*far
	chi2 := math.Inf(1)
	n := a.normal(rs)
	for range 5 {
		db, dk, ok := n.step(hold)
		if !ok || n.chi2 > chi2-1e-3 {
			break
		}
		chi2 = n.chi2
		a = a.turned(db, max(-sd, min(sd, dk)))
		n = a.normal(rs)
	}
	return a, n.robust + converge(a.kappa, diam)
}

// halfway returns the unit vector at half the bearing of (c, s), within a
// right angle of the X axis.
func halfway(c, s float64) geom.Vec {
	h := math.Sqrt(c*c + s*s)
	u := geom.Vec{X: h + c, Y: s}
	if c < 0 {
		u = geom.Vec{X: math.Abs(s), Y: math.Copysign(h-c, s)}
	}
	l := u.X*u.X + u.Y*u.Y
	if !(l > 0) {
		return geom.Vec{X: 1}
	}
	return u.Scale(1 / math.Sqrt(l))
}

// nearMeet fits a pencil from the point nearest to all lines, for sets that
// meet close by, and returns what taking the lines for it costs. ok is false
// when they hardly cross.
func nearMeet(rs []sightline, diam float64) (cost float64, ok bool) {
	var a heading
	for i := range rs {
		a.m = a.m.Add(rs[i].at)
	}
	a.m = a.m.Scale(1 / float64(len(rs)))
	var xx, xy, yy, bx, by float64
	for i := range rs {
		x, y := -rs[i].dir.Y, rs[i].dir.X
		c := x*(rs[i].at.X-a.m.X) + y*(rs[i].at.Y-a.m.Y)
		xx += x * x
		xy += x * y
		yy += y * y
		bx += x * c
		by += y * c
	}
	det := float64(xx*yy) - float64(xy*xy)
	if !(det > 1e-3) {
		return 0, false
	}
	to := geom.Vec{X: (bx*yy - by*xy) / det, Y: (by*xx - bx*xy) / det}
	l := math.Sqrt(to.X*to.X + to.Y*to.Y)
	a.u, a.kappa = geom.Vec{X: 1}, 1
	if l > 0 {
		a.u, a.kappa = to.Scale(1/l), 1/max(l, 1)
	}
	n := a.normal(rs)
	for range 3 {
		db, dk, ok := n.step(0)
		if !ok {
			break
		}
		b := a.turned(db, dk)
		next := b.normal(rs)
		if !(next.chi2 < n.chi2) {
			break
		}
		a, n = b, next
	}
	return n.robust + converge(a.kappa, diam), true
}
