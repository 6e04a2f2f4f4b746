package sheet

import (
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// Direction ticks along the sheet's edge, each on the true line through its
// place on the edge to the point.
const (
	tickIn     = 2.5 // mm inside the edge, on screen
	tickOut    = 5   // mm outside it, on screen
	printFrom  = 5   // mm inside the edge, in print: printers leave that much
	printTo    = 11
	tickStep   = 15  // mm between ticks
	narrowStep = 25  // on a narrow board
	tickSlope  = .3  // smallest sine of the angle between tick and edge
	tickShare  = .45 // of the way to the point that a tick may take
)

// ticks draws the direction ticks of a point off the sheet, leaving out those
// that a label covers.
func (l *layout) ticks(v drill.Point) {
	at, ok := v.At.Vec()
	if !ok || !at.Finite() || l.paper.dist(at) == 0 {
		return
	}
	for i, m := range media {
		var in, out Segments
		for _, e := range l.edgePlaces(at, m.where) {
			dir, ok := at.Sub(e).Unit()
			if !ok {
				continue
			}
			from, to := -tickIn, min(tickOut, tickShare*at.Sub(e).Len())
			if m.where == Print {
				from, to = -printTo, -printFrom
			}
			whole := geom.Segment{A: e.Add(dir.Scale(from)), B: e.Add(dir.Scale(to))}
			if l.places[i].blocked(whole) {
				continue
			}
			if m.where == Print {
				in = append(in, whole)
				continue
			}
			in = append(in, geom.Segment{A: whole.A, B: e})
			out = append(out, geom.Segment{A: e, B: whole.B})
		}
		g := Group{Style: Tick, Set: HueOf(v.Set), Where: m.where, Marks: []Mark{in}}
		l.d.add(layerBoard, g)
		g.Board, g.Marks = true, []Mark{out}
		l.d.add(layerBoard, g)
	}
}

// edgePlaces returns evenly spaced places on those edges of the sheet that
// face the point, without those from which it is seen at a grazing angle.
func (l *layout) edgePlaces(at geom.Vec, w Where) []geom.Vec {
	step := float64(tickStep)
	if w == Narrow {
		step = narrowStep
	}
	c := l.paper.area()
	var out []geom.Vec
	for k, a := range c { // clockwise, so the outside is on the left hand
		b := c[(k+1)%len(c)]
		side, ok := b.Sub(a).Unit()
		if !ok || side.Cross(at.Sub(a)) >= 0 {
			continue
		}
		n := int(math.Round(b.Sub(a).Len() / step))
		for j := range n {
			p := a.Add(b.Sub(a).Scale((float64(j) + .5) / float64(n)))
			if d, ok := at.Sub(p).Unit(); ok && math.Abs(side.Cross(d)) >= tickSlope {
				out = append(out, p)
			}
		}
	}
	return out
}
