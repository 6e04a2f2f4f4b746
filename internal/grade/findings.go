package grade

import (
	"cmp"
	"math"
	"slices"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// The codes of findings.
const (
	CodeMissing   = "missing"          // expected lines that were not drawn
	CodeEarly     = "meets-early"      // a set meets before its point
	CodeLate      = "meets-late"       // beyond it
	CodeParallel  = "meets-never"      // not told from parallel
	CodeWrongSide = "meets-wrong-side" // on the other side
	CodeFan       = "fan"              // a set that should be parallel is not
	CodeTurned    = "turned"           // a whole set aimed beside its point
	CodeLean      = "lean"             // uprights lean
	CodeTilt      = "horizon-tilt"     // two points not level
	CodeSet       = "set-uneven"       // one set scatters more than the others
	CodeBow       = "bow"              // lines bend to one side of the pen's way
	CodeArch      = "arch"             // lines bend to one side of the sheet
	CodePast      = "ends-past"        // lines run past their corners
	CodeShort     = "ends-short"       // or stop short of them
	CodeLong      = "size-over"        // a set comes out too long in true proportion
	CodeBrief     = "size-under"       // or too short
	CodePull      = "axis-pull"        // lines pulled to level and upright
	CodePush      = "axis-push"        // or pushed away from them
	CodeLine      = "line-off"         // a single line far off
)

// A drawing with no fault gets any finding at all with a chance of at most
// the sum of these. Tests of where sets meet have a family of their own, so
// that the many small tests take nothing from them.
const (
	alphaMeeting = 0.011
	alphaRest    = 0.004
)

// Minimum sizes: a fault below them is not worth a sentence, however sure.
var minAngle = geom.Degrees(1)

// unevenFloor is the rms below which lines are not told from perfect ones
// when sets are compared.
var unevenFloor = geom.Degrees(0.1)

const (
	minRatio = 1.6  // of a set's rms to that of the others
	minBow   = 1    // % of the length
	minEnds  = 4    // mm; quick free-hand lines run 3 mm past without harm
	minSize  = 0.10 // of true proportion
	wildSD   = 4
	minBows  = 6 // lines that a bow habit needs
)

var minWild = geom.Degrees(6)

// test is one question put to the drawing.
type test struct {
	p       float64
	big     bool // beyond the minimum size
	meeting bool // belongs to the family of meeting points
	set     int  // bundle, or -1
	line    int  // index of a single line, or -1
	code    string
	box     int
	amount  float64 // how much, in the unit of the code's words
}

// findings lists the faults that the numbers prove: facts first, then by
// rising p.
func (w *work) findings() []Finding {
	var fs []Finding
	if f, ok := w.missing(); ok {
		fs = append(fs, f)
	}
	var ts []test
	for k := range w.bundles {
		ts = append(ts, w.testSet(k)...)
	}
	ts = append(ts, w.testHorizon()...)
	ts = append(ts, w.testUneven()...)
	ts = append(ts, w.testSizes()...)
	ts = append(ts, w.testBow()...)
	ts = append(ts, w.testEnds()...)
	ts = append(ts, w.testPull()...)
	ts = append(ts, w.testWild()...)
	return append(fs, w.agree(significant(ts))...)
}

// significant returns the tests that stand together in their family and
// exceed their minimum size, by rising p.
func significant(ts []test) (out []test) {
	for _, meeting := range [2]bool{true, false} {
		var p []float64
		var family []test
		for _, t := range ts {
			if t.meeting == meeting {
				family = append(family, t)
				p = append(p, t.p)
			}
		}
		alpha := alphaRest
		if meeting {
			alpha = alphaMeeting
		}
		for i, ok := range holm(p, alpha) {
			if ok && family[i].big {
				out = append(out, family[i])
			}
		}
	}
	slices.SortStableFunc(out, func(a, b test) int { return cmp.Compare(a.p, b.p) })
	return out
}

// agree drops what a stronger sentence already says, so that findings never
// contradict or repeat one another.
func (w *work) agree(ts []test) (fs []Finding) {
	named := map[int]bool{} // sets with a shared fault
	tilt := false
	for _, t := range ts {
		tilt = tilt || t.code == CodeTilt
		if t.meeting && t.set >= 0 {
			named[t.set] = true
		}
	}
	bow := false
	for _, t := range ts {
		switch t.code {
		case CodeTurned:
			if tilt && w.bundles[t.set].set != perspective.Height {
				continue
			}
		case CodeSet, CodeLine:
			if named[t.set] {
				continue
			}
		case CodePull, CodePush:
			if len(named) > 0 || tilt {
				continue
			}
		case CodeBow, CodeArch:
			if bow {
				continue
			}
			bow = true
		}
		fs = append(fs, w.finding(&t))
	}
	return fs
}

// testSet asks whether one set as a whole meets early or late, or is turned.
func (w *work) testSet(k int) []test {
	b := &w.bundles[k]
	if !b.ok {
		return nil
	}
	jt, je := b.lever()
	early := test{meeting: true, set: k, line: -1, code: w.meetCode(b), amount: je * b.dk}
	early.p = twoSided(b.dk/(b.noise.sd*math.Sqrt(b.ckk)), b.noise.dof)
	early.big = math.Abs(early.amount) >= float64(minAngle) && b.steady(func(s *split) float64 { return s.dk })
	turn := test{meeting: true, set: k, line: -1, code: CodeTurned, amount: jt * b.db}
	turn.p = twoSided(b.db/(b.noise.sd*math.Sqrt(b.cbb)), b.noise.dof)
	turn.big = math.Abs(turn.amount) >= float64(minAngle) && b.steady(func(s *split) float64 { return s.db })
	if b.set == perspective.Height && !b.v.Finite() {
		turn.code = CodeLean
	}
	return []test{early, turn}
}

// steady reports whether what a set shares does not hang on a single line:
// with any one line left out it keeps its sign and, of four lines or more,
// some of its size.
func (b *bundle) steady(of func(*split) float64) bool {
	all := of(&b.split)
	rest := bundle{lines: make([]strand, 0, len(b.lines))}
	for i := range b.lines {
		rest.lines = append(append(rest.lines[:0], b.lines[:i]...), b.lines[i+1:]...)
		rest.split = split{}
		rest.decompose()
		share := of(&rest.split) / all
		if !(share > 0) || rest.ok && share < 0.3 {
			return false
		}
	}
	return true
}

// meetCode says how a set that does not meet in its point meets.
func (w *work) meetCode(b *bundle) string {
	if b.truth.kappa == 0 {
		return CodeFan
	}
	if b.dk > 0 {
		return CodeEarly
	}
	k, sd := b.fitted.kappa, math.Sqrt(b.fitted.ckk)
	switch {
	case !b.met || math.Abs(k) <= 1.96*sd:
		return CodeParallel
	case k < 0:
		return CodeWrongSide
	}
	return CodeLate
}

// testUneven asks of each set whether its errors are larger than those of the
// others.
func (w *work) testUneven() (ts []test) {
	var ss float64
	n := 0
	for i := range w.bundles {
		for _, s := range w.bundles[i].lines {
			z := float64(s.dev) / s.g
			ss += z * z
			n++
		}
	}
	for k := range w.bundles {
		b := &w.bundles[k]
		var own float64
		for _, s := range b.lines {
			z := float64(s.dev) / s.g
			own += z * z
		}
		a, c := float64(len(b.lines)), float64(n-len(b.lines))
		if a < 3 || c < 4 {
			continue
		}
		least := float64(unevenFloor) * float64(unevenFloor)
		f := own / a / max((ss-own)/c, least)
		ts = append(ts, test{p: upperF(f, a, c), set: k, line: -1, code: CodeSet, amount: math.Sqrt(f),
			big: math.Sqrt(f) >= minRatio && own/a >= float64(minAngle)*float64(minAngle)})
	}
	return ts
}
