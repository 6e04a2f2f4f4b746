package sheet

import (
	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// Exercise lays out the sheet as the learner gets it: the paper, the eye
// level and the vanishing points that are shown, given edges and dots, and
// the dots to be joined. What is withheld neither appears in it nor moves
// anything.
func Exercise(x *drill.Exercise) Drawing {
	d := newDrawing(x.Sheet, "sheet")
	d.Title, d.Desc = name(x), describe(x)
	given(newLayout(&d, x))
	return d
}

// given draws all that the learner sees before drawing.
func given(l *layout) {
	x, d := l.x, l.d
	l.targets()
	if x.Horizon != nil && x.Horizon.Shown {
		l.horizon()
	}
	for _, p := range x.Points {
		if p.Shown {
			l.point(p)
		}
	}
	if x.Horizon != nil && x.Horizon.Shown {
		l.horizonLabel()
	}
	for _, p := range x.Points {
		if p.Shown {
			l.ticks(p)
		}
	}
	for _, e := range x.Edges {
		if !e.Given {
			continue
		}
		d.add(layerGiven, Group{Style: GivenLine, Set: HueOf(e.Set), Where: Anywhere, Edge: e.ID,
			Title: "given " + e.Set.String() + " edge", Marks: []Mark{Segments{x.Segment(e)}}})
	}
	for _, s := range dotSizes {
		var dots []Mark
		for _, i := range x.Marks {
			dots = append(dots, Dot{x.Corners[i], 1.1 * s.scale})
		}
		d.add(layerGiven, Group{Style: GivenDot, Where: s.where, Marks: dots})
	}
	l.smallPrint()
}

// dotSizes make dots larger where the sheet is small.
var dotSizes = [2]struct {
	where Where
	scale float64
}{{Wide | Print, 1}, {Narrow, 1.6}}

// smallPrint adds a length to check a printer by.
func (l *layout) smallPrint() {
	y := l.paper.Max.Y - 7
	right := l.paper.Max.X - 8
	bar := geom.Segment{A: geom.Vec{X: right - scaleBar, Y: y}, B: geom.Vec{X: right, Y: y}}
	marks := Segments{bar}
	for _, p := range []geom.Vec{bar.A, bar.B} {
		marks = append(marks, geom.Segment{A: p.Add(geom.Vec{Y: -1.2}), B: p.Add(geom.Vec{Y: 1.2})})
	}
	l.d.add(layerNotes, Group{Style: Good, Where: Print, Marks: []Mark{marks}})
	l.d.add(layerNotes, Group{Style: SheetNote, Where: Print, Marks: []Mark{
		Text{At: geom.Vec{X: bar.A.X - 2, Y: y + 1.2}, Size: 3.4, Align: End, Lines: []string{"50 mm"}}}})
}

// scaleBar is the length of the bar that printed sheets carry, mm.
const scaleBar = 50
