package ink

import "math"

// huberK is the bend of the loss, in robust standard deviations.
const huberK = 2

// grid holds the Legendre polynomials over m equally spaced bins and their
// Gram matrix. The weights of most bins stay 1, so a weighted Gram matrix is
// this one less a few terms.
type grid struct {
	p    [bins][4]float64
	gram [4][4]float64
}

// grids are the grids by their number of bins.
var grids = func() (g [bins + 1]grid) {
	for m := 1; m <= bins; m++ {
		for i := range m {
			l := legendre((2*float64(i)+1)/float64(m) - 1)
			g[m].p[i] = l
			for r := range l {
				for c := range l {
					g[m].gram[r][c] += l[r] * l[c]
				}
			}
		}
	}
	return g
}()

// huber fits the first terms Legendre polynomials to the kept bins, with
// rounds of reweighting after the plain fit, at the scale of the plain fit.
// It sets co (unused terms to 0).
func (f *profile) huber(terms, rounds int) {
	e := f.e[f.a:f.b]
	on := &grids[len(e)]
	var rhs [4]float64
	for i, v := range e {
		p := &on.p[i]
		rhs[0] += v
		rhs[1] += p[1] * v
		rhs[2] += p[2] * v
		rhs[3] += p[3] * v
	}
	f.co = solve(&on.gram, &rhs, terms)
	if rounds == 0 {
		return
	}
	var r [bins]float64
	k := huberK * f.spread(&r)
	for round := range rounds {
		if round > 0 {
			f.residuals(&r)
		}
		g, h, light := on.gram, rhs, false
		for i := range e {
			a := math.Abs(r[i])
			if a <= k || a == 0 {
				continue
			}
			light = true
			less := 1 - k/a
			for c := range terms {
				w := less * on.p[i][c]
				h[c] -= w * e[i]
				for d := 0; d <= c; d++ {
					g[c][d] -= w * on.p[i][d]
				}
			}
		}
		if !light {
			return
		}
		f.co = solve(&g, &h, terms)
	}
}

// residuals puts each kept bin's distance from the polynomials into r.
func (f *profile) residuals(r *[bins]float64) {
	e := f.e[f.a:f.b]
	on := &grids[len(e)]
	for i, v := range e {
		p := &on.p[i]
		r[i] = v - (f.co[0] + f.co[1]*p[1] + f.co[2]*p[2] + f.co[3]*p[3])
	}
}

// spread returns the robust standard deviation of the kept bins about the
// polynomials, and each bin's residual in r.
func (f *profile) spread(r *[bins]float64) float64 {
	f.residuals(r)
	var abs [bins]float64
	m := f.b - f.a
	for i := range m {
		abs[i] = math.Abs(r[i])
	}
	return 1.4826 * median(abs[:m])
}

// solve solves the leading n by n part of the symmetric system g x = h by
// Cholesky, reading the lower triangle. A direction in which g has no weight
// left gets 0.
func solve(g *[4][4]float64, h *[4]float64, n int) (x [4]float64) {
	var l [4][4]float64
	for i := range n {
		for j := 0; j <= i; j++ {
			s := g[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				if s <= 1e-9*g[i][i] {
					l[i][i] = math.Inf(1)
				} else {
					l[i][i] = math.Sqrt(s)
				}
			} else {
				l[i][j] = s / l[j][j]
			}
		}
	}
	for i := range n {
		s := h[i]
		for k := range i {
			s -= l[i][k] * x[k]
		}
		x[i] = s / l[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		s := x[i]
		for k := i + 1; k < n; k++ {
			s -= l[k][i] * x[k]
		}
		x[i] = s / l[i][i]
	}
	return x
}

// median returns the median of v, the upper one of an even count, and
// reorders v.
func median(v []float64) float64 {
	lo, hi, k := 0, len(v)-1, len(v)/2
	for lo < hi {
		pivot := v[(lo+hi)/2]
		i, j := lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i++
				j--
			}
		}
		if k <= j {
			hi = j
		} else if k >= i {
			lo = i
		} else {
			break
		}
	}
	return v[k]
}
