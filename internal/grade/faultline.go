package grade

import (
	"math"

	"boxwright/internal/geom"
)

// sample is a mean with its standard error.
type sample struct{ mean, se, n float64 }

func sampleOf(v []float64) (s sample) {
	s.n = float64(len(v))
	if len(v) < 2 {
		return s
	}
	for _, x := range v {
		s.mean += x / s.n
	}
	var ss float64
	for _, x := range v {
		ss += (x - s.mean) * (x - s.mean)
	}
	s.se = math.Sqrt(ss / (s.n - 1) / s.n)
	return s
}

func (s sample) p() float64 {
	if s.n < 2 {
		return 1
	}
	return twoSided(s.mean/s.se, s.n-1)
}

// testBow asks whether free-hand lines bend to one side, seen along the
// pen's travel or on the sheet.
func (w *work) testBow() (ts []test) {
	var travel, sheet []float64
	for i := range w.drawn {
		d := &w.drawn[i]
		if !d.freehand {
			continue
		}
		b := 100 * d.bow / d.length
		travel = append(travel, b)
		if d.dir.X < 0 || d.dir.X == 0 && d.dir.Y < 0 {
			b = -b
		}
		sheet = append(sheet, b)
	}
	if len(travel) < minBows {
		return nil
	}
	for i, v := range [2][]float64{travel, sheet} {
		s := sampleOf(v)
		t := test{p: s.p(), big: math.Abs(s.mean) >= minBow, set: -1, line: -1, code: CodeBow, amount: s.mean}
		if i == 1 {
			t.code = CodeArch
		}
		ts = append(ts, t)
	}
	return ts
}

// testEnds asks whether lines end past their corners or short of them.
func (w *work) testEnds() []test {
	var v []float64
	for i := range w.drawn {
		v = append(v, (w.g.Lines[i].StartGap+w.g.Lines[i].EndGap)/2)
	}
	if len(v) < 4 {
		return nil
	}
	s := sampleOf(v)
	t := test{p: s.p(), big: math.Abs(s.mean) >= minEnds*w.plan.unit, set: -1, line: -1, code: CodePast, amount: s.mean}
	if s.mean < 0 {
		t.code = CodeShort
	}
	return []test{t}
}

// pullRange is the angle from level or upright at which the eye's pull toward
// them is full.
var pullRange = geom.Degrees(6)

// testPull asks whether lines are turned toward level and upright, or away
// from them.
func (w *work) testPull() []test {
	var xx, xy, n float64
	eachStrand := func(do func(x, y float64)) {
		for i := range w.bundles {
			for _, s := range w.bundles[i].lines {
				t := w.bundles[i].v.From(w.drawn[s.line].mid)
				off := math.Remainder(float64(t.Angle()), math.Pi/2)
				x := min(1, max(-1, off/float64(pullRange)))
				do(x/s.g, float64(s.dev)/s.g)
			}
		}
	}
	eachStrand(func(x, y float64) { xx += x * x; xy += x * y; n++ })
	if n < 6 || !(xx > 0) {
		return nil
	}
	slope, ss := xy/xx, 0.0
	eachStrand(func(x, y float64) { ss += (y - slope*x) * (y - slope*x) })
	t := test{p: twoSided(slope/math.Sqrt(ss/(n-1)/xx), n-1), big: math.Abs(slope) >= float64(minAngle), set: -1, line: -1,
		code: CodePull, amount: slope}
	if slope > 0 {
		t.code = CodePush
	}
	return []test{t}
}

// testWild asks whether the line that stands out most does so for certain:
// against what the rest of its set shares and the scatter of all the others.
func (w *work) testWild() []test {
	best := test{p: 1}
	n := 0
	chi, dof := scatterOf(w.bundles, every)
	for k := range w.bundles {
		b := &w.bundles[k]
		if !b.ok || dof < 3 {
			continue
		}
		for i := range b.lines {
			s := &b.lines[i]
			n++
			room := 1 - b.leverage(s)
			if !(room > 1e-6) {
				continue
			}
			z := s.rest / s.g
			others := (chi - z*z/room) / (dof - 1)
			p := twoSided(z/math.Sqrt(max(others, 0)*room), dof-1)
			if p < best.p {
				e := math.Abs(float64(s.dev))
				best = test{p: p, set: k, line: s.line, code: CodeLine,
					big: e > float64(minWild) && e/s.g > wildSD*math.Sqrt(max(others, 0))}
			}
		}
	}
	if n == 0 || best.p == 1 {
		return nil
	}
	best.p = min(1, best.p*float64(n))
	return []test{best}
}

// leverage returns how much of its own deviation a strand determines.
func (b *bundle) leverage(s *strand) float64 {
	return (s.jb*s.jb*b.cbb + 2*s.jb*s.jk*b.cbk + s.jk*s.jk*b.ckk) / (s.g * s.g)
}
