package ink

import (
	"math"

	"boxwright/internal/geom"
)

// profile is a stroke seen from its axis: the mean offset across the axis in
// each of equally long bins along it, and the Legendre polynomials that
// describe the kept bins [a, b).
type profile struct {
	e    [bins]float64
	a, b int
	co   [4]float64
	used int
}

// span is the part of a stroke between the samples from and to, which lies
// between lo and hi along the axis.
type span struct {
	from, to int
	lo, hi   float64
}

// cut drops hooks that run backwards: it keeps what lies between the farthest
// point back in the first half of the samples and the farthest on in the
// second.
func (f *profile) cut(s Stroke, c, d geom.Vec) span {
	x, y := s.X, s.Y[:len(s.X)]
	sp := span{lo: math.Inf(1), hi: math.Inf(-1)}
	half := len(x) / 2
	for i := range half {
		if u := float64((x[i]-c.X)*d.X) + float64((y[i]-c.Y)*d.Y); u < sp.lo {
			sp.lo, sp.from = u, i
		}
	}
	for i := half; i < len(x); i++ {
		if u := float64((x[i]-c.X)*d.X) + float64((y[i]-c.Y)*d.Y); u >= sp.hi {
			sp.hi, sp.to = u, i
		}
	}
	return sp
}

// fill averages the offsets in bins; empty bins are interpolated.
func (f *profile) fill(s Stroke, c, d geom.Vec, sp span) {
	var n [bins]int32
	f.e = [bins]float64{}
	f.used = 0
	k := bins / (sp.hi - sp.lo)
	x, y := s.X[sp.from:sp.to+1], s.Y[sp.from:sp.to+1]
	for i := range x {
		px, py := x[i]-c.X, y[i]-c.Y
		b := int((float64(px*d.X) + float64(py*d.Y) - sp.lo) * k)
		if b < 0 || b > bins { // runs outside only where it turned back
			continue
		}
		b = min(b, bins-1)
		f.e[b] += float64(py*d.X) - float64(px*d.Y)
		n[b]++
		f.used++
	}
	last := -1
	for b := range f.e {
		if n[b] == 0 {
			continue
		}
		if n[b] > 1 {
			f.e[b] /= float64(n[b])
		}
		switch gap := b - last; {
		case last < 0:
			for j := range b {
				f.e[j] = f.e[b]
			}
		case gap > 1:
			step := (f.e[b] - f.e[last]) / float64(gap)
			for j := 1; j < gap; j++ {
				f.e[last+j] = f.e[last] + step*float64(j)
			}
		}
		last = b
	}
	for j := last + 1; j < bins; j++ {
		f.e[j] = f.e[max(last, 0)]
	}
}

// trim drops hooks that bend: end bins that leave the curve of the middle
// 70 % by more than the wobble there allows.
func (f *profile) trim() {
	const central = bins * 15 / 100 // bins left out at either end
	f.a, f.b = central, bins-central
	f.huber(3, 0)
	var r [bins]float64
	limit := max(4*f.spread(&r), 0.35)
	f.a, f.b = 0, bins
	half := float64(bins-2*central) / bins // |x| = 1 of the fit, on the whole stroke
	for i := range hookBins {
		for _, b := range [...]int{i, bins - 1 - i} {
			x := (2*float64(b)+1)/bins - 1
			l := legendre(x / half)
			r := f.e[b] - (f.co[0] + f.co[1]*l[1] + f.co[2]*l[2])
			if math.Abs(r) > limit*(1+2*max(0, math.Abs(x)-0.7)/0.3) {
				if b == i {
					f.a = i + 1
				} else {
					f.b = bins - 1 - i
				}
			}
		}
	}
}

// fit describes the kept bins by Legendre polynomials of degree 0 to 3,
// finely or as a first guess.
func (f *profile) fit(fine bool) {
	if fine {
		f.huber(4, 2)
	} else {
		f.huber(4, 0)
	}
}

// rest returns the rms of what the polynomials leave, and of everything but
// the straight line.
func (f *profile) rest() (wobble, crooked float64) {
	var w, all float64
	e := f.e[f.a:f.b]
	on := &grids[len(e)]
	for i, v := range e {
		l := &on.p[i]
		straight := v - f.co[0] - f.co[1]*l[1]
		r := straight - f.co[2]*l[2] - f.co[3]*l[3]
		w += r * r
		all += straight * straight
	}
	m := float64(len(e))
	return math.Sqrt(w / m), math.Sqrt(all / m)
}

// legendre returns the Legendre polynomials of degree 0 to 3 at x.
func legendre(x float64) [4]float64 {
	x2 := x * x
	return [4]float64{1, x, 1.5*x2 - 0.5, x * (2.5*x2 - 1.5)}
}
