package grade

import (
	"math/rand/v2"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// Each fault, drawn plainly by a steady hand, is named by its own code, in
// most drawings, in one plain sentence that speaks of lines, not of people.
func TestFindingsOfEachFault(t *testing.T) {
	deg := func(d float64) float64 { return float64(geom.Degrees(d)) }
	gap := func(mm float64) func(*ink.Stroke) {
		return func(s *ink.Stroke) {
			a, b := geom.Vec{X: s.X[0], Y: s.Y[0]}, geom.Vec{X: s.X[1], Y: s.Y[1]}
			u, _ := b.Sub(a).Unit()
			*s = segmentStroke(a.Sub(u.Scale(mm)), b.Add(u.Scale(mm)))
		}
	}
	arc := func(s *ink.Stroke) {
		a, b := geom.Vec{X: s.X[0], Y: s.Y[0]}, geom.Vec{X: s.X[1], Y: s.Y[1]}
		u, _ := b.Sub(a).Unit()
		var c ink.Stroke
		for k := range 60 {
			x := float64(k)/29.5 - 1
			p := geom.Mid(a, b).Add(b.Sub(a).Scale(x / 2)).Add(u.Perp().Scale(.03 * b.Sub(a).Len() * (1 - x*x)))
			c.X, c.Y = append(c.X, p.X), append(c.Y, p.Y)
		}
		*s = c
	}
	for _, c := range []struct {
		code  string
		view  drill.View
		fault *simFault
		each  func(*ink.Stroke)
		bad   string // words that would turn the sense round
	}{
		{CodeLean, drill.Two, &simFault{set: perspective.Height, turn: deg(4)}, nil, "left"},
		{CodeLean, drill.Two, &simFault{set: perspective.Height, turn: deg(-4)}, nil, "right"},
		{CodeFan, drill.Two, &simFault{set: perspective.Height, early: .003}, nil, "upward"},
		{CodeFan, drill.Two, &simFault{set: perspective.Height, early: -.003}, nil, "downward"},
		{CodeTurned, drill.Two, &simFault{set: perspective.Width, turn: deg(5)}, nil, "anticlockwise"},
		{CodeTurned, drill.One, &simFault{set: perspective.Width, turn: deg(-5)}, nil, " clockwise"},
		{CodeEarly, drill.Three, &simFault{set: perspective.Depth, early: .004}, nil, "too late"},
		{CodePast, drill.Two, nil, gap(6), "short"},
		{CodeShort, drill.Two, nil, gap(-6), "past"},
		{CodeBow, drill.Two, nil, arc, "to the left"},
	} {
		r := rand.New(rand.NewPCG(77, 1))
		const n = 40
		seen := 0
		for range n {
			x := simBox(r, c.view, 0)
			a := straight(r, x, .5, c.fault)
			for i := range a.Strokes {
				if c.each != nil {
					c.each(&a.Strokes[i])
				}
			}
			for _, f := range regrade(t, x, a).Findings {
				plainSentence(t, f)
				if f.Code != c.code || c.fault != nil && (!f.HasSet || f.Set != c.fault.set) {
					continue
				}
				seen++
				if strings.Contains(f.Text, c.bad) {
					t.Errorf("%s: %s", c.code, f.Text)
				}
			}
		}
		t.Logf("%s: seen in %d of %d", c.code, seen, n)
		if seen < n*6/10 {
			t.Errorf("%s: seen in %d of %d", c.code, seen, n)
		}
	}
}

func plainSentence(t *testing.T, f Finding) {
	t.Helper()
	s := f.Text
	if s == "" || !strings.HasSuffix(s, ".") || strings.Contains(s, "\n") || strings.Contains(s, "%!") || strings.Contains(s, "NaN") || strings.Contains(s, "Inf") ||
		strings.Contains(s, ". ") || !strings.Contains(s, "next time") && !strings.Contains(s, "next one") {
		t.Errorf("%s: not one plain sentence: %q", f.Code, s)
	}
	for _, w := range strings.Fields(strings.ToLower(s)) {
		switch strings.Trim(w, ".,:") {
		case "you", "your", "student", "learner", "bad", "wrong":
			t.Errorf("%s: speaks of a person or blames: %q", f.Code, s)
		}
	}
}
