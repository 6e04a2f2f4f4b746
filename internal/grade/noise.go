package grade

import (
	"math"
	"slices"

	"boxwright/internal/geom"
)

// History limits: how many degrees of freedom the learner's own history may
// weigh, and what stands in when a first drawing has next to none.
const (
	maxHistory  = 24
	fewDOF      = 4
	strangerDOF = 3
)

var strangerSD = geom.Degrees(2)

// noise is the scatter of a drawing at 80 mm, in rad, with its degrees of
// freedom.
type noise struct{ sd, dof float64 }

// scatterOf sums the squared rests, scaled to 80 mm, and their degrees of
// freedom over the bundles that have some, as wanted.
func scatterOf(bs []bundle, want func(*bundle) bool) (chi, dof float64) {
	for i := range bs {
		b := &bs[i]
		if !b.ok || !want(b) {
			continue
		}
		for _, s := range b.lines {
			chi += s.rest / s.g * s.rest / s.g
		}
		dof += float64(len(b.lines) - 2)
	}
	return chi, dof
}

func every(*bundle) bool { return true }

// poolAbove is the p value above which what another set shares counts as
// nothing but scatter.
const poolAbove = 0.05

// measureNoise returns the scatter to hold the bundles of skip against: the
// rests of all bundles, single wild lines held down to three standard
// deviations, and what the bundles not in skip share, where it does not stand
// out; pooled with the learner's history. A history that the drawing
// contradicts, such as one of another kind of task, is left out. A first
// drawing that tells next to nothing is taken for a stranger's.
func measureNoise(bs []bundle, h Hand, skip ...int) noise {
	chi, dof := scatterOf(bs, every)
	if dof > 0 {
		chi = winsorised(bs, math.Sqrt(chi/dof))
	}
	var hs, hd float64
	if h.known() {
		hs, hd = float64(h.SD), min(h.DOF, maxHistory)
		if dof > 0 {
			f := chi / dof / (hs * hs)
			if p := upperF(f, dof, hd); p < 0.05 || p > 0.95 {
				hd = 0
			}
		}
	}
	if d := hd + dof; d > 0 {
		s2 := (hd*hs*hs + chi) / d
		for i := range bs {
			c, n := bs[i].sharedChi()
			if !slices.Contains(skip, i) && upperF(c/n/s2, n, d) > poolAbove {
				chi += c
				dof += n
			}
		}
	}
	if hd == 0 && dof < fewDOF {
		hs, hd = max(float64(strangerSD), typical(bs)), strangerDOF
	}
	return noise{math.Sqrt((hd*hs*hs + chi) / (hd + dof)), hd + dof}
}

// sharedChi sums the squared shared parts of the bundle's deviations, scaled
// to 80 mm, with their degrees of freedom.
func (b *bundle) sharedChi() (chi, dof float64) {
	for _, s := range b.lines {
		z := (float64(s.dev) - s.rest) / s.g
		chi += z * z
	}
	return chi, min(2, float64(len(b.lines)))
}

// typical is a robust standard deviation of the deviations themselves, shared
// part and all: a hand that is that far off everywhere must not be taken for
// a steady one with faults.
func typical(bs []bundle) float64 {
	var v []float64
	for i := range bs {
		for _, s := range bs[i].lines {
			v = append(v, math.Abs(float64(s.dev))/s.g)
		}
	}
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return 1.4826 * v[len(v)/2]
}

// winsorised repeats scatterOf with each rest held down to 3 sd; the sd is
// learnt anew once.
func winsorised(bs []bundle, sd float64) (chi float64) {
	for range 2 {
		var dof float64
		chi = 0
		for i := range bs {
			b := &bs[i]
			if !b.ok {
				continue
			}
			for _, s := range b.lines {
				z := min(math.Abs(s.rest/s.g), 3*sd)
				chi += z * z
			}
			dof += float64(len(b.lines) - 2)
		}
		sd = math.Sqrt(chi / dof)
	}
	return chi
}

// handScatter is what the drawing tells of the learner's own hand: the rests
// of bundles, or the deviations of targets, that were drawn free-hand.
// Everything else says nothing and is left out.
func handScatter(bs []bundle, lone []strand) (s Scatter) {
	deg := 180 / math.Pi
	for i := range bs {
		b := bundle{lines: make([]strand, 0, len(bs[i].lines))}
		for _, l := range bs[i].lines {
			if l.freehand {
				b.lines = append(b.lines, l)
			}
		}
		if b.decompose(); !b.ok {
			continue
		}
		for _, l := range b.lines {
			z := l.rest / l.g * deg
			s.SumSq += z * z
		}
		s.DOF += float64(len(b.lines) - 2)
	}
	for _, l := range lone {
		if l.freehand {
			z := float64(l.dev) / l.g * deg
			s.SumSq += z * z
			s.DOF++
		}
	}
	return s
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
