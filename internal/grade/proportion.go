package grade

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// unknowns of a drawn box: the depths of its eight corners and its three
// sizes.
const unknowns = 8 + 3

// boxEquations writes down that every edge of a box, seen with the view v,
// runs along its set's direction: z_b r_b - z_a r_a - s_k d_k = 0 for the
// sight lines r of its two corners, three equations each. Edges whose corners
// are not both known are left out.
func boxEquations(v view, corners *[8]geom.Vec, known *[8]bool, at *[3]geom.Point) (rows [][unknowns]float64) {
	var r [8]geom.Vec3
	for i, c := range corners {
		r[i] = v.sight(geom.At(c)).d
	}
	for i, e := range perspective.Edges {
		a, b := e.Corners[0], e.Corners[1]
		if !known[a] || !known[b] {
			continue
		}
		d := v.sight(at[e.Set]).d
		for axis := range 3 {
			var row [unknowns]float64
			row[b], row[a], row[8+i/4] = coordinate(r[b], axis), -coordinate(r[a], axis), -coordinate(d, axis)
			rows = append(rows, row)
		}
	}
	return rows
}

func coordinate(v geom.Vec3, axis int) float64 { return [3]float64{v.X, v.Y, v.Z}[axis] }

// leastCorners is how many corners must be known to tell a box's sizes.
const leastCorners = 6

// boxSizes returns the sizes of a drawn box up to a common factor: the last
// three parts of the smallest singular vector of its equations. ok is false
// when too few corners are known to determine them.
func boxSizes(v view, corners *[8]geom.Vec, known *[8]bool, at *[3]geom.Point) (s [3]float64, ok bool) {
	n := 0
	for _, k := range known {
		if k {
			n++
		}
	}
	if n < leastCorners {
		return s, false
	}
	x, ok := smallest(boxEquations(v, corners, known, at), known)
	if !ok {
		return s, false
	}
	for k := range s {
		if s[k] = math.Abs(x[8+k]); !(s[k] > 1e-6) {
			return s, false
		}
	}
	return s, true
}

// smallest returns the unit vector that the rows map to the shortest one, by
// inverse iteration on the normal matrix. The depths of unknown corners stay
// 0. ok is false when it is not clearly the only one.
func smallest(rows [][unknowns]float64, known *[8]bool) (x [unknowns]float64, ok bool) {
	var m [unknowns][unknowns]float64
	trace := 0.0
	for _, r := range rows {
		for i, p := range r {
			if p == 0 {
				continue
			}
			trace += p * p
			for j, q := range r[:i+1] {
				m[i][j] += p * q
			}
		}
	}
	for i := range m {
		m[i][i] += 1e-12 * trace
		if i < len(known) && !known[i] {
			m[i][i] = trace
		}
		x[i] = 1
	}
	// Cholesky: m = l l'.
	for i := range m {
		for j := range i + 1 {
			sum := m[i][j]
			for k := range j {
				sum -= float64(m[i][k] * m[j][k])
			}
			if i == j {
				if !(sum > 0) {
					return x, false
				}
				m[i][i] = math.Sqrt(sum)
			} else {
				m[i][j] = sum / m[j][j]
			}
		}
	}
	var gain, before float64
	for range 200 {
		for i := range x {
			for k := range i {
				x[i] -= float64(m[i][k] * x[k])
			}
			x[i] /= m[i][i]
		}
		gain = 0
		for i := unknowns - 1; i >= 0; i-- {
			for k := i + 1; k < unknowns; k++ {
				x[i] -= float64(m[k][i] * x[k])
			}
			x[i] /= m[i][i]
			gain += x[i] * x[i]
		}
		gain = math.Sqrt(gain)
		for i := range x {
			x[i] /= gain
		}
		if math.Abs(gain-before) <= 1e-14*gain {
			return x, finite(gain)
		}
		before = gain
	}
	return x, false
}
