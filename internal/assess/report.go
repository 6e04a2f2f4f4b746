package assess

import (
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

// Count is how many of some things have a property.
type Count struct{ With, Of int }

func (c *Count) add(with bool) {
	c.Of++
	if with {
		c.With++
	}
}

func (c *Count) merge(d Count) { c.With += d.With; c.Of += d.Of }

// Report is what grades amount to against the truth. The zero Report is
// empty; its size does not grow with the drawings.
type Report struct {
	Drawings int
	Score    int // sum of the scores

	// Drawings of a given box.
	Strokes Count // strokes meant for an edge that were taken for it
	Edges   Count // drawn edges that got one of their strokes
	Others  Count // strokes meant for no edge that were taken for none

	FreeStrokes Count // strokes of free drawings that lie in the set of their fellows

	FalseFindings Count            // faultless drawings with a finding
	Found         map[string]Count // by kind of fault: drawings with a finding

	// Direction is the difference between measured and drawn direction of
	// strokes that make a line by themselves, by pointer.
	Direction map[ink.Pointer]*Spread

	// Straight strokes of plain drawings: the largest difference of the error,
	// in degrees, and of the miss distance, in parts of itself.
	Straight              int
	WorstError, WorstMiss float64
}

// Add counts one graded drawing.
func (r *Report) Add(x *drill.Exercise, a *grade.Attempt, g *grade.Grade, t Truth) {
	r.Drawings++
	r.Score += g.Score
	r.findings(g, t)
	if x.Kind == drill.Free {
		r.free(g, t)
		return
	}
	r.matching(g, t)
	r.directions(a, g, t)
	if t.Plain {
		r.straight(g, t)
	}
}

// taken returns the edge that each of n strokes was taken for, "" for none.
func taken(g *grade.Grade, n int) []string {
	got := make([]string, n)
	for _, l := range g.Lines {
		for _, s := range l.Strokes {
			if s < n && l.Role == ink.RoleEdge {
				got[s] = l.Edge
			}
		}
	}
	return got
}

func (r *Report) matching(g *grade.Grade, t Truth) {
	meant := t.meant()
	got := taken(g, len(meant))
	drawn := map[string]bool{}
	for i, e := range meant {
		if e == "" {
			r.Others.add(got[i] == "")
			continue
		}
		r.Strokes.add(got[i] == e)
		drawn[e] = drawn[e] || got[i] == e
	}
	for _, right := range drawn {
		r.Edges.add(right)
	}
}

func (r *Report) findings(g *grade.Grade, t Truth) {
	proven := false
	for _, f := range g.Findings {
		proven = proven || f.P > 0 // a fact such as a missing edge has no p
	}
	switch t.Fault.Kind {
	case "": // not told
	case "none":
		r.FalseFindings.add(proven)
	default:
		if r.Found == nil {
			r.Found = map[string]Count{}
		}
		c := r.Found[t.Fault.Kind]
		c.add(proven)
		r.Found[t.Fault.Kind] = c
	}
}

// permutations are the ways in which three sets may bear each other's names.
var permutations = [6][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}}

// free counts the strokes of a free drawing that were put into the set of
// their fellows. Which set is called what is not counted.
func (r *Report) free(g *grade.Grade, t Truth) {
	got := make([]int, len(t.Strokes))
	for i := range got {
		got[i] = -1
	}
	for _, l := range g.Lines {
		for _, s := range l.Strokes {
			if l.HasSet && s < len(got) {
				got[s] = int(l.Set)
			}
		}
	}
	var best Count
	for _, p := range permutations {
		var c Count
		for i, s := range t.Strokes {
			if s.Edge != nil && s.Set != nil && *s.Set >= 0 && *s.Set < 3 {
				c.add(got[i] == p[*s.Set])
			}
		}
		if c.With >= best.With {
			best = c
		}
	}
	r.FreeStrokes.merge(best)
}

func (r *Report) directions(a *grade.Attempt, g *grade.Grade, t Truth) {
	for _, l := range g.Lines {
		if len(l.Strokes) != 1 || l.Strokes[0] >= len(t.Strokes) {
			continue
		}
		s := t.Strokes[l.Strokes[0]]
		if s.Edge == nil || s.PathErr == nil || *s.Edge != l.Edge {
			continue
		}
		if r.Direction == nil {
			r.Direction = map[ink.Pointer]*Spread{}
		}
		p := a.Input.Pointer
		if r.Direction[p] == nil {
			r.Direction[p] = new(Spread)
		}
		r.Direction[p].add(math.Remainder(l.Error.Degrees()-*s.PathErr, 180))
	}
}

func (r *Report) straight(g *grade.Grade, t Truth) {
	for _, l := range g.Lines {
		if len(l.Strokes) != 1 || l.Strokes[0] >= len(t.Lines) {
			continue
		}
		want := t.Lines[l.Strokes[0]]
		r.Straight++
		r.WorstError = max(r.WorstError, math.Abs(math.Remainder(l.Error.Degrees()-want.Error, 180)))
		if want.Miss != nil && l.Miss != nil && *want.Miss > 0 {
			r.WorstMiss = max(r.WorstMiss, math.Abs(*l.Miss / *want.Miss - 1))
		}
	}
}

// Merge adds what another Report counted.
func (r *Report) Merge(o *Report) {
	r.Drawings += o.Drawings
	r.Score += o.Score
	r.Strokes.merge(o.Strokes)
	r.Edges.merge(o.Edges)
	r.Others.merge(o.Others)
	r.FreeStrokes.merge(o.FreeStrokes)
	r.FalseFindings.merge(o.FalseFindings)
	for kind, c := range o.Found {
		if r.Found == nil {
			r.Found = map[string]Count{}
		}
		c.merge(r.Found[kind])
		r.Found[kind] = c
	}
	for p, s := range o.Direction {
		if r.Direction == nil {
			r.Direction = map[ink.Pointer]*Spread{}
		}
		if r.Direction[p] == nil {
			r.Direction[p] = new(Spread)
		}
		r.Direction[p].merge(s)
	}
	r.Straight += o.Straight
	r.WorstError, r.WorstMiss = max(r.WorstError, o.WorstError), max(r.WorstMiss, o.WorstMiss)
}
