package grade

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// unknowns of a drawn box: the depths of its eight corners and its three
// sizes.
const unknowns = 8 + 3

// shape is a box by its unknowns, up to a common factor.
type shape [unknowns]float64

// boxForm says that every edge of a box, seen with the view v, runs along its
// set's direction: z_b r_b - z_a r_a - s_k d_k = 0 for the sight lines r of
// its two corners, three equations each. Of these it returns the normal
// matrix, the lower half: the sight lines being of unit length, its entries
// are counts and cosines. Edges whose corners are not both known are left
// out.
func boxForm(v view, corners *[8]geom.Vec, known *[8]bool, at *[3]geom.Point) (m [unknowns]shape) {
	var r [8]geom.Vec3
	for i, c := range corners {
		r[i] = v.toward(geom.At(c))
	}
	var d [3]geom.Vec3
	for k, p := range at {
		d[k] = v.toward(p)
	}
	for i, e := range perspective.Edges {
		a, b, k := e.Corners[0], e.Corners[1], 8+i/4
		if !known[a] || !known[b] {
			continue
		}
		d := d[e.Set]
		m[a][a]++
		m[b][b]++
		m[k][k]++
		m[max(a, b)][min(a, b)] -= r[a].Dot(r[b])
		m[k][a] += d.Dot(r[a])
		m[k][b] -= d.Dot(r[b])
	}
	return m
}

// leastCorners is how many corners must be known to tell a box's sizes.
const leastCorners = 6

// boxSizes returns the sizes of a drawn box up to a common factor: the last
// three parts of the smallest singular vector of its equations. ok is false
// when too few corners are known to determine them.
func boxSizes(v view, corners *[8]geom.Vec, known *[8]bool, at *[3]geom.Point) (s [3]float64, ok bool) {
	x := anyShape
	return x.see(v, corners, known, at)
}

// anyShape is where to look for a shape that nothing is known of.
var anyShape = shape{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}

// see is boxSizes from a first guess of the shape, to which x then moves: it
// takes a handful of steps from one that is hardly different, at some 150 ns
// each.
func (x *shape) see(v view, corners *[8]geom.Vec, known *[8]bool, at *[3]geom.Point) (s [3]float64, ok bool) {
	n := 0
	for _, k := range known {
		if k {
			n++
		}
	}
	if n < leastCorners {
		return s, false
	}
	form := boxForm(v, corners, known, at)
	ok = x.settle(&form, known) && x.sizes(&s)
	return s, ok
}

// sizes reads the sizes; it is false when one of them is nothing.
func (x *shape) sizes(s *[3]float64) bool {
	for k := range s {
		if s[k] = math.Abs(x[8+k]); !(s[k] > 1e-6) {
			return false
		}
	}
	return true
}

// settle moves x to the unit vector that the equations with the normal matrix
// m map to the shortest one, by inverse iteration from x; m is used up. The
// depths of unknown corners become 0. It is false when that vector is not
// clearly the only one.
func (x *shape) settle(m *[unknowns]shape, known *[8]bool) bool {
	trace := 0.0
	for i := range m {
		trace += m[i][i]
	}
	for i := range m {
		m[i][i] += 1e-12 * trace
		if i < len(known) && !known[i] {
			m[i][i] = trace
		}
	}
	// Cholesky: m = l l', with the inverses of l's diagonal.
	for i := range m {
		for j := range i {
			sum := m[i][j]
			for k := range j {
				sum -= float64(m[i][k] * m[j][k])
			}
			m[i][j] = sum * m[j][j]
		}
		sum := m[i][i]
		for k := range i {
			sum -= float64(m[i][k] * m[i][k])
		}
		if !(sum > 0) {
			return false
		}
		m[i][i] = 1 / math.Sqrt(sum)
	}
	var gain, before float64
	for range 200 {
		for i := range x {
			sum := x[i]
			for k := range i {
				sum -= float64(m[i][k] * x[k])
			}
			x[i] = sum * m[i][i]
		}
		gain = 0
		for i := unknowns - 1; i >= 0; i-- {
			y := x[i] * m[i][i]
			x[i] = y
			gain += y * y
			for k := range i {
				x[k] -= float64(m[i][k] * y)
			}
		}
		gain = math.Sqrt(gain)
		for i := range x {
			x[i] /= gain
		}
		if math.Abs(gain-before) <= 1e-14*gain {
			return finite(gain)
		}
		before = gain
	}
	return false
}
