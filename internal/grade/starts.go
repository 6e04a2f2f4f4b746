package grade

import (
	"math"

	"boxwright/internal/geom"
)

// starts are first guesses for a pencil.
type starts struct {
	p [2 + 2 + 15]pencil // regression, parallel, sphere, expected, up to 15 pairs
	n int
}

// bestStarts is how many guesses are refined.
const bestStarts = 4

func (s *starts) add(rays []ray, p pencil) {
	if math.IsNaN(p.beta) || math.IsNaN(p.kappa) || math.IsInf(p.kappa, 0) {
		return
	}
	p.chi2 = p.cost(rays)
	s.p[s.n] = p
	s.n++
}

// best moves the bestStarts cheapest guesses to the front and returns how
// many there are.
func (s *starts) best() int {
	k := min(s.n, bestStarts)
	for i := range k {
		for j := i + 1; j < s.n; j++ {
			if s.p[j].chi2 < s.p[i].chi2 {
				s.p[i], s.p[j] = s.p[j], s.p[i]
			}
		}
	}
	return k
}

// gather makes the guesses about the middle m: the mean direction with the
// convergence regressed on it, parallels, the least-squares point on the
// sphere, the expected point, and where few rays permit it every pair.
func (s *starts) gather(rays []ray, m geom.Vec, expected *geom.Point) {
	var c2, s2, w float64
	for _, r := range rays {
		k := 1 / (r.sd * r.sd)
		w += k
		c2 += k * (r.dir.X*r.dir.X - r.dir.Y*r.dir.Y)
		s2 += k * 2 * r.dir.X * r.dir.Y
	}
	beta := 0.5 * math.Atan2(s2, c2)
	u := geom.Direction(geom.Angle(beta))
	var num, den float64
	for _, r := range rays {
		c, t := u.Dot(r.dir), u.Cross(r.dir)
		off := u.Cross(m.Sub(r.at))
		if math.Abs(c) < 0.05 {
			continue
		}
		k := 1 / (r.sd * r.sd)
		num += k * off * t / c
		den += k * off * off
	}
	guess := pencil{m: m}
	guess.set(beta, 0)
	s.add(rays, guess)
	if den > 0 {
		guess.set(beta, num/den)
		s.add(rays, guess)
	}
	if v, ok := sphere(rays, m); ok {
		s.add(rays, about(m, v))
	}
	if expected != nil {
		s.add(rays, toward(m, *expected))
	}
	if len(rays) > 6 {
		return
	}
	for i, r := range rays {
		for _, q := range rays[:i] {
			d := r.dir.Cross(q.dir)
			t := q.at.Sub(r.at).Cross(q.dir)
			// r.at + r.dir t/d, seen from m, as a homogeneous triple
			x := r.at.Sub(m).Scale(d).Add(r.dir.Scale(t))
			s.add(rays, about(m, geom.Point{X: x.X, Y: x.Y, W: d}))
		}
	}
}

// about turns a point given relative to m into a pencil about m.
func about(m geom.Vec, v geom.Point) pencil {
	p := pencil{m: m}
	l := math.Hypot(v.X, v.Y)
	p.set(math.Atan2(v.Y, v.X), v.W/l)
	return p
}

// sphere returns the point, relative to m, with the least sum of squared
// scalar products with the lines taken as planes through a centre above m: the
// eigenvector of the smallest eigenvalue, by inverse iteration.
func sphere(rays []ray, m geom.Vec) (geom.Point, bool) {
	var r2 float64
	for _, r := range rays {
		q := r.at.Sub(m)
		r2 += q.Dot(q)
	}
	f := max(math.Sqrt(r2/float64(len(rays))), 1) // brings all parts to one size
	var a [3][3]float64
	for _, r := range rays {
		n := r.dir.Perp()
		h := [3]float64{n.X, n.Y, -n.Dot(r.at.Sub(m)) / f}
		k := 1 / math.Sqrt(h[0]*h[0]+h[1]*h[1]+h[2]*h[2])
		for i := range 3 {
			for j := range 3 {
				a[i][j] += k * k * h[i] * h[j]
			}
		}
	}
	v := [3]float64{rays[0].dir.X, rays[0].dir.Y, 0.3}
	for i := range 3 {
		a[i][i] += 1e-9 * float64(len(rays))
	}
	c := adjugate(a)
	for range 30 {
		var w [3]float64
		var n float64
		for i := range 3 {
			w[i] = c[i][0]*v[0] + c[i][1]*v[1] + c[i][2]*v[2]
			n += w[i] * w[i]
		}
		if !(n > 0) {
			return geom.Point{}, false
		}
		n = 1 / math.Sqrt(n)
		for i := range 3 {
			v[i] = w[i] * n
		}
	}
	return geom.Point{X: v[0] * f, Y: v[1] * f, W: v[2]}, math.Hypot(v[0], v[1]) > 1e-9
}

// adjugate of a symmetric matrix: its inverse times its determinant.
func adjugate(a [3][3]float64) (c [3][3]float64) {
	for i := range 3 {
		for j := range 3 {
			i1, i2, j1, j2 := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
			c[j][i] = a[i1][j1]*a[i2][j2] - a[i1][j2]*a[i2][j1]
		}
	}
	return c
}
