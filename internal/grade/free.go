package grade

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// freeDrawing is the grading of a free drawing: of the exercise nothing but
// the sheet's size is known, the strokes alone say which box they mean, and
// each line is held against the point in which its own set meets.
//
// Of the two level sets, depth is the one whose point lies to the right, as
// told by the set that converges more clearly; where one of them runs level
// and parallel while the other meets before the drawing (a one-point view),
// the parallel one is width. Edges are named by set and order: width and
// depth lines from the top down, height lines from the left, as width-1.
//
// A free drawing costs about five times what a given box does, and seven
// times what fitting lines to its strokes does. A third of that is finding
// the sets, where grouping fits only the subsets that could be part of the
// best way; a fifth is trying ways as boxes, a seventh the camera with its
// uncertainties, a twelfth matching the strokes to the box.
type freeDrawing struct {
	work
	traces []trace
	named  [3]meeting // in the order of perspective.Sets
	framed bool
	noise  noise
}

// meeting is one set of a free drawing.
type meeting struct {
	lines  []int // into work.drawn
	fitted pencil
	sure   bool // the lines determine the pencil
}

// gradeFree grades a free drawing.
func gradeFree(x *drill.Exercise, a *Attempt, h Hand) (*Grade, error) {
	unit := max(x.Sheet.Width, x.Sheet.Height) / usualSheet
	if !(unit > 0) || math.IsInf(unit, 0) {
		return nil, &ink.InputError{Pointer: "/exercise/sheet", Detail: "a sheet has a positive size"}
	}
	f := freeDrawing{work: work{x: &drill.Exercise{Sheet: x.Sheet}, a: a, hand: h, plan: &plan{unit: unit}, g: &Grade{Attempt: a.ID, Exercise: a.Exercise}}}
	if f.g.Exercise == "" {
		f.g.Exercise = x.ID
	}
	if h.known() {
		sd := h.SD
		f.g.Hand = &sd
	}
	f.read()
	f.meet()
	f.measure()
	f.gradeFreeSets()
	f.g.Scatter = handScatter(f.bundles, nil)
	v := f.look()
	f.g.Findings = f.freeFindings(v)
	return f.g, nil
}

// edgeLine is a line with the edge it was taken for.
type edgeLine struct {
	edge int
	drawn
}

// read tells the sets apart and plans the box that they make.
func (f *freeDrawing) read() {
	traces, lines, dots := readTraces(f.a)
	f.g.Unmatched = dots
	least := shortest * f.plan.unit
	for _, t := range traces {
		if t.Length >= least {
			f.traces = append(f.traces, t)
		} else {
			f.g.Unmatched = append(f.g.Unmatched, t.stroke)
		}
	}
	t := tell(f.traces, f.a.Input.Pointer, f.plan.unit)
	names := nameSets(&t, f.x.Sheet)
	var m *matching
	var drawn []edgeLine
	if f.framed = t.framed; f.framed {
		f.plan = t.frame.plan(t.at, names, f.plan.unit)
		m = match(f.plan, f.traces)
		drawn = m.lines(f.a.Input.Pointer)
	} else {
		drawn = f.planLoose(&t, names)
	}
	f.name(drawn)
	used := map[int]bool{}
	for _, d := range drawn {
		for _, s := range d.strokes {
			used[s] = true
		}
		f.drawn = append(f.drawn, d.drawn)
		f.of = append(f.of, d.edge)
	}
	f.rest(used, lines)
}

// lines returns what was matched, merged edge by edge.
func (m *matching) lines(p ink.Pointer) (all []edgeLine) {
	for e := range m.plan.asked {
		var ts []*trace
		for i := range m.t {
			if m.edge[i] == e {
				ts = append(ts, m.t[i].pieces()...)
			}
		}
		if len(ts) > 0 {
			all = append(all, edgeLine{e, merge(ts, p)})
		}
	}
	return all
}

// planLoose plans for lines that make no box: every line is an edge of its
// own, and four are expected in each set.
func (f *freeDrawing) planLoose(t *telling, names [3]perspective.Set) (all []edgeLine) {
	p := f.plan
	for k, set := range t.sets {
		for _, i := range set {
			b := &t.bars[i]
			n := len(p.corners)
			p.corners = append(p.corners, b.from(), b.to())
			all = append(all, edgeLine{len(p.edges), b.drawn})
			p.edges = append(p.edges, edge{set: names[k], hasSet: true, ends: [2]int{n, n + 1},
				segment: makeSegment(b.from(), b.to(), geom.Point{})})
		}
		for range 4 - len(set) {
			p.edges = append(p.edges, edge{set: names[k], hasSet: true})
		}
	}
	p.known = make([]bool, len(p.corners))
	p.asked = len(p.edges)
	return all
}

// name numbers the edges of each set, those without a line last, and orders
// them.
func (f *freeDrawing) name(drawn []edgeLine) {
	has := make([]bool, len(f.plan.edges))
	for _, d := range drawn {
		has[d.edge] = true
	}
	order := make([]int, len(f.plan.edges))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &f.plan.edges[i], &f.plan.edges[j]
		if a.set != b.set {
			return int(a.set) - int(b.set)
		}
		if has[i] != has[j] {
			if has[i] {
				return -1
			}
			return 1
		}
		if a.set == perspective.Height {
			return cmp.Or(cmp.Compare(a.mid.X, b.mid.X), cmp.Compare(a.mid.Y, b.mid.Y))
		}
		return cmp.Or(cmp.Compare(a.mid.Y, b.mid.Y), cmp.Compare(a.mid.X, b.mid.X))
	})
	n := [3]int{}
	rank := make([]int, len(order))
	for r, i := range order {
		e := &f.plan.edges[i]
		n[e.set]++
		e.id = fmt.Sprintf("%s-%d", e.set, n[e.set])
		rank[i] = r
		if !has[i] {
			f.g.Missing = append(f.g.Missing, e.id)
		}
	}
	slices.SortFunc(drawn, func(a, b edgeLine) int { return rank[a.edge] - rank[b.edge] })
}

// meet fits each set's own point and makes it what its edges run to.
func (f *freeDrawing) meet() {
	for i := range f.drawn {
		e := &f.plan.edges[f.of[i]]
		// The only length that the line can be held to is its own.
		e.len = f.drawn[i].length
		s := &f.named[e.set]
		s.lines = append(s.lines, i)
	}
	f.fit(float64(groupSD))
	for i := range f.plan.edges {
		e := &f.plan.edges[i]
		e.to = f.named[e.set].fitted.point(1 / parallelMM)
	}
}

// fit fits the sets' points for hands that scatter by sd at 80 mm.
func (f *freeDrawing) fit(sd float64) {
	for k := range f.named {
		s := &f.named[k]
		ls := make([]*drawn, 0, 4)
		for _, i := range s.lines {
			ls = append(ls, &f.drawn[i])
		}
		if len(ls) > 0 {
			s.fitted, s.sure = meetSet(ls, sd)
		}
	}
}

// measure measures every line against its set's point.
func (f *freeDrawing) measure() {
	construction := f.g.Lines
	f.g.Lines = nil
	ds, of := f.drawn, f.of
	f.drawn, f.of = nil, nil
	for i := range ds {
		f.addLine(of[i], ds[i])
	}
	f.measureCorners()
	f.score()
	f.g.Lines = append(f.g.Lines, construction...)
}

// gradeFreeSets tells how the lines of each set scatter about their point,
// and where that is.
func (f *freeDrawing) gradeFreeSets() {
	f.noise = f.freeNoise()
	if f.noise.sd > 0 {
		f.fit(f.noise.sd)
	}
	for k := range f.bundles {
		b := &f.bundles[k]
		s := SetGrade{Box: b.box, Set: b.set, Lines: len(b.lines)}
		var e2 float64
		for _, t := range b.lines {
			e := float64(f.g.Lines[t.line].Error)
			e2 += e * e
		}
		s.RMS = geom.Angle(math.Sqrt(e2 / float64(len(b.lines))))
		s.Scatter = s.RMS // all of it: the point is the set's own
		if m := &f.named[b.set]; m.sure {
			s.Fitted, s.FittedCov = m.fitted.report()
		}
		f.g.Sets = append(f.g.Sets, s)
	}
}

// freeNoise is the scatter of the lines about their sets' own points, pooled
// with the learner's history where that does not contradict it.
func (f *freeDrawing) freeNoise(skip ...int) noise {
	bs := make([]bundle, 0, 3)
	for i := range f.bundles {
		if !slices.Contains(skip, i) {
			bs = append(bs, f.bundles[i])
		}
	}
	chi, dof := scatterOf(bs, every)
	if dof > 0 {
		chi = winsorised(bs, math.Sqrt(chi/dof))
	}
	var hs, hd float64
	if f.hand.known() && finite(float64(f.hand.SD)) {
		hs, hd = float64(f.hand.SD), min(f.hand.DOF, maxHistory)
		if dof > 0 {
			if p := upperF(chi/dof/(hs*hs), dof, hd); p < 0.05 || p > 0.95 {
				hd = 0
			}
		}
	}
	if hd == 0 && dof < fewDOF {
		hs, hd = float64(strangerSD), strangerDOF
	}
	return noise{math.Sqrt((hd*hs*hs + chi) / (hd + dof)), hd + dof}
}
