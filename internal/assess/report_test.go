package assess

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

func edge(strokes []int, id string, degrees float64) grade.Line {
	return grade.Line{Strokes: strokes, Edge: id, Role: ink.RoleEdge, Error: geom.Degrees(degrees)}
}

func truth(t *testing.T, doc string) Truth {
	t.Helper()
	got, err := ReadTruth([]byte(`{"exercise":1,"truth":` + doc + `}`))
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// TestMatching counts a drawing of which every figure is known: five strokes,
// one of them taken for another edge, one of two strays taken for an edge.
func TestMatching(t *testing.T) {
	var r Report
	r.Add(&drill.Exercise{Kind: drill.Finish}, &grade.Attempt{Input: ink.Input{Pointer: ink.Pen}}, &grade.Grade{
		Score: 40,
		Lines: []grade.Line{
			edge([]int{0, 1}, "e0", 1), edge([]int{2}, "e2", 3), edge([]int{4}, "e3", 2.5), edge([]int{5}, "e4", 0),
			{Strokes: []int{3}, Role: ink.RoleConstruction},
		},
	}, truth(t, `{"fault":{"kind":"lean"},"strokes":[{"edge":"e0"},{"edge":"e0"},{"edge":"e1","path_err_deg":1},{"edge":null},
		{"edge":"e3","path_err_deg":2.3},{"edge":null},{"edge":"e5"}]}`))
	if r.Strokes != (Count{3, 5}) || r.Edges != (Count{2, 4}) || r.Others != (Count{1, 2}) {
		t.Errorf("strokes %v, edges %v, others %v", r.Strokes, r.Edges, r.Others)
	}
	if r.Drawings != 1 || r.Score != 40 || r.Found["lean"] != (Count{0, 1}) || r.FalseFindings != (Count{}) {
		t.Errorf("%+v", r)
	}
	// Only the stroke for e3 makes a line by itself on its right edge.
	if s := r.Direction[ink.Pen]; s.N != 1 || math.Abs(s.SD()-robust*0.2) > robust*spreadBin {
		t.Errorf("direction of %d: %g", s.N, s.SD())
	}
}

// TestFindings: a fact is no finding, a proven fault is.
func TestFindings(t *testing.T) {
	for _, c := range []struct {
		finding      grade.Finding
		doc          string
		faulty, none Count
	}{
		{grade.Finding{}, `{"fault":{"kind":"none"}}`, Count{}, Count{0, 1}},
		{grade.Finding{P: .001}, `{"fault":{"kind":"none"}}`, Count{}, Count{1, 1}},
		{grade.Finding{P: .001}, `{"fault":null}`, Count{}, Count{1, 1}},
		{grade.Finding{P: .001}, `{"fault":{"kind":"early"}}`, Count{1, 1}, Count{}},
		{grade.Finding{P: .001}, `{}`, Count{}, Count{}},
	} {
		var r Report
		r.Add(&drill.Exercise{}, &grade.Attempt{}, &grade.Grade{Findings: []grade.Finding{c.finding}}, truth(t, c.doc))
		if r.Found["early"] != c.faulty || r.FalseFindings != c.none {
			t.Errorf("%s: %+v", c.doc, r)
		}
	}
}

// TestFree: what the sets are called does not count, who is with whom does.
func TestFree(t *testing.T) {
	line := func(s int, k perspective.Set) grade.Line { return grade.Line{Strokes: []int{s}, Set: k, HasSet: true} }
	var r Report
	r.Add(&drill.Exercise{Kind: drill.Free}, &grade.Attempt{}, &grade.Grade{Lines: []grade.Line{
		line(0, perspective.Depth), line(1, perspective.Depth), line(2, perspective.Width), line(3, perspective.Depth), line(4, perspective.Height),
	}}, truth(t, `{"strokes":[{"edge":"a","set":0},{"edge":"b","set":0},{"edge":"c","set":1},{"edge":"d","set":1},{"edge":"e","set":2},{"edge":"f","set":2},{"edge":null}]}`))
	if r.FreeStrokes != (Count{4, 6}) {
		t.Errorf("%v", r.FreeStrokes)
	}
}

// TestStraight finds the largest differences, and only on plain drawings.
func TestStraight(t *testing.T) {
	miss := 10.1
	g := &grade.Grade{Lines: []grade.Line{edge([]int{0}, "e4", 2.5), edge([]int{1}, "e7", -89.9)}}
	g.Lines[0].Miss = &miss
	doc := `"lines":[{"edge":4,"angle_error_deg":2.4,"vp_miss_mm":10},{"edge":7,"angle_error_deg":89.95}]}`
	var r Report
	r.Add(&drill.Exercise{}, &grade.Attempt{}, g, truth(t, `{"plain":true,`+doc))
	if r.Straight != 2 || math.Abs(r.WorstError-0.15) > 1e-9 || math.Abs(r.WorstMiss-0.01) > 1e-9 || r.Strokes != (Count{2, 2}) {
		t.Errorf("%+v", r)
	}
	r = Report{}
	r.Add(&drill.Exercise{}, &grade.Attempt{}, g, truth(t, `{"plain":false,`+doc))
	if r.Straight != 0 || r.WorstError != 0 {
		t.Errorf("%+v", r)
	}
}

// TestSpread: the robust deviation of normal numbers is theirs, and a few wild
// ones do not matter.
func TestSpread(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var s Spread
	for range 20000 {
		s.add(0.3 * r.NormFloat64())
	}
	if sd := s.SD(); math.Abs(sd-0.3) > 0.01 { // five standard errors of a median of 20,000
		t.Errorf("sd %g of 0.3", sd)
	}
	for range 200 {
		s.add(1e6)
	}
	if sd := s.SD(); sd > 0.31 {
		t.Errorf("with 1 %% wild ones %g", sd)
	}
	if sd := new(Spread).SD(); sd != 0 {
		t.Errorf("of nothing %g", sd)
	}
}

// TestCheck: a truth of more or fewer strokes belongs to another drawing.
func TestCheck(t *testing.T) {
	for doc, n := range map[string]int{`{}`: 3, `{"strokes":[{},{}]}`: 2, `{"lines":[{}]}`: 1} {
		tr := truth(t, doc)
		if err := tr.Check(n); err != nil {
			t.Errorf("%s: %v", doc, err)
		}
		if err := tr.Check(n + 1); (err == nil) != (doc == `{}`) {
			t.Errorf("%s with one stroke more: %v", doc, err)
		}
	}
}

func TestReadTruthRefuses(t *testing.T) {
	if _, err := ReadTruth([]byte(`{"exercise":{}}`)); !errors.Is(err, ErrNoTruth) {
		t.Errorf("no truth: %v", err)
	}
	if _, err := ReadTruth([]byte(`{"truth":{"strokes":3}}`)); err == nil {
		t.Error("a wrong truth is taken")
	}
}
