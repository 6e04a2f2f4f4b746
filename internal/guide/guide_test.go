package guide_test

import (
	"errors"
	"math"
	"regexp"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/guide"
	"boxwright/internal/perspective"
)

// tolerance of a construction against the exercise's own numbers, mm.
const tolerance = 1e-6

// seeds is how many exercises of each view and level are constructed.
const seeds = 60

// every calls f with exercises of kind k, of all views and levels.
func every(t *testing.T, k drill.Kind, f func(t *testing.T, x *drill.Exercise)) {
	t.Helper()
	n := 0
	for _, v := range drill.Views(k) {
		for level := drill.MinLevel; level <= drill.MaxLevel; level++ {
			for seed := range uint64(seeds) {
				x, err := drill.New(k, v, level, seed)
				if err != nil {
					t.Fatal(err)
				}
				f(t, x)
				n++
				if t.Failed() {
					t.Fatalf("%s %s %d, seed %d", k, v, level, seed)
				}
			}
		}
	}
	if n == 0 {
		t.Fatalf("no exercise of %s", k)
	}
}

// steps constructs x from what a learner is given and told alone: all else is
// made useless first.
func steps(t *testing.T, x *drill.Exercise) []guide.Step {
	t.Helper()
	s, err := guide.Of(blinded(x))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// blinded returns x with everything that is withheld from the learner made
// not a number or nothing.
func blinded(x *drill.Exercise) *drill.Exercise {
	y := *x
	nan := geom.Vec{X: math.NaN(), Y: math.NaN()}
	given := x.CornersGiven()
	y.Corners = append([]geom.Vec(nil), x.Corners...)
	for i := range y.Corners {
		if !given[i] {
			y.Corners[i] = nan
		}
	}
	y.Points = append([]drill.Point(nil), x.Points...)
	for i, p := range y.Points {
		if !p.Shown {
			y.Points[i].At = geom.Point{X: math.NaN(), Y: math.NaN(), W: math.NaN()}
		}
	}
	if x.Horizon != nil && !x.Horizon.Shown {
		y.Horizon = &drill.Horizon{Line: geom.Line{A: math.NaN(), B: math.NaN(), C: math.NaN()}}
	}
	y.Targets = append([]drill.Target(nil), x.Targets...)
	for i, target := range y.Targets {
		if target.Hidden[0] {
			y.Targets[i].A = nan
		}
		if target.Hidden[1] {
			y.Targets[i].B = nan
		}
	}
	y.Boxes = append([]drill.Box(nil), x.Boxes...)
	for i := range y.Boxes {
		y.Boxes[i].Proportions, y.Boxes[i].Cube = [3]float64{}, false
	}
	y.Viewing, y.Bent = nil, nil
	return &y
}

// firm returns the firm lines of all steps, the hidden ones apart.
func firm(all []guide.Step) (edges, hidden []guide.Line) {
	for _, s := range all {
		for _, l := range s.Lines {
			switch l.Role {
			case guide.Edge:
				edges = append(edges, l)
			case guide.Hidden:
				hidden = append(hidden, l)
			}
		}
	}
	return edges, hidden
}

func same(a, b geom.Segment) bool {
	near := func(v, w geom.Vec) bool { return v.Sub(w).Len() <= tolerance }
	return near(a.A, b.A) && near(a.B, b.B) || near(a.A, b.B) && near(a.B, b.A)
}

// drawsBox checks that every edge of x is drawn firmly once, where it runs,
// with the hidden ones marked so, and nothing besides.
func drawsBox(t *testing.T, x *drill.Exercise, all []guide.Step) {
	t.Helper()
	edges, hidden := firm(all)
	find := func(list []guide.Line, s geom.Segment, k perspective.Set) (n int) {
		for _, l := range list {
			if same(l.Segment, s) && l.HasSet && l.Set == k {
				n++
			}
		}
		return n
	}
	for _, e := range x.Edges {
		want := [2]int{1, 0}
		if e.Hidden {
			want = [2]int{0, 1}
		}
		if got := [2]int{find(edges, x.Segment(e), e.Set), find(hidden, x.Segment(e), e.Set)}; got != want {
			t.Errorf("%s, hidden %v: drawn %v", e.ID, e.Hidden, got)
		}
	}
	if n := len(edges) + len(hidden); n != len(x.Edges) {
		t.Errorf("%d lines drawn firmly, %d edges", n, len(x.Edges))
	}
}

// light checks the light lines of sets: each runs along the true line to its
// set's point, and on to that point where it lies on the sheet's plane.
func light(t *testing.T, x *drill.Exercise, all []guide.Step) {
	t.Helper()
	n := 0
	for i, s := range all {
		for _, l := range s.Lines {
			if l.Role != guide.Construction || !l.HasSet {
				continue
			}
			n++
			p, ok := x.Point(0, l.Set)
			if !ok {
				t.Fatalf("no point of %v", l.Set)
			}
			if v, ok := p.At.Vec(); ok {
				if v.Sub(l.B).Len() > tolerance*max(1, v.Len()) {
					t.Errorf("step %d: a %v line ends in %v, not in its point %v", i+1, l.Set, l.B, v)
				}
				continue
			}
			d := l.Segment.B.Sub(l.Segment.A)
			if c := math.Abs(d.Cross(geom.Vec{X: p.At.X, Y: p.At.Y})) / d.Len(); c > 1e-9 {
				t.Errorf("step %d: a %v line is off its direction by %g", i+1, l.Set, c)
			}
		}
	}
	if n < 6 {
		t.Errorf("only %d light lines", n)
	}
}

func TestFinish(t *testing.T) {
	every(t, drill.Finish, func(t *testing.T, x *drill.Exercise) {
		all := steps(t, x)
		drawsBox(t, x, all)
		light(t, x, all)
		sentences(t, all)
		corners(t, x, all[:len(all)-1])
	})
}

// corners checks that every place that is found by crossing is a corner, and
// that each withheld corner is found once.
func corners(t *testing.T, x *drill.Exercise, all []guide.Step) {
	t.Helper()
	found := make([]int, len(x.Corners))
	for i, s := range all {
		for _, d := range s.Dots {
			if d.Role != guide.Corner {
				continue
			}
			hit := false
			for c, v := range x.Corners {
				if v.Sub(d.At).Len() <= tolerance {
					found[c]++
					hit = true
				}
			}
			if !hit {
				t.Errorf("step %d finds %v, which is no corner", i+1, d.At)
			}
		}
	}
	for c, given := range x.CornersGiven() {
		want := 1
		if given {
			want = 0
		}
		if found[c] != want {
			t.Errorf("corner %d, given %v: found %d times", c, given, found[c])
		}
	}
}

func TestJoin(t *testing.T) {
	every(t, drill.Join, func(t *testing.T, x *drill.Exercise) {
		all := steps(t, x)
		sentences(t, all)
		edges, _ := firm(all)
		if len(edges) != len(x.Targets) {
			t.Fatalf("%d lines, %d pairs", len(edges), len(x.Targets))
		}
		for i, target := range x.Targets {
			if !same(edges[i].Segment, geom.Segment{A: target.A, B: target.B}) {
				t.Errorf("%s is drawn as %v", target.ID, edges[i])
			}
		}
	})
}

var (
	inner = regexp.MustCompile(`[.!?;]\s`)
	// trade are the words that a step speaks in: at least one in each.
	trade = regexp.MustCompile(`\b(horizon|eye level|points?|edges?|uprights?|corners?|faces?|light lines?|dots?|diagonals?|line|lines|pair|box|boxes|post|posts|station point|measuring points?|cube)\b`)
	// foreign are words that are none of the trade, or that praise.
	foreign = regexp.MustCompile(`(?i)\b(vertex|vertices|vanish point|VPs?|x-axis|y-axis|coordinates?|pixels?|mm|NaN|Inf|great|easy|easily|simply|just|well done)\b`)
)

// sentences checks the words of a construction: each step is one sentence.
func sentences(t *testing.T, all []guide.Step) {
	t.Helper()
	if len(all) < 4 {
		t.Errorf("%d steps", len(all))
	}
	said := map[string]bool{}
	for i, s := range all {
		text := s.Text
		if !strings.HasSuffix(text, ".") || inner.MatchString(text) || text[0] < 'A' || text[0] > 'Z' || strings.Contains(text, "  ") {
			t.Errorf("step %d is not one sentence: %q", i+1, text)
		}
		if !trade.MatchString(text) || foreign.MatchString(text) {
			t.Errorf("step %d is not in words of the trade: %q", i+1, text)
		}
		if len(text) > 190 {
			t.Errorf("step %d is long, %d letters: %q", i+1, len(text), text)
		}
		if said[text] {
			t.Errorf("step %d says again: %q", i+1, text)
		}
		said[text] = true
		for _, l := range s.Lines {
			if !l.A.Finite() || !l.B.Finite() || l.Len() == 0 {
				t.Errorf("step %d draws %v", i+1, l)
			}
		}
		for _, d := range s.Dots {
			if !d.At.Finite() {
				t.Errorf("step %d marks %v", i+1, d)
			}
		}
	}
}

// TestRefusals: what cannot be constructed is said, never drawn.
func TestRefusals(t *testing.T) {
	if _, err := guide.Of(&drill.Exercise{Kind: "other"}); !errors.Is(err, guide.ErrKind) {
		t.Errorf("another kind: %v", err)
	}
	for name, change := range map[string]func(x *drill.Exercise){
		"no box":       func(x *drill.Exercise) { x.Boxes = nil },
		"no horizon":   func(x *drill.Exercise) { x.Horizon = nil },
		"no points":    func(x *drill.Exercise) { x.Points = nil },
		"no edges":     func(x *drill.Exercise) { x.Edges = nil },
		"nothing told": func(x *drill.Exercise) { x.Marks = nil },
		"wild corners": func(x *drill.Exercise) { x.Boxes[0].Corners[3] = 99 },
	} {
		x, err := drill.New(drill.Finish, drill.Two, 5, 1)
		if err != nil {
			t.Fatal(err)
		}
		change(x)
		if _, err := guide.Of(x); !errors.Is(err, guide.ErrGivens) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := guide.Of(&drill.Exercise{Kind: drill.Join}); !errors.Is(err, guide.ErrGivens) {
		t.Errorf("join without dots: %v", err)
	}
}
