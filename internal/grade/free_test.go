package grade

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// sorted counts how lines were told apart into sets.
type sorted struct{ strokes, right, lines, linesRight int }

func (s *sorted) merge(o sorted) {
	s.strokes += o.strokes
	s.right += o.right
	s.lines += o.lines
	s.linesRight += o.linesRight
}

// sortedBy compares the sets in g with the meant ones, -1 for none, of the
// strokes, under the naming that suits best: a line, all strokes of one meant
// edge, is right when all of it is.
func sortedBy(edge []string, want []int, g *Grade) (best sorted) {
	got := make([]int, len(want))
	for i := range got {
		got[i] = -1
	}
	for _, l := range g.Lines {
		if l.Role == ink.RoleEdge {
			for _, s := range l.Strokes {
				got[s] = int(l.Set)
			}
		}
	}
	for _, p := range [6][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
		var s sorted
		lines := map[string]bool{}
		for i, w := range want {
			if w < 0 {
				continue
			}
			s.strokes++
			right := got[i] >= 0 && p[got[i]] == w
			if right {
				s.right++
			}
			if old, seen := lines[edge[i]]; !seen || old {
				lines[edge[i]] = right
			}
		}
		for _, right := range lines {
			s.lines++
			if right {
				s.linesRight++
			}
		}
		if s.right >= best.right {
			best = s
		}
	}
	return best
}

// freeDocuments reads the published free drawings with their meaning.
func freeDocuments(t *testing.T, each func(x *drill.Exercise, d simDrawing, want []int)) {
	t.Helper()
	n := 0
	for _, d := range documents(t, "hands.jsonl.gz") {
		if d.Exercise.Drill != drill.Free {
			continue
		}
		n++
		x, s := d.exercise(), simDrawing{d.attempt(), d.meant()}
		each(x, s, s.meantSets(x))
	}
	if n != 14 {
		t.Fatalf("%d free drawings, want 14", n)
	}
}

func TestFreeSetsOfPublishedHands(t *testing.T) {
	var all sorted
	named := 0
	freeDocuments(t, func(x *drill.Exercise, d simDrawing, want []int) {
		g := regrade(t, x, d.a)
		s := sortedBy(d.edge, want, g)
		all.merge(s)
		if s.right < s.strokes {
			t.Logf("%s: %d of %d strokes", x.ID, s.right, s.strokes)
		}
		right := 0
		for _, l := range g.Lines {
			if l.Role == ink.RoleEdge && want[l.Strokes[0]] == int(l.Set) {
				right++
			}
		}
		if right > 6 {
			named++
		} else {
			t.Logf("%s: width and depth the other way", x.ID)
		}
	})
	t.Logf("strokes %.2f %% of %d, lines %.2f %% of %d, named alike %d", share(all.right, all.strokes), all.strokes,
		share(all.linesRight, all.lines), all.lines, named)
	if share(all.right, all.strokes) < 97.8 || share(all.linesRight, all.lines) < 97.8 {
		t.Error("want 97.8 % of strokes and lines")
	}
	if named < 13 {
		t.Error("the naming does not follow its rule")
	}
}

// eachFree makes n drawings by each simulated hand; every fifth has a fault.
func eachFree(n int, seed uint64, do func(h simHand, x *drill.Exercise, s perspective.Station, d simDrawing)) {
	r := rand.New(rand.NewPCG(seed, 11))
	views := [3]drill.View{drill.One, drill.Two, drill.Three}
	for _, h := range simHands {
		for i := range n {
			x, s := simFree(r, views[i%3])
			var f *simFault
			if i%5 == 0 {
				f = &simFault{set: perspective.Set(r.IntN(3)), turn: float64(geom.Degrees(4 * r.NormFloat64())), early: .001 * r.NormFloat64()}
			}
			do(h, x, s, h.draw(r, x, f))
		}
	}
}

func TestFreeSetsOfSimulatedHands(t *testing.T) {
	var all sorted
	by := map[string]*sorted{}
	views := map[drill.View]*sorted{}
	eachFree(60, 5, func(h simHand, x *drill.Exercise, _ perspective.Station, d simDrawing) {
		s := sortedBy(d.edge, d.meantSets(x), regrade(t, x, d.a))
		all.merge(s)
		if by[h.name] == nil {
			by[h.name] = new(sorted)
		}
		if views[x.View] == nil {
			views[x.View] = new(sorted)
		}
		by[h.name].merge(s)
		views[x.View].merge(s)
	})
	for _, h := range simHands {
		s := by[h.name]
		t.Logf("%-9s strokes %.2f %% of %d, lines %.2f %% of %d", h.name, share(s.right, s.strokes), s.strokes, share(s.linesRight, s.lines), s.lines)
	}
	for v, s := range views {
		t.Logf("%-9s strokes %.2f %%, lines %.2f %%", v, share(s.right, s.strokes), share(s.linesRight, s.lines))
	}
	t.Logf("all: strokes %.2f %%, lines %.2f %% of %d", share(all.right, all.strokes), share(all.linesRight, all.lines), all.lines)
	if share(all.right, all.strokes) < 97.8 {
		t.Error("want 97.8 %")
	}
}

// The exercise's own box, points and horizon are the hand's intention: another
// one in their place changes nothing.
func TestFreeReadsTheStrokesAlone(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	freeDocuments(t, func(x *drill.Exercise, d simDrawing, _ []int) {
		g := regrade(t, x, d.a)
		for _, v := range [3]drill.View{drill.One, drill.Two, drill.Three} {
			y, _ := simFree(r, v)
			y.ID, y.Sheet = x.ID, x.Sheet
			if h := regrade(t, y, d.a); !reflect.DeepEqual(g, h) {
				t.Errorf("%s: another box, another grade", x.ID)
			}
		}
		y := &drill.Exercise{ID: x.ID, Kind: drill.Free, Sheet: x.Sheet}
		if h := regrade(t, y, d.a); !reflect.DeepEqual(g, h) {
			t.Errorf("%s: no box, another grade", x.ID)
		}
	})
}

// Order and direction of the strokes change nothing.
func TestFreeLawOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 3))
	eachFree(9, 8, func(h simHand, x *drill.Exercise, _ perspective.Station, d simDrawing) {
		g := regrade(t, x, d.a)
		b := *d.a
		b.Strokes = nil
		for _, i := range r.Perm(len(d.a.Strokes)) {
			b.Strokes = append(b.Strokes, d.a.Strokes[i])
		}
		// The points are found by iteration, to about 1e-7.
		same(t, g, regrade(t, x, &b), 1, 3e-6)
		if t.Failed() {
			t.Fatal(h.name)
		}
	})
}

// perfect draws x faultlessly, with a pen that reports every half millimetre.
func perfect(x *drill.Exercise) *Attempt {
	a := &Attempt{Input: ink.Input{Pointer: ink.Pen}}
	for _, e := range x.Edges {
		g := x.Segment(e)
		n := int(2*g.Len()) + 2
		var s ink.Stroke
		for k := range n {
			q := g.A.Add(g.B.Sub(g.A).Scale(float64(k) / float64(n-1)))
			s.X, s.Y = append(s.X, q.X), append(s.Y, q.Y)
		}
		a.Strokes = append(a.Strokes, s)
	}
	return a
}

// A drawing that is a true projection has the score 100, no findings, the
// true horizon, and where the view determines them camera and proportions.
func TestFreePerfectDrawing(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	told := 0
	for i := range 120 {
		view := [3]drill.View{drill.One, drill.Two, drill.Three}[i%3]
		x, s := simFree(r, view)
		g := regrade(t, x, perfect(x))
		if g.Score != 100 || len(g.Missing)+len(g.Unmatched) > 0 {
			t.Fatalf("%d %s: score %d, missing %v, unmatched %v", i, view, g.Score, g.Missing, g.Unmatched)
		}
		for _, f := range g.Findings {
			t.Errorf("%d: %+v", i, f)
		}
		if g.HorizonError == nil || !(math.Abs(g.HorizonError.Degrees()) < 0.1) {
			t.Errorf("%d %s: horizon %v", i, view, g.HorizonError)
		}
		c := g.Camera
		if c == nil {
			t.Errorf("%d %s: no camera", i, view)
			continue
		}
		within := func(what string, f *Figure, want float64) {
			if f == nil {
				return
			}
			if told++; !(math.Abs(f.Value-want) < 4*f.SE) {
				t.Errorf("%d %s: %s %+v, want %v", i, view, what, *f, want)
			}
		}
		within("x", c.X, s.Principal.X)
		within("y", c.Y, s.Principal.Y)
		within("distance", c.Distance, s.Distance)
		if p := g.Proportions; p != nil {
			want := x.Boxes[0].Proportions
			// width and depth are named from the sheet
			off := func(a, b int) float64 {
				return max(math.Abs(p[1]-want[b]/want[a])/g.ProportionsSE[1], math.Abs(p[2]-want[2]/want[a])/g.ProportionsSE[2])
			}
			if told++; !(min(off(0, 1), off(1, 0)) < 4) {
				t.Errorf("%d %s: proportions %v +- %v, want %v", i, view, *p, *g.ProportionsSE, want)
			}
		}
		switch {
		case view == drill.One && (c.Distance != nil || g.Proportions != nil):
			t.Errorf("%d: a viewing distance of a one-point view", i)
		case view == drill.One && (c.X == nil || c.Y == nil):
			t.Errorf("%d: a one-point view without its point", i)
		case view == drill.Two && c.X != nil:
			t.Errorf("%d: a place along the horizon of a two-point view", i)
		case view == drill.Two && c.Y == nil:
			t.Errorf("%d: a two-point view without its horizon", i)
		case view == drill.Three && (c.X == nil || c.Y == nil || c.Distance == nil || g.Proportions == nil):
			t.Errorf("%d: three points do not tell %+v", i, c)
		}
	}
	if told < 200 {
		t.Errorf("only %d numbers told", told)
	}
}

// Lines are named by set and order, each once, and what is missing goes on
// with the numbers.
func TestFreeNames(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 9))
	x, _ := simFree(r, drill.Two)
	a := &Attempt{Input: ink.Input{Pointer: ink.Ruler}}
	for i, e := range x.Edges {
		if g := x.Segment(e); i != 5 {
			a.Strokes = append(a.Strokes, segmentStroke(g.A, g.B))
		}
	}
	g := regrade(t, x, a)
	var ids []string
	for _, l := range g.Lines {
		ids = append(ids, l.Edge)
	}
	all := append(slices.Clone(ids), g.Missing...)
	slices.Sort(all)
	want := []string{"depth-1", "depth-2", "depth-3", "depth-4", "height-1", "height-2", "height-3", "height-4", "width-1", "width-2", "width-3", "width-4"}
	if !slices.Equal(all, want) || len(g.Missing) != 1 || g.Missing[0][len(g.Missing[0])-1] != '4' {
		t.Errorf("%v, missing %v", ids, g.Missing)
	}
	if len(g.Findings) != 1 || g.Findings[0].Code != CodeMissing {
		t.Errorf("findings %+v", g.Findings)
	}
}
