package grade

import (
	"fmt"
	"math"
	"strings"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// The codes of findings that only free drawings have.
const (
	CodeStray = "stray"     // strokes that are no part of the box
	CodeCone  = "cone-wide" // the box reaches out of the cone of vision
)

// widestCone is the trade's widest half angle of the cone of vision, 60
// degrees full (Storey 1910, p. 18).
var widestCone = geom.Degrees(30)

// freeFindings lists what holds for a drawing judged against itself: facts
// first, then by rising p. v may be nil.
func (f *freeDrawing) freeFindings(v *vista) (fs []Finding) {
	fs = f.facts()
	if len(f.drawn) == 0 {
		return fs
	}
	var ts []test
	for k := range f.bundles {
		ts = append(ts, f.testMeets(k)...)
	}
	ts = append(ts, f.testLean()...)
	if v != nil {
		ts = append(ts, f.testTilt(v)...)
		ts = append(ts, f.testCone(v)...)
	}
	ts = append(ts, f.testBow()...)
	if f.framed {
		ts = append(ts, f.testEnds()...)
	}
	ts = append(ts, f.testWild()...)
	for _, g := range f.agree(significant(ts)) {
		for i := range ts {
			if t := &ts[i]; t.code == g.Code && (t.set >= 0) == g.HasSet && (t.set < 0 || f.bundles[t.set].set == g.Set) {
				if text := f.text(t); text != "" {
					g.Text = text
				}
			}
		}
		fs = append(fs, g)
	}
	return fs
}

// text words what a free drawing is told differently, or at all; "" leaves
// the usual words.
func (f *freeDrawing) text(t *test) string {
	switch t.code {
	case CodeSet:
		return fmt.Sprintf("The %s lines do not meet in one point, %.1f times less well than the others do: extend them in thought to one common point next time.",
			f.bundles[t.set].set, t.amount)
	case CodeCone:
		return fmt.Sprintf("The box reaches %.0f degrees from the line of sight, more than the %.0f that look natural: draw it smaller or its points farther apart next time.",
			geom.Angle(t.amount).Degrees(), widestCone.Degrees())
	}
	return ""
}

// facts lists what needs no test: missing edges and stray strokes.
func (f *freeDrawing) facts() (fs []Finding) {
	if n := len(f.g.Missing); n > 0 {
		var parts []string
		for _, k := range perspective.Sets {
			c := 0
			for _, id := range f.g.Missing {
				if strings.HasPrefix(id, k.String()) {
					c++
				}
			}
			if c > 0 {
				parts = append(parts, fmt.Sprintf("%d of the %s set", c, k))
			}
		}
		fs = append(fs, Finding{Code: CodeMissing, Text: fmt.Sprintf("%s %s missing (%s): count four edges in every set next time, the hidden ones too.",
			count(n, "edge"), isAre(n), strings.Join(parts, ", "))})
	}
	n := 0
	for _, s := range f.g.Unmatched {
		for i := range f.traces {
			if f.traces[i].stroke == s && f.traces[i].Length > constructLength*f.plan.unit {
				n++
			}
		}
	}
	if n > 0 {
		fs = append(fs, Finding{Code: CodeStray, Text: fmt.Sprintf("%s %s no edge of the box and no line to draw along: decide which set a line belongs to before drawing it next time.",
			count(n, "stroke"), isAre(n))})
	}
	return fs
}

// testMeets asks whether the lines of a set meet in one point, as well as the
// other sets' lines meet in theirs.
func (f *freeDrawing) testMeets(k int) []test {
	b := &f.bundles[k]
	if !b.ok {
		return nil
	}
	own, dof := scatterOf(f.bundles[k:k+1], every)
	others := f.freeNoise(k)
	if others.dof < 2 {
		return nil
	}
	rms := math.Sqrt(own / dof)
	ratio := rms / max(others.sd, float64(unevenFloor))
	t := test{p: upperF(ratio*ratio, dof, others.dof), meeting: true, set: k, line: -1, code: CodeSet, amount: ratio}
	t.big = ratio >= minRatio && rms >= float64(minAngle)
	return []test{t}
}

// testLean asks whether uprights that run parallel lean.
func (f *freeDrawing) testLean() []test {
	m := &f.named[perspective.Height]
	k := -1
	for i := range f.bundles {
		if f.bundles[i].set == perspective.Height {
			k = i
		}
	}
	p := &m.fitted
	if k < 0 || !m.sure || p.clearness() >= 2 {
		return nil
	}
	lean := geom.Angle(p.beta - math.Pi/2).Fold()
	// Uprights that do converge, if hardly, lean by as much as they stand
	// beside the principal point, which is not known.
	beside := f.x.Sheet.Width / 4
	se := math.Sqrt(p.cbb + beside*beside*(p.ckk+p.kappa*p.kappa))
	return []test{{p: twoSided(float64(lean)/se, f.noise.dof), big: math.Abs(float64(lean)) >= float64(minAngle),
		meeting: true, set: k, line: -1, code: CodeLean, amount: float64(lean)}}
}

// testTilt asks whether the two level sets meet on a level line. It goes by
// a number that is 0 if they do, whatever the distance of their points: with
// v = (u + kappa m, kappa) the first part of the cross product of both.
func (f *freeDrawing) testTilt(v *vista) []test {
	if !v.known[outTilt] {
		return nil
	}
	p, q := &f.named[perspective.Width].fitted, &f.named[perspective.Depth].fitted
	between := p.m.Y - q.m.Y
	g := p.u.Y*q.kappa - q.u.Y*p.kappa + p.kappa*q.kappa*between
	pb, pk := p.u.X*q.kappa, -q.u.Y+q.kappa*between
	qb, qk := -q.u.X*p.kappa, p.u.Y+p.kappa*between
	s2 := pb*pb*p.cbb + 2*pb*pk*p.cbk + pk*pk*p.ckk + qb*qb*q.cbb + 2*qb*qk*q.cbk + qk*qk*q.ckk
	// What both are off together counts where each alone does not.
	s2 += p.cbb*q.ckk + q.cbb*p.ckk + p.ckk*q.ckk*between*between
	a := geom.Angle(v.outcome[outTilt])
	return []test{{p: twoSided(g/math.Sqrt(s2), f.noise.dof), big: math.Abs(float64(a)) >= float64(minAngle),
		meeting: true, set: -1, line: -1, code: CodeTilt, amount: float64(a)}}
}

// testCone asks whether the box reaches farther from the principal point than
// the eye takes in without shapes being stretched.
func (f *freeDrawing) testCone(v *vista) []test {
	if !v.known[outCone] || !(v.sd[outCone] > 0) {
		return nil
	}
	a := geom.Angle(v.outcome[outCone])
	return []test{{p: twoSided(float64(a-widestCone)/v.sd[outCone], f.noise.dof), big: a >= widestCone+minAngle,
		meeting: true, set: -1, line: -1, code: CodeCone, amount: float64(a)}}
}
