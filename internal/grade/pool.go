package grade

import (
	"fmt"
	"math"
	"slices"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// PoolDrawings is over how many of the learner's last drawings faults are
// pooled, the newest included.
const PoolDrawings = 12

// alphaPooled is the chance of any pooled finding for a learner without
// fault, at one look. Looks at growing series are far from independent, so
// that a dozen of them cost only a few times as much.
const alphaPooled = 0.005

// minPooled is the least number of drawings a pooled finding speaks of.
const minPooled = 3

// SetPool is what one set of one drawing adds to findings over several
// drawings, in a scale that different sheets share: inverse distances of the
// meeting point relative to the true one.
type SetPool struct {
	Early float64 // (fitted - true) / true: 0.5 meets at 2/3, -1 is parallel
	Var   float64 // variance of Early for a scatter of 1 rad at 80 mm
	Lever float64 // rms angle over the set, rad, that Early = 1 amounts to
	SumSq float64 // of the rests at 80 mm, rad²
	DOF   float64
}

// pool sums the bundle up for findings over several drawings: nil when it
// does not tell, runs to infinity, or was not drawn free-hand throughout.
func (b *bundle) pool() *SetPool {
	k := b.truth.kappa
	if !b.ok || !b.v.Finite() || !(math.Abs(k) > 1e-9) {
		return nil
	}
	_, lever := b.lever()
	p := SetPool{Early: b.dk / k, Var: b.ckk / (k * k), Lever: lever * math.Abs(k), DOF: float64(len(b.lines) - 2)}
	for _, s := range b.lines {
		if !s.freehand {
			return nil
		}
		p.SumSq += s.rest / s.g * s.rest / s.g
	}
	if !finite(p.Early) || !finite(p.Var) || !finite(p.Lever) || !finite(p.SumSq) || !(p.Var > 0) {
		return nil
	}
	return &p
}

// Pool returns the faults that the drawings last prove together: sets that
// meet too early, too late, never, or on the wrong side. last[0] is the
// drawing at hand; all are of one view and one pointer. A set of which the
// drawing at hand proves a fault by itself is left to that finding.
func Pool(last []*Grade) []Finding {
	if len(last) < minPooled {
		return nil
	}
	var chi, dof float64
	var by [3][]SetPool
	for _, g := range last {
		for _, s := range g.Sets {
			if s.Pool != nil {
				by[s.Set] = append(by[s.Set], *s.Pool)
				chi += s.Pool.SumSq
				dof += s.Pool.DOF
			}
		}
	}
	if !(dof > 0) || !(chi > 0) {
		return nil
	}
	var tests []pooled
	var ps []float64
	for _, k := range perspective.Sets {
		if len(by[k]) >= minPooled {
			t := poolSet(by[k], k, chi/dof, dof)
			tests = append(tests, t)
			ps = append(ps, t.p)
		}
	}
	var fs []Finding
	for i, ok := range holm(ps, alphaPooled) {
		if t := &tests[i]; ok && t.big && !named(last[0], t.set) {
			fs = append(fs, t.finding())
		}
	}
	return fs
}

// named reports whether a drawing's own findings speak of the whole set or
// of all of them.
func named(g *Grade, k perspective.Set) bool {
	return slices.ContainsFunc(g.Findings, func(f Finding) bool {
		return f.P > 0 && f.HasSet && f.Set == k && f.Code != CodeLine
	})
}

// pooled is the answer for one set over n drawings.
type pooled struct {
	set    perspective.Set
	n      int
	early  float64 // weighted mean of SetPool.Early
	sd     float64
	amount geom.Angle
	p      float64
	big    bool
}

// poolSet weighs each drawing's estimate by its variance. Drawings that differ
// more than their scatter s2 explains (p < 0.05) widen the error by as much,
// and no single drawing may carry the mean.
func poolSet(ps []SetPool, k perspective.Set, s2, dof float64) pooled {
	var sw, sy, lever float64
	for _, p := range ps {
		sw += 1 / p.Var
		sy += p.Early / p.Var
		lever += p.Lever * p.Lever
	}
	t := pooled{set: k, n: len(ps), early: sy / sw}
	var q float64
	steady := true
	for _, p := range ps {
		d := p.Early - t.early
		q += d * d / p.Var
		rest := (sy - p.Early/p.Var) / (sw - 1/p.Var)
		steady = steady && rest/t.early > 0.3
	}
	n := float64(t.n - 1)
	if upperF(q/n/s2, n, dof) < 0.05 {
		s2 = q / n
	}
	t.sd = math.Sqrt(s2 / sw)
	t.amount = geom.Angle(t.early * math.Sqrt(lever/float64(t.n)))
	t.p = twoSided(t.early/t.sd, dof)
	t.big = steady && math.Abs(float64(t.amount)) >= float64(minAngle)
	return t
}

// code says how the set meets over the drawings.
func (t *pooled) code() string {
	at := 1 + t.early // where it meets, in inverse distances of the true point
	switch {
	case t.early > 0:
		return CodeEarly
	case math.Abs(at) <= 1.96*t.sd:
		return CodeParallel
	case at < 0:
		return CodeWrongSide
	}
	return CodeLate
}

func (t *pooled) finding() Finding {
	f := Finding{Code: t.code(), Set: t.set, HasSet: true, P: t.p}
	how, next := "meet too early", "let the outermost ones run on farther toward their point next time"
	switch f.Code {
	case CodeParallel:
		how, next = "run almost parallel", "let the outermost ones close in on their point next time"
	case CodeWrongSide:
		how, next = "open toward their point instead of closing on it", "look first on which side the set comes together next time"
	case CodeLate:
		how, next = "meet too late", "let the outermost ones close in on their point sooner next time"
	}
	f.Text = fmt.Sprintf("Over your last %d drawings the %s lines %s, by about %s: %s.", t.n, t.set, how, degrees(t.amount), next)
	return f
}
