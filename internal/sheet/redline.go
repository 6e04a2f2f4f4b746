package sheet

import (
	"fmt"
	"slices"
	"strconv"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

// Redline lays out the correction of attempt a, graded as g: the sheet as it
// was, what was withheld, the true lines with their rays, the learner's ink,
// and a mark on every line outside the band.
func Redline(x *drill.Exercise, a *grade.Attempt, g *grade.Grade) Drawing {
	d := newDrawing(x.Sheet, "sheet redline")
	d.Title = "Redline: " + name(x)
	d.Desc = summary(x, g)
	l := newLayout(&d, x)
	given(l)
	l.reveal()
	truth := l.trueLines(g.Missing)
	l.rays()
	l.ink(a, g)
	l.notes(g, truth)
	return d
}

// summary says the redline in a few words.
func summary(x *drill.Exercise, g *grade.Grade) string {
	outside := 0
	for _, n := range g.Lines {
		if n.Outside {
			outside++
		}
	}
	s := fmt.Sprintf("%s, %d marked.", count(len(g.Lines), "line drawn", "lines drawn"), outside)
	if n := len(g.Missing); n > 0 {
		s += " " + count(n, "line is missing.", "lines are missing.")
	}
	return s
}

// reveal adds what was withheld from the learner: the eye level and points.
func (l *layout) reveal() {
	hz := l.x.Horizon
	hidden := hz != nil && !hz.Shown
	if hidden {
		l.horizon()
	}
	for _, p := range l.x.Points {
		if !p.Shown {
			l.point(p)
		}
	}
	if hidden {
		l.horizonLabel()
	}
}

// trueLines draws the asked edges and targets as they should run, those that
// are missing with emphasis, and returns them all.
func (l *layout) trueLines(missing []string) []geom.Segment {
	var all []geom.Segment
	draw := func(id string, h Hue, title string, s geom.Segment) {
		all = append(all, s)
		g := Group{Style: TrueLine, Set: h, Where: Anywhere, Edge: id, Title: title, Marks: []Mark{Segments{s}}}
		if slices.Contains(missing, id) {
			l.d.add(layerTrue, Group{Style: MissingGlow, Set: h, Where: Anywhere, Edge: id, Marks: g.Marks})
			g.Style, g.Title = MissingLine, title+", missing"
		}
		l.d.add(layerTrue, g)
	}
	for _, e := range l.x.Edges {
		if slices.Contains(l.x.Asked.Edges, e.ID) {
			draw(e.ID, HueOf(e.Set), "true "+e.Set.String()+" line", l.x.Segment(e))
		}
	}
	for i, t := range l.x.Targets {
		if slices.Contains(l.x.Asked.Targets, t.ID) {
			draw(t.ID, NoSet, "pair "+strconv.Itoa(i+1)+", dot to dot", geom.Segment{A: t.A, B: t.B})
		}
	}
	return all
}

// rays draws, from every asked edge, the way on to its vanishing point.
func (l *layout) rays() {
	wide := frame(l.x.Sheet, Wide)
	for _, p := range l.x.Points {
		at, ok := p.At.Vec()
		if !ok || !at.Finite() {
			continue
		}
		var in, out Segments
		for _, e := range l.x.Edges {
			if e.Box != p.Box || e.Set != p.Set || !slices.Contains(l.x.Asked.Edges, e.ID) {
				continue
			}
			s := l.x.Segment(e)
			if at.Sub(s.A).Len() < at.Sub(s.B).Len() {
				s.A, s.B = s.B, s.A
			}
			i, o := split(geom.Segment{A: s.B, B: at}, l.paper, wide)
			in, out = append(in, i...), append(out, o...)
		}
		g := Group{Style: Ray, Set: HueOf(p.Set), Where: Anywhere, Marks: []Mark{in}}
		l.d.add(layerRays, g)
		g.Board, g.Where, g.Marks = true, Wide, []Mark{out}
		l.d.add(layerRays, g)
	}
}

// ink draws the learner's strokes, those of one graded line in one group.
func (l *layout) ink(a *grade.Attempt, g *grade.Grade) {
	all := traces(a.Strokes)
	used := make([]bool, len(all))
	for i, s := range a.Strokes { // construction lies below the firm lines
		if s.Role == ink.RoleConstruction {
			used[i] = true
			l.traced(Group{Style: InkConstruction, Title: "construction line"}, all[i])
		}
	}
	for _, n := range g.Lines {
		var own []Trace
		for _, i := range n.Strokes {
			if i >= 0 && i < len(all) && !used[i] {
				used[i] = true
				own = append(own, all[i])
			}
		}
		h := NoSet
		if n.HasSet {
			h = HueOf(n.Set)
		}
		l.traced(Group{Style: InkLine, Set: h, Edge: n.Edge, Title: l.lineWords(n)}, own...)
	}
	for i := range all {
		if !used[i] {
			l.traced(Group{Style: InkUnmatched, Title: "no edge asked for"}, all[i])
		}
	}
}

// traced adds traces as a group, what runs off the sheet as one of its own on
// the board.
func (l *layout) traced(g Group, all ...Trace) {
	var on, off []Mark
	for _, t := range all {
		for _, p := range t.parts(l.paper) {
			if p.off {
				off = append(off, p.Trace)
			} else {
				on = append(on, p.Trace)
			}
		}
	}
	g.Where, g.Marks = Anywhere, on
	l.d.add(layerInk, g)
	g.Where, g.Board, g.Marks = Screen, true, off
	l.d.add(layerInk, g)
}

// lineWords says one graded line in words.
func (l *layout) lineWords(n grade.Line) string {
	s := "your line"
	if n.HasSet {
		s = "your " + n.Set.String() + " line"
	} else {
		for i, t := range l.x.Targets {
			if t.ID == n.Edge {
				s = "your line of pair " + strconv.Itoa(i+1)
			}
		}
	}
	s += ", " + Signed(n.Error)
	if !n.Outside {
		s += ", within the band"
	}
	return s
}
