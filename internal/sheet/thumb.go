package sheet

import "boxwright/internal/geom"

// thumbBold is how much bolder lines are drawn in the small picture.
const thumbBold = 3

// thumbSlack is how far, in mm, the small picture's lines may be off.
const thumbSlack = .4

// Thumb returns d as a small picture: the sheet alone with bolder lines and
// no letters.
func Thumb(d Drawing) string {
	w := newWriter()
	w.open(d.Class+" thumb", rect{Max: geom.Vec{X: d.Size.Width, Y: d.Size.Height}})
	w.title(d.Title, "")
	for _, l := range d.Layers {
		for _, g := range l.Groups {
			if !inThumb(g) {
				continue
			}
			w.thumbGroup(g)
		}
	}
	return w.close()
}

// inThumb reports whether the small picture shows g.
func inThumb(g Group) bool {
	if g.Board || g.Where&Wide == 0 {
		return false
	}
	switch g.Style {
	case Ray, Tick, Leader, Good, InkConstruction, ArrowHead:
		return false
	}
	return true
}

func (w *writer) thumbGroup(g Group) {
	var marks []Mark
	for _, m := range g.Marks {
		switch m := m.(type) {
		case Text, Pill, Arrow:
			continue
		case Trace:
			marks = append(marks, thumbTrace(m))
		case Dot:
			m.R *= 1.7
			marks = append(marks, m)
		default:
			marks = append(marks, m)
		}
	}
	if len(marks) == 0 {
		return
	}
	g.Where, g.Title, g.Edge = Anywhere, "", ""
	w.c.Group(groupAttrs(g, thumbBold))
	for _, m := range marks {
		w.mark(m)
	}
	w.c.Gend()
}

// thumbTrace thins a trace for the small picture and gives it one width.
func thumbTrace(t Trace) Trace {
	return Trace{
		Points: pick(t.Points, thin(t.Points, nil, thumbSlack)),
		Widths: []float64{penWidth * thumbBold},
		Stroke: t.Stroke,
	}
}
