package api

import (
	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// minLine is the shortest edge or target that can be asked for, in mm: with
// less there is no direction to draw in.
const minLine = 0.1

// checkExercise asks what can only be asked of the whole exercise: that ids
// are unique, that numbers and ids name something that is there, and that what
// is asked for can be graded.
func (r *reader) checkExercise(x *drill.Exercise) {
	r.checkBoxes(x)
	r.checkPoints(x)
	r.checkEdges(x)
	for i, m := range x.Marks {
		if r.checkCorner(x, m, step{"marks", -1}, step{"", i}); r.err != nil {
			return
		}
	}
	targets := map[string]bool{}
	for i, t := range x.Targets {
		at := []step{{"targets", -1}, {"", i}}
		r.checkID(targets, t.ID, at)
		if (geom.Segment{A: t.A, B: t.B}).Len() < minLine {
			r.failAt(at, "the two dots lie on one another")
		}
		if !t.HasSet {
			continue
		}
		r.checkBox(x, t.Box, at)
		if _, ok := x.Point(t.Box, t.Set); !ok {
			r.failAt(append(at, step{"set", -1}), "points must hold the vanishing point of the %s set of box %d, one at infinity too", t.Set, t.Box)
		}
	}
	r.checkLines(x, targets)
	edges := map[string]bool{}
	for _, e := range x.Edges {
		edges[e.ID] = true
	}
	r.checkBent(x, edges)
	points := map[string]bool{}
	for _, p := range x.Points {
		points[p.ID] = true
	}
	r.checkAsked("edges", x.Asked.Edges, edges)
	r.checkAsked("targets", x.Asked.Targets, targets)
	r.checkAsked("points", x.Asked.Points, points)
	if x.Asked.Horizon && x.Horizon == nil {
		r.failAt([]step{{"asked", -1}, {"horizon", -1}}, "the horizon is asked for, but the exercise has none")
	}
}

// checkID refuses an id that was seen before.
func (r *reader) checkID(seen map[string]bool, id string, at []step) {
	if seen[id] {
		r.failAt(append(at, step{"id", -1}), "the id %q is given twice", id)
	}
	seen[id] = true
}

func (r *reader) checkCorner(x *drill.Exercise, c int, at ...step) {
	if c >= len(x.Corners) {
		r.failAt(at, "there is no corner %d; the exercise has %d, counted from 0", c, len(x.Corners))
	}
}

func (r *reader) checkBox(x *drill.Exercise, b int, at []step) {
	if len(x.Boxes) > 0 && b >= len(x.Boxes) {
		r.failAt(append(at, step{"box", -1}), "there is no box %d; the exercise has %d, counted from 0", b, len(x.Boxes))
	}
}

func (r *reader) checkBoxes(x *drill.Exercise) {
	for i, b := range x.Boxes {
		at := []step{{"boxes", -1}, {"", i}, {"corners", -1}}
		seen := map[int]bool{}
		for j, c := range b.Corners {
			r.checkCorner(x, c, append(at, step{"", j})...)
			if seen[c] {
				r.failAt(at, "corner %d is given twice", c)
			}
			seen[c] = true
		}
	}
}

func (r *reader) checkPoints(x *drill.Exercise) {
	ids := map[string]bool{}
	for i, p := range x.Points {
		at := []step{{"points", -1}, {"", i}}
		r.checkID(ids, p.ID, at)
		r.checkBox(x, p.Box, at)
		for _, q := range x.Points[:i] {
			if q.Box == p.Box && q.Set == p.Set {
				r.failAt(at, "the %s set of box %d has a point already, %q", p.Set, p.Box, q.ID)
			}
		}
	}
}

func (r *reader) checkEdges(x *drill.Exercise) {
	ids := map[string]bool{}
	for i, e := range x.Edges {
		at := []step{{"edges", -1}, {"", i}}
		r.checkID(ids, e.ID, at)
		r.checkBox(x, e.Box, at)
		corners := append(at, step{"corners", -1})
		for j, c := range e.Corners {
			r.checkCorner(x, c, append(corners, step{"", j})...)
		}
		if r.err != nil {
			return
		}
		if x.Segment(e).Len() < minLine {
			r.failAt(corners, "the edge's two corners lie on one another")
		}
		if _, ok := x.Point(e.Box, e.Set); !ok {
			r.failAt(append(at, step{"set", -1}), "points must hold the vanishing point of the %s set of box %d, one at infinity too", e.Set, e.Box)
		}
	}
}

func (r *reader) checkAsked(name string, ids []string, known map[string]bool) {
	seen := map[string]bool{}
	for i, id := range ids {
		at := []step{{"asked", -1}, {name, -1}, {"", i}}
		if !known[id] {
			r.failAt(at, "the exercise has none of its %s with the id %q", name, id)
		}
		if seen[id] {
			r.failAt(at, "%q is asked for twice", id)
		}
		seen[id] = true
	}
}

// checkLines asks that given lines are lines, each with an id of its own.
func (r *reader) checkLines(x *drill.Exercise, ids map[string]bool) {
	for i, l := range x.Lines {
		at := []step{{"lines", -1}, {"", i}}
		r.checkID(ids, l.ID, at)
		if l.Len() < minLine {
			r.failAt(at, "the line's two ends lie on one another")
		}
	}
	for i, e := range x.Edges {
		if e.Drawn != nil && e.Drawn.Len() < minLine {
			r.failAt([]step{{"edges", -1}, {"", i}, {"drawn", -1}}, "the line's two ends lie on one another")
		}
	}
}

// checkBent asks that what is bent is an edge that is drawn.
func (r *reader) checkBent(x *drill.Exercise, edges map[string]bool) {
	seen := map[string]bool{}
	for i, b := range x.Bent {
		at := []step{{"bent", -1}, {"", i}, {"edge", -1}}
		if !edges[b.Edge] {
			r.failAt(at, "the exercise has none of its edges with the id %q", b.Edge)
		}
		if seen[b.Edge] {
			r.failAt(at, "%q is bent twice", b.Edge)
		}
		seen[b.Edge] = true
	}
}
