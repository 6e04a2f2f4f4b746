package grade

import (
	"math"
	"slices"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// Of grades attempt a of exercise x for a learner with the history h. It
// fails with an *ink.InputError on an attempt that Check refuses or an
// exercise whose parts do not fit together; a drawing with nothing in it is
// graded like any other. Neither x nor a is changed.
func Of(x *drill.Exercise, a *Attempt, h Hand) (*Grade, error) {
	if err := Check(x, a); err != nil {
		return nil, err
	}
	if x.Kind == drill.Free {
		return gradeFree(x, a, h)
	}
	p, err := makePlan(x)
	if err != nil {
		return nil, err
	}
	w := work{x: x, a: a, plan: p, hand: h, g: &Grade{Attempt: a.ID, Exercise: a.Exercise}}
	if w.g.Exercise == "" {
		w.g.Exercise = x.ID
	}
	if h.known() {
		sd := h.SD
		w.g.Hand = &sd
	}
	w.readLines()
	w.measureCorners()
	w.score()
	w.gradeSets()
	w.horizon()
	w.g.Scatter = handScatter(w.bundles, w.lone)
	w.g.Findings = w.findings()
	return w.g, nil
}

// work is the grading of one attempt.
type work struct {
	x       *drill.Exercise
	a       *Attempt
	plan    *plan
	hand    Hand
	g       *Grade
	drawn   []drawn // one per expected line that was drawn, like g.Lines
	of      []int   // index into plan.edges of each
	bounded []geom.Angle
	bundles []bundle
	lone    []strand // lines that belong to no set
	// where the drawing puts each corner, and whether it tells
	cornerAt  []geom.Vec
	cornerMet []bool
	total     float64 // exact score
}

// readLines matches the strokes and measures every line.
func (w *work) readLines() {
	traces, lines, dots := readTraces(w.a)
	m := match(w.plan, traces)
	w.g.Unmatched = append(dots, m.short...)
	drawnEdge := make([]bool, len(w.plan.edges))
	for e := range w.plan.edges {
		var ts []*trace
		for i := range m.t {
			if m.edge[i] == e {
				ts = append(ts, m.t[i].pieces()...)
			}
		}
		if len(ts) == 0 {
			continue
		}
		if e >= w.plan.asked { // a given edge drawn over
			for _, t := range ts {
				lines = append(lines, *t)
			}
			continue
		}
		drawnEdge[e] = true
		w.addLine(e, merge(ts, w.a.Input.Pointer))
	}
	for i := range m.t {
		if m.edge[i] >= 0 {
			continue
		}
		for _, t := range m.t[i].pieces() {
			if m.constructs(t) {
				lines = append(lines, *t)
			} else {
				w.g.Unmatched = append(w.g.Unmatched, t.stroke)
			}
		}
	}
	for e := range w.plan.asked {
		if !drawnEdge[e] {
			w.g.Missing = append(w.g.Missing, w.plan.edges[e].id)
		}
	}
	slices.SortFunc(lines, func(s, t trace) int { return s.stroke - t.stroke })
	for i := range lines {
		d := single(&lines[i])
		w.g.Lines = append(w.g.Lines, Line{
			Strokes: d.strokes, Role: ink.RoleConstruction, From: d.from(), To: d.to(),
			Length: d.length, Bow: d.bow, Wobble: d.wobble,
		})
	}
	slices.Sort(w.g.Unmatched)
}

// addLine measures the line d that was drawn for edge e.
func (w *work) addLine(e int, d drawn) {
	want := &w.plan.edges[e]
	dev := Bounded(d.mid, d.dir, d.length, want.to)
	l := Line{
		Strokes: d.strokes, Edge: want.id, Set: want.set, HasSet: want.hasSet, Box: want.box,
		Role: ink.RoleEdge, From: d.from(), To: d.to(), Length: d.length,
		Error:   Deviation(d.mid, d.dir, want.to),
		ErrorSE: deviationSE(d.mid, d.device, d.offset, want.to),
		Bow:     d.bow, Wobble: d.wobble,
		Excess: Excess(dev, want.len),
	}
	l.Score = LineScore(l.Excess)
	l.Outside = outside(dev, d.device, want.len, w.hand)
	if mm, ok := Miss(d.mid, d.dir, want.to); ok {
		l.Miss = &mm
	}
	w.g.Lines = append(w.g.Lines, l)
	w.drawn = append(w.drawn, d)
	w.of = append(w.of, e)
	w.bounded = append(w.bounded, dev)
}

// score sums the line scores, missing lines counting 0, and the errors.
func (w *work) score() {
	n := len(w.drawn)
	var e2 float64
	for i := range n {
		w.total += w.g.Lines[i].Score
		e2 += float64(w.g.Lines[i].Error) * float64(w.g.Lines[i].Error)
	}
	if n > 0 {
		r := geom.Angle(math.Sqrt(e2 / float64(n)))
		w.g.RMS = &r
	}
	if w.plan.asked > 0 {
		w.total /= float64(w.plan.asked)
	}
	w.g.Score = int(math.Round(w.total))
	w.bundle()
}

// bundle gathers the lines by box and set.
func (w *work) bundle() {
	for i := range w.drawn {
		e := &w.plan.edges[w.of[i]]
		s := strand{line: i, dev: w.bounded[i], g: LengthLaw(e.len), freehand: w.drawn[i].freehand}
		if !e.hasSet {
			w.lone = append(w.lone, s)
			continue
		}
		k := slices.IndexFunc(w.bundles, func(b bundle) bool { return b.box == e.box && b.set == e.set })
		if k < 0 {
			k = len(w.bundles)
			w.bundles = append(w.bundles, bundle{box: e.box, set: e.set, v: e.to})
		}
		w.bundles[k].lines = append(w.bundles[k].lines, s)
	}
	slices.SortFunc(w.bundles, func(a, b bundle) int {
		if a.box != b.box {
			return a.box - b.box
		}
		return int(a.set) - int(b.set)
	})
	for k := range w.bundles {
		b := &w.bundles[k]
		var mid geom.Vec
		for _, s := range b.lines {
			mid = mid.Add(w.drawn[s.line].mid)
		}
		b.truth = toward(mid.Scale(1/float64(len(b.lines))), b.v)
		for i := range b.lines {
			s := &b.lines[i]
			d := &w.drawn[s.line]
			s.jb, s.jk = strandSlopes(&b.truth, d.mid, d.length)
		}
		b.decompose()
	}
}
