package sheet

import (
	"fmt"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/guide"
)

// layerStep is the name of every layer that holds one step of a guide. They
// stand in order between what is given and the labels.
const layerStep = "step"

// Guide lays out a construction up to step n, from 1: the sheet as the learner
// gets it, what the steps before drew, calm, and what step n adds, with
// emphasis. n is moved to the nearer end when there is no such step.
func Guide(x *drill.Exercise, steps []guide.Step, n int) Drawing {
	n = max(1, min(n, len(steps)))
	d := guideSheet(x, steps[:min(n, len(steps))], n-1)
	if n <= len(steps) {
		d.Desc = steps[n-1].Text
	}
	return d
}

// GuideSteps lays out all steps of a construction, calm, one layer each: a
// page shows and emphasises them by the layers' place.
func GuideSteps(x *drill.Exercise, steps []guide.Step) Drawing {
	return guideSheet(x, steps, pageDecides)
}

// pageDecides stands for the number of the emphasised step where a page says
// which it is.
const pageDecides = -1

// guideSheet lays out steps; fresh is the index of the emphasised one.
func guideSheet(x *drill.Exercise, steps []guide.Step, fresh int) Drawing {
	d := newDrawing(x.Sheet, "sheet guide")
	d.Title = "Guide: " + name(x)
	d.Desc = fmt.Sprintf("The construction in %d steps.", len(steps))
	l := newLayout(&d, x)
	l.keepClear(steps)
	given(l)
	notes := d.Layers[len(d.Layers)-1]
	d.Layers = d.Layers[:3] // paper, board, given
	for i, s := range steps {
		t := newDrawing(x.Sheet, "")
		l.d = &t
		l.step(s, i == fresh, i == fresh || fresh == pageDecides)
		var all []Group
		for _, layer := range t.Layers {
			all = append(all, layer.Groups...)
		}
		d.Layers = append(d.Layers, Layer{Name: layerStep, Groups: all})
	}
	d.Layers = append(d.Layers, notes)
	return d
}

// keepClear keeps labels off the lines that the steps draw, as far as there is
// room.
func (l *layout) keepClear(steps []guide.Step) {
	for _, s := range steps {
		for _, n := range s.Lines {
			if in, ok := frame(l.x.Sheet, Wide).clip(n.Segment); ok && n.Role != guide.Horizon {
				for i := range l.places {
					l.places[i].lines = append(l.places[i].lines, in)
				}
			}
		}
	}
}

// guideStyles are the styles of a role's lines: calm, and new.
var guideStyles = map[guide.Role][2]Style{
	guide.Given:        {GuideGiven, GuideGivenNew},
	guide.Horizon:      {GuideHorizon, GuideHorizonNew},
	guide.Construction: {GuideLight, GuideLightNew},
	guide.Edge:         {GuideEdge, GuideEdgeNew},
	guide.Hidden:       {GuideHidden, GuideHiddenNew},
}

// step draws what one step adds, light lines below firm ones. fresh: with
// emphasis. pointing: also what it only points out.
func (l *layout) step(s guide.Step, fresh, pointing bool) {
	for r := guide.Given; r <= guide.Hidden; r++ {
		if r == guide.Given && !pointing {
			continue
		}
		style := guideStyles[r][0]
		if fresh {
			style = guideStyles[r][1]
		}
		for h := NoSet; int(h) < len(hues); h++ {
			var lines Segments
			for _, n := range s.Lines {
				if n.Role == r && hueOfLine(n) == h {
					lines = append(lines, n.Segment)
				}
			}
			if len(lines) > 0 {
				l.stepLines(Group{Style: style, Set: h}, lines)
			}
		}
	}
	for _, p := range s.Dots {
		l.stepDot(p, pointing)
	}
}

func hueOfLine(n guide.Line) Hue {
	if n.HasSet {
		return HueOf(n.Set)
	}
	return NoSet
}

// stepLines draws lines on the sheet and, as far as each medium shows it, on
// the board.
func (l *layout) stepLines(g Group, lines Segments) {
	var on Segments
	for _, s := range lines {
		if in, ok := l.paper.clip(s); ok {
			on = append(on, in)
		}
	}
	g.Where, g.Marks = Anywhere, []Mark{on}
	l.d.add(layerGiven, g)
	for _, where := range [2]Where{Wide, Narrow} {
		var off Segments
		board := frame(l.x.Sheet, where)
		for _, s := range lines {
			_, out := split(s, l.paper, board)
			off = append(off, out...)
		}
		g.Where, g.Board, g.Marks = where, true, []Mark{off}
		l.d.add(layerGiven, g)
	}
}

// stepDot rings a place that the step speaks of. A named point that the sheet
// does not show comes with its name, or with an arrow to it.
func (l *layout) stepDot(p guide.Dot, pointing bool) {
	h := NoSet
	if p.HasSet {
		h = HueOf(p.Set)
	}
	if p.Role == guide.Point && p.Label != "" && !l.shows(p.At) {
		l.spot(p.At, p.Label, h)
	}
	if !pointing {
		return
	}
	r := 2.1
	if p.Role == guide.Point {
		r = 4.4
	}
	l.d.add(layerNotes, l.placed(Group{Style: GuidePlace, Set: h, Marks: []Mark{Dot{p.At, r}}}, p.At))
}

// placed says where a mark at p is shown: in the media whose frame holds it.
func (l *layout) placed(g Group, p geom.Vec) Group {
	for _, m := range media {
		if frame(l.x.Sheet, m.where).holds(p) {
			g.Where |= m.where
		}
	}
	g.Board = !l.paper.holds(p)
	if g.Where == 0 {
		g.Marks = nil
	}
	return g
}

// shows reports whether the sheet itself draws the point at p.
func (l *layout) shows(p geom.Vec) bool {
	const near = 1e-3 // mm
	for _, q := range l.x.Points {
		if v, ok := q.At.Vec(); ok && q.Shown && v.Sub(p).Len() < near {
			return true
		}
	}
	if l.x.Told != nil {
		for _, q := range l.x.Told.Points {
			if q.At.Sub(p).Len() < near {
				return true
			}
		}
	}
	return false
}
