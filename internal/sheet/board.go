package sheet

import (
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// layout is a drawing in the making, with a placer for every medium.
type layout struct {
	d      *Drawing
	x      *drill.Exercise
	paper  rect
	middle geom.Vec // of what the learner sees: arrows start from it
	places [len(media)]placer
}

// newLayout starts a drawing of x with the paper and with what the learner
// sees kept clear of labels. Nothing withheld influences it.
func newLayout(d *Drawing, x *drill.Exercise) *layout {
	l := &layout{d: d, x: x, paper: frame(x.Sheet, Print)}
	var lines []geom.Segment
	for _, e := range x.Edges {
		if e.Given {
			lines = append(lines, x.Segment(e))
		}
	}
	n := 0
	for i, given := range x.CornersGiven() {
		if given {
			l.middle = l.middle.Add(x.Corners[i])
			n++
		}
	}
	l.middle = l.middle.Scale(1 / float64(max(n, 1)))
	if n == 0 || !l.paper.holds(l.middle) {
		l.middle = l.paper.centre()
	}
	for i, m := range media {
		p := placer{frame: m.room(x.Sheet), sheet: l.paper, lines: append([]geom.Segment(nil), lines...)}
		for _, c := range x.Marks {
			p.boxes = append(p.boxes, box(x.Corners[c], 4, 4))
		}
		if m.where == Print {
			p.boxes = append(p.boxes, l.footer()...)
		}
		l.places[i] = p
	}
	d.add(layerPaper, Group{Style: PaperEdge, Where: Screen, Marks: []Mark{l.paper.area()}})
	return l
}

func (r rect) area() Area {
	return Area{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
}

// footer lists what print keeps for its small print: the title at the left,
// the scale bar at the right.
func (l *layout) footer() []rect {
	end := l.paper.Max
	return []rect{
		{geom.Vec{X: 0, Y: end.Y - 9}, geom.Vec{X: 120, Y: end.Y}},
		{geom.Vec{X: end.X - scaleBar - 25, Y: end.Y - 9}, end},
	}
}

// level returns the horizon's line, normalised; ok is false for one that is no
// line of the sheet's plane.
func (l *layout) level() (geom.Line, bool) {
	if l.x.Horizon == nil {
		return geom.Line{}, false
	}
	line := l.x.Horizon.Line.Normalised()
	return line, math.Abs(math.Hypot(line.A, line.B)-1) < 1e-6 && math.Abs(line.C) < math.MaxFloat32
}

// horizon draws the eye level across the sheet and the board.
func (l *layout) horizon() {
	line, ok := l.level()
	if !ok {
		return
	}
	on, crosses := lineIn(line, l.paper)
	if crosses {
		l.d.add(layerBoard, Group{Style: Horizon, Where: Anywhere, Marks: []Mark{Segments{on}}})
	}
	for i, m := range media {
		board := frame(l.x.Sheet, m.where)
		whole, ok := lineIn(line, board)
		if !ok {
			continue
		}
		if _, off := split(whole, l.paper, board); m.where == Wide || !crosses {
			l.d.add(layerBoard, Group{Style: Horizon, Board: true, Where: m.where, Marks: []Mark{off}})
		}
		l.places[i].lines = append(l.places[i].lines, whole)
	}
}

// horizonLabel writes "eye level" at an end of the horizon or, where it runs
// outside the medium's frame, beside an arrow that says how far. It comes
// after the points, which are less free in their place.
func (l *layout) horizonLabel() {
	line, ok := l.level()
	if !ok {
		return
	}
	for i, m := range media {
		p := &l.places[i]
		at, ok := lineIn(line, frame(l.x.Sheet, m.where))
		if !ok {
			l.horizonAway(i, line)
			continue
		}
		if on, ok := lineIn(line, l.paper); ok {
			at = on
		}
		wraps := [][]string{{"eye level"}}
		w, h := measure(wraps[0], m.letter)
		var wanted []rect
		for _, end := range []geom.Segment{at, {A: at.B, B: at.A}} {
			in, _ := end.B.Sub(end.A).Unit()
			for _, along := range []float64{w/2 + 2, w/2 + 2 + 2*m.arrow, w/2 + 45, w/2 + 60, w/2 + 100} {
				c := end.A.Add(in.Scale(along))
				for _, side := range []float64{-1, 1} {
					wanted = append(wanted, p.inside(box(geom.Vec{X: c.X, Y: c.Y + side*(h/2+.9)}, w, h)))
				}
			}
		}
		l.label(i, HorizonLabel, NoSet, wanted, wraps, at.A)
	}
}

// horizonAway says that the eye level runs outside the medium's frame.
func (l *layout) horizonAway(i int, line geom.Line) {
	m, p := media[i], &l.places[i]
	normal := geom.Vec{X: line.A, Y: line.B}
	d := line.Dist(l.paper.centre())
	to := normal.Scale(-math.Copysign(1, d))
	word := "above"
	if to.Y > 0 {
		word = "below"
	}
	// The nearest corner tells how far the line is from the sheet.
	far := math.Inf(1)
	for _, c := range l.paper.area() {
		far = min(far, math.Abs(line.Dist(c)))
	}
	wraps := [][]string{{"eye level", past(far) + " " + word + " the sheet"}}
	w, h := measure(wraps[0], m.letter)
	w += 2 * m.arrow
	// Anywhere along the sheet will do, so it goes where there is room.
	var wanted []rect
	var tips []geom.Vec
	for _, part := range []float64{.12, .3, .5, .7, .2, .4, .6, .05} {
		from := geom.Vec{X: l.paper.Min.X + part*l.paper.width(), Y: l.paper.centre().Y}
		tip := l.edgePoint(p.frame.grow(-m.margin, -m.margin), from, to)
		tips = append(tips, tip)
		wanted = append(wanted, box(tip.Sub(to.Scale(h/2)).Add(geom.Vec{X: w / 2}), w, h))
	}
	tip := tips[p.cheapest(wanted)]
	l.arrow(i, HorizonLabel, Horizon, NoSet, tip, to, wraps)
}

// edgePoint returns the point where the ray from p along the unit vector d
// leaves r; p itself if it does not lie in r.
func (l *layout) edgePoint(r rect, p, d geom.Vec) geom.Vec {
	_, hi, ok := r.span(p, d, 0, r.width()+r.height())
	if !ok {
		return p
	}
	return p.Add(d.Scale(hi))
}

// arrow draws an arrow head at tip along the unit vector dir, with a label
// beside it, broken into lines in one of the given ways.
func (l *layout) arrow(i int, text, head Style, h Hue, tip, dir geom.Vec, wraps [][]string) {
	m, p := media[i], &l.places[i]
	size := m.arrow
	l.d.add(layerBoard, Group{Style: head, Set: h, Board: !l.paper.holds(tip), Where: m.where,
		Marks: []Mark{Arrow{Tip: tip, Dir: dir, Size: size}}})
	middle := tip.Sub(dir.Scale(size / 2))
	p.boxes = append(p.boxes, box(middle, size, size))
	l.label(i, text, h, l.wrapped(i, middle, size/2+1.6, wraps), wraps, middle)
}

// wrapped lists boxes around a place for every way to break a label's lines,
// so many for each.
func (l *layout) wrapped(i int, at geom.Vec, gap float64, wraps [][]string) []rect {
	var wanted []rect
	for _, lines := range wraps {
		w, h := measure(lines, media[i].letter)
		wanted = append(wanted, l.places[i].around(at, w, h, gap)...)
		wanted = append(wanted, l.places[i].around(at, w, h, gap+1.4*media[i].letter)...)
	}
	return wanted
}

// label places a text in the cheapest of the wanted boxes, which are listed
// in equal numbers for every wrap, flush toward the place it speaks of.
func (l *layout) label(i int, s Style, h Hue, wanted []rect, wraps [][]string, of geom.Vec) {
	k := l.places[i].place(wanted)
	r, lines := wanted[k], wraps[k*len(wraps)/len(wanted)]
	a := Middle
	switch {
	case r.Min.X+r.width()/4 > of.X:
		a = Start
	case r.Max.X-r.width()/4 < of.X:
		a = End
	}
	// On the topmost layer, so that rays run below the letters.
	l.d.add(layerNotes, Group{Style: s, Set: h, Board: !l.paper.holds(r.centre()), Where: media[i].where,
		Marks: []Mark{setIn(r, lines, media[i].letter, a)}})
}

// point draws a finite vanishing point.
func (l *layout) point(v drill.Point) {
	if at, ok := v.At.Vec(); ok {
		l.spot(at, PointName(l.x, v), HueOf(v.Set))
	}
}

// spot draws a point that has a name: a ringed dot where there is room for
// it, else an arrow on the way to it.
func (l *layout) spot(at geom.Vec, name string, h Hue) {
	if !at.Finite() {
		return
	}
	far := l.paper.dist(at)
	var ringed Where
	for i, m := range media {
		p := &l.places[i]
		if frame(l.x.Sheet, m.where).grow(-m.inset, -m.inset).holds(at) {
			ringed |= m.where
			p.boxes = append(p.boxes, box(at, 5.4, 5.4))
			wraps := [][]string{{name}}
			l.label(i, VanishingLabel, h, l.wrapped(i, at, 3.8, wraps), wraps, at)
			continue
		}
		tip, dir, ok := l.toward(at, p.frame.grow(-m.margin, -m.margin))
		if !ok {
			continue
		}
		l.arrow(i, VanishingLabel, ArrowHead, h, tip, dir, farWords(m, name, far))
	}
	if ringed != 0 {
		off := far > 0
		l.d.add(layerBoard, Group{Style: Vanishing, Set: h, Board: off, Where: ringed, Marks: []Mark{Dot{at, 3}}})
		l.d.add(layerBoard, Group{Style: VanishingDot, Set: h, Board: off, Where: ringed, Marks: []Mark{Dot{at, 1.2}}})
	}
}

// farWords says which point an arrow leads to and how far it is, broken into
// lines in several ways.
func farWords(m medium, name string, far float64) [][]string {
	mm := past(far)
	if m.where == Narrow {
		return [][]string{{name, mm}}
	}
	return [][]string{
		{name + ",", mm + " past the sheet"},
		{name + ",", mm + " past", "the sheet"},
	}
}

// toward returns where the way to the point leaves the room, and the unit
// direction there. On a shown horizon that leads to the point, the way is the
// horizon.
func (l *layout) toward(at geom.Vec, room rect) (tip, dir geom.Vec, ok bool) {
	from := l.middle
	const onLine = .5 // mm
	if line, ok := l.level(); ok && l.x.Horizon.Shown {
		foot := from.Sub(geom.Vec{X: line.A, Y: line.B}.Scale(line.Dist(from)))
		if math.Abs(line.Dist(at)) < onLine && room.holds(foot) {
			from = foot
		}
	}
	dir, ok = at.Sub(from).Unit()
	if !ok {
		return from, dir, false
	}
	tip = l.edgePoint(room, from, dir)
	// From the tip itself, for the point may lie beside a horizon by onLine.
	dir, ok = at.Sub(tip).Unit()
	return tip, dir, ok
}
