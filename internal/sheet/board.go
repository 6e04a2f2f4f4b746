package sheet

import (
	"fmt"
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
		p := placer{frame: frame(x.Sheet, m.where), sheet: l.paper, lines: append([]geom.Segment(nil), lines...)}
		for _, c := range x.Marks {
			p.boxes = append(p.boxes, box(x.Corners[c], 4, 4))
		}
		if m.where == Print {
			p.boxes = append(p.boxes, l.footer())
		}
		l.places[i] = p
	}
	d.add(layerPaper, Group{Style: PaperEdge, Where: Screen, Marks: []Mark{l.paper.area()}})
	return l
}

func (r rect) area() Area {
	return Area{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
}

// footer is the strip at the sheet's lower edge that print keeps for its
// small print.
func (l *layout) footer() rect {
	return rect{geom.Vec{X: 0, Y: l.paper.Max.Y - 9}, l.paper.Max}
}

// horizon draws the eye level across the sheet and the board, or, where it
// runs outside them, an arrow that says how far.
func (l *layout) horizon() {
	line := l.x.Horizon.Line.Normalised()
	on, crosses := lineIn(line, l.paper)
	if crosses {
		l.d.add(layerBoard, Group{Style: Horizon, Where: Anywhere, Marks: []Mark{Segments{on}}})
	}
	for i, m := range media {
		p := &l.places[i]
		whole, ok := lineIn(line, p.frame.grow(-.5, -.5))
		if !ok {
			l.horizonAway(i, line)
			continue
		}
		if _, off := split(whole, l.paper, p.frame); m.where == Wide || !crosses {
			l.d.add(layerBoard, Group{Style: Horizon, Board: true, Where: m.where, Marks: []Mark{off}})
		}
		p.lines = append(p.lines, whole)
		along := whole
		if crosses {
			along = on
		}
		lines := []string{"eye level"}
		w, h := measure(lines, m.letter)
		var wanted []rect
		for _, at := range []geom.Vec{along.A, along.B} {
			out := p.sheet.centre().X - at.X
			at.X += math.Copysign(w/2+2, out)
			for _, side := range []float64{-1, 1} {
				wanted = append(wanted, p.inside(box(geom.Vec{X: at.X, Y: at.Y + side*(h/2+.9)}, w, h)))
			}
		}
		l.label(i, HorizonLabel, NoSet, wanted, lines, Start)
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
	from := geom.Vec{X: l.paper.Min.X + .12*l.paper.width(), Y: l.paper.centre().Y}
	tip := l.edgePoint(p.frame.grow(-m.inset, -m.inset), from, to)
	l.arrow(i, HorizonLabel, Horizon, NoSet, tip, to, []string{"eye level", past(far) + " " + word + " the sheet"})
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
// beside it.
func (l *layout) arrow(i int, text, head Style, h Hue, tip, dir geom.Vec, lines []string) {
	m, p := media[i], &l.places[i]
	size := 1.1 * m.letter
	l.d.add(layerBoard, Group{Style: head, Set: h, Board: !l.paper.holds(tip), Where: m.where,
		Marks: []Mark{Arrow{Tip: tip, Dir: dir, Size: size}}})
	p.boxes = append(p.boxes, box(tip.Sub(dir.Scale(size/2)), size, size))
	w, ht := measure(lines, m.letter)
	l.label(i, text, h, p.around(tip, w, ht, .45*size), lines, Middle)
}

// label places lines of text in the cheapest of the wanted boxes.
func (l *layout) label(i int, s Style, h Hue, wanted []rect, lines []string, a Align) {
	r := l.places[i].place(wanted)
	if a == Middle { // toward the nearer side of the sheet's own middle
		switch mid := l.paper.centre().X; {
		case r.Max.X < mid:
			a = Start
		case r.Min.X > mid:
			a = End
		}
	}
	l.d.add(layerBoard, Group{Style: s, Set: h, Board: !l.paper.holds(r.centre()), Where: media[i].where,
		Marks: []Mark{setIn(r, lines, media[i].letter, a)}})
}

// point draws a finite vanishing point: a ringed dot where there is room for
// it, else an arrow on the way to it; and ticks along the sheet's edge.
func (l *layout) point(v drill.Point) {
	at, ok := v.At.Vec()
	if !ok || !at.Finite() {
		return
	}
	h, far := HueOf(v.Set), l.paper.dist(at)
	var ringed Where
	for i, m := range media {
		p := &l.places[i]
		room := p.frame.grow(-m.inset, -m.inset)
		if room.holds(at) {
			ringed |= m.where
			p.boxes = append(p.boxes, box(at, 7, 7))
			lines := []string{PointName(l.x, v)}
			w, ht := measure(lines, m.letter)
			l.label(i, VanishingLabel, h, p.around(at, w, ht, 2.6), lines, Middle)
			continue
		}
		tip, dir, ok := l.toward(at, room)
		if !ok {
			continue
		}
		l.arrow(i, VanishingLabel, ArrowHead, h, tip, dir, l.farWords(m, v, far))
	}
	if ringed != 0 {
		off := far > 0
		l.d.add(layerBoard, Group{Style: Vanishing, Set: h, Board: off, Where: ringed, Marks: []Mark{Dot{at, 3}}})
		l.d.add(layerBoard, Group{Style: VanishingDot, Set: h, Board: off, Where: ringed, Marks: []Mark{Dot{at, 1.2}}})
	}
}

func (l *layout) farWords(m medium, v drill.Point, far float64) []string {
	name := PointName(l.x, v)
	if m.where == Narrow {
		return []string{name, past(far)}
	}
	return []string{name + ",", fmt.Sprintf("%s past the sheet", past(far))}
}

// toward returns where the way to the point leaves the room, and the unit
// direction there. On a shown horizon that leads to the point, the way is the
// horizon.
func (l *layout) toward(at geom.Vec, room rect) (tip, dir geom.Vec, ok bool) {
	from := l.middle
	const onLine = .5 // mm
	if hz := l.x.Horizon; hz != nil && hz.Shown {
		line := hz.Line.Normalised()
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
