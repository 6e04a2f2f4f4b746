package grade

import (
	"fmt"
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// edge is one line that may be drawn: an asked edge or target, or a given
// edge that a stroke may retrace.
type edge struct {
	id     string
	box    int
	set    perspective.Set
	hasSet bool
	ends   [2]int // into plan.corners
	to     geom.Point
	segment
}

// segment is an edge's place on the sheet, ready for use.
type segment struct {
	a, b, mid, dir geom.Vec
	len            float64
}

// makeSegment prepares the segment from a to b; one without length takes the
// direction of the point v, or else lies level.
func makeSegment(a, b geom.Vec, v geom.Point) segment {
	s := segment{a: a, b: b, mid: geom.Mid(a, b), len: b.Sub(a).Len()}
	d, ok := b.Sub(a).Unit()
	if !ok {
		if d, ok = v.From(s.mid).Unit(); !ok {
			d = geom.Vec{X: 1}
		}
	}
	s.dir = d
	return s
}

// plan is what an exercise expects, in a form fit for matching: the asked
// lines first, in the exercise's order, then the given edges.
type plan struct {
	edges   []edge
	asked   int
	corners []geom.Vec
	known   []bool  // corners that the learner was shown
	unit    float64 // mm that stand for 1 mm on a sheet 297 mm long
}

// usualSheet is the length in mm of the sheet that the matcher's lengths are
// meant for.
const usualSheet = 297

// What an exercise made elsewhere may contain: sheets in mm, and how far from
// the sheet's corner a point to draw to may lie.
const (
	leastSheet    = 1
	greatestSheet = 100_000
	farthest      = 1e6
	unplaced      = "a point to draw to has finite coordinates within a kilometre"
)

func placed(v geom.Vec) bool { return math.Abs(v.X) <= farthest && math.Abs(v.Y) <= farthest }

// makePlan reads x. It fails, with an ink.InputError, on an exercise whose
// parts do not refer to one another or are not finite.
func makePlan(x *drill.Exercise) (*plan, error) {
	p := &plan{corners: x.Corners, known: make([]bool, len(x.Corners))}
	p.unit = max(x.Sheet.Width, x.Sheet.Height) / usualSheet
	if s := x.Sheet; !(min(s.Width, s.Height) >= leastSheet) || !(max(s.Width, s.Height) <= greatestSheet) {
		return nil, &ink.InputError{Pointer: "/exercise/sheet", Detail: fmt.Sprintf("a sheet is %d to %d mm wide and high", leastSheet, greatestSheet)}
	}
	for i, c := range x.Corners {
		if !placed(c) {
			return nil, &ink.InputError{Pointer: fmt.Sprintf("/exercise/corners/%d", i), Detail: unplaced}
		}
	}
	if err := p.addEdges(x); err != nil {
		return nil, err
	}
	for _, m := range x.Marks {
		if m < 0 || m >= len(x.Corners) {
			return nil, &ink.InputError{Pointer: "/exercise/marks", Detail: "a mark is the number of a corner"}
		}
		p.known[m] = true
	}
	return p, p.addTargets(x)
}

// addEdges lists the asked edges, then the given ones. An exercise that asks
// for nothing by name asks for every edge that is not given.
func (p *plan) addEdges(x *drill.Exercise) error {
	asked := make(map[string]bool, len(x.Asked.Edges))
	for _, id := range x.Asked.Edges {
		asked[id] = true
	}
	all := len(x.Asked.Edges) == 0 && len(x.Asked.Targets) == 0
	p.edges = make([]edge, 0, len(x.Edges)+len(x.Targets))
	for pass := range 2 {
		for i, e := range x.Edges {
			want := asked[e.ID] || all && !e.Given
			if want != (pass == 0) || !want && !e.Given {
				continue
			}
			for _, c := range e.Corners {
				if c < 0 || c >= len(x.Corners) {
					return &ink.InputError{Pointer: fmt.Sprintf("/exercise/edges/%d/corners", i), Detail: "an edge joins two of the exercise's corners"}
				}
			}
			if e.Set > perspective.Height {
				return &ink.InputError{Pointer: fmt.Sprintf("/exercise/edges/%d/set", i), Detail: "a set is width, depth or height"}
			}
			if !want {
				p.known[e.Corners[0]], p.known[e.Corners[1]] = true, true
			}
			v := pointOf(x, e)
			p.edges = append(p.edges, edge{id: e.ID, box: e.Box, set: e.Set, hasSet: true, ends: e.Corners, to: v,
				segment: makeSegment(x.Corners[e.Corners[0]], x.Corners[e.Corners[1]], v)})
		}
		if pass == 0 {
			p.asked = len(p.edges)
		}
	}
	return nil
}

// addTargets lists the asked pairs of dots. They are asked, so they come
// before given edges; a drill with targets has none of those.
func (p *plan) addTargets(x *drill.Exercise) error {
	asked := make(map[string]bool, len(x.Asked.Targets))
	for _, id := range x.Asked.Targets {
		asked[id] = true
	}
	given := p.edges[p.asked:]
	var add []edge
	for i, t := range x.Targets {
		if len(x.Asked.Targets) > 0 && !asked[t.ID] {
			continue
		}
		if !placed(t.A) || !placed(t.B) {
			return &ink.InputError{Pointer: fmt.Sprintf("/exercise/targets/%d", i), Detail: unplaced}
		}
		v := geom.Toward(t.B.Sub(t.A))
		n := len(p.corners)
		p.corners = append(p.corners[:n:n], t.A, t.B)
		p.known = append(p.known, true, true)
		add = append(add, edge{id: t.ID, ends: [2]int{n, n + 1}, to: v, segment: makeSegment(t.A, t.B, v)})
	}
	if len(add) > 0 {
		p.edges = append(append(p.edges[:p.asked:p.asked], add...), given...)
		p.asked += len(add)
	}
	return nil
}

// pointOf returns the vanishing point of e: the listed one, or the point
// where the true edges of its set meet.
func pointOf(x *drill.Exercise, e drill.Edge) geom.Point {
	if p, ok := x.Point(e.Box, e.Set); ok {
		v := p.At.Canonical()
		if v.Finite() && max(math.Abs(v.X), math.Abs(v.Y)) > parallelMM {
			v = geom.Toward(geom.Vec{X: v.X, Y: v.Y})
		}
		if v != (geom.Point{}) {
			return v
		}
	}
	var rays []ray
	for _, o := range x.Edges {
		if o.Box != e.Box || o.Set != e.Set || min(o.Corners[0], o.Corners[1]) < 0 || max(o.Corners[0], o.Corners[1]) >= len(x.Corners) {
			continue
		}
		s := makeSegment(x.Corners[o.Corners[0]], x.Corners[o.Corners[1]], geom.Point{})
		if s.len > 0 {
			rays = append(rays, ray{at: s.mid, dir: s.dir, sd: 1e-6})
		}
	}
	if len(rays) > 1 {
		if f, ok := meet(rays, nil); ok {
			return f.point(trueParallel)
		}
	}
	return geom.Toward(x.Corners[e.Corners[1]].Sub(x.Corners[e.Corners[0]]))
}

// trueParallel is the inverse distance, in 1/mm, below which true edges are
// taken for parallel: a point a kilometre away.
const trueParallel = 1e-6
