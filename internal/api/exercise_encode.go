package api

import (
	"strconv"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// EncodeExercise writes an exercise document. With reveal it holds all the
// answers. Without, it is what may leave the server before the attempt is
// handed in: only what is drawn for the learner. Corners that are not given
// are null, points and a horizon that are not shown have no numbers, and the
// arrangement of the view, the proportions and the bent edges are left out.
func EncodeExercise(x *drill.Exercise, reveal bool) []byte {
	w := writer{make([]byte, 0, 4096)}
	w.open('{')
	w.key("version")
	w.integer(Version)
	w.key("id")
	w.text(x.ID)
	if x.Generator != 0 {
		w.key("generator")
		w.integer(x.Generator)
	}
	w.key("drill")
	w.text(string(x.Kind))
	w.key("view")
	w.text(string(x.View))
	w.key("level")
	w.integer(x.Level)
	w.key("seed")
	w.text(strconv.FormatUint(x.Seed, 10))
	if x.Difficulty != nil {
		w.key("difficulty")
		w.number(*x.Difficulty)
	}
	w.key("sheet")
	w.open('{')
	w.key("width_mm")
	w.number(x.Sheet.Width)
	w.key("height_mm")
	w.number(x.Sheet.Height)
	w.close('}')
	if x.Viewing != nil && reveal {
		w.viewing(x.Viewing)
	}
	if x.Horizon != nil {
		w.horizon(x.Horizon, reveal)
	}
	w.points(x.Points, reveal)
	w.corners(x, reveal)
	w.edges(x.Edges)
	w.boxes(x.Boxes, reveal)
	w.targets(x.Targets, reveal)
	w.givenLines(x.Lines)
	if reveal && len(x.Bent) > 0 {
		w.bent(x.Bent)
	}
	if x.Told != nil {
		w.told(x.Told)
	}
	w.asked(x.Asked)
	w.close('}')
	return w.b
}

func (w *writer) viewing(v *drill.Viewing) {
	w.key("viewing")
	w.open('{')
	w.key("principal_point")
	w.vec(v.Principal)
	w.key("distance_mm")
	w.number(v.Distance)
	w.key("yaw_deg")
	w.angle(v.Yaw, exerciseAngles)
	w.key("pitch_deg")
	w.angle(v.Pitch, exerciseAngles)
	w.close('}')
}

func (w *writer) horizon(h *drill.Horizon, reveal bool) {
	w.key("horizon")
	w.open('{')
	if h.Shown || reveal {
		w.key("line")
		w.line(h.Line)
	}
	w.key("shown")
	w.boolean(h.Shown)
	w.close('}')
}

func (w *writer) points(points []drill.Point, reveal bool) {
	w.key("points")
	w.open('[')
	for _, p := range points {
		w.open('{')
		w.key("id")
		w.text(p.ID)
		w.key("set")
		w.text(p.Set.String())
		w.key("box")
		w.integer(p.Box)
		if p.Shown || reveal {
			w.key("at")
			w.point(p.At)
		}
		w.key("shown")
		w.boolean(p.Shown)
		w.close('}')
	}
	w.close(']')
}

func (w *writer) corners(x *drill.Exercise, reveal bool) {
	given := x.CornersGiven()
	w.key("corners")
	w.open('[')
	for i, c := range x.Corners {
		if reveal || given[i] {
			w.vec(c)
		} else {
			w.null()
		}
	}
	w.close(']')
	w.key("marks")
	w.integers(x.Marks)
}

func (w *writer) edges(edges []drill.Edge) {
	w.key("edges")
	w.open('[')
	for _, e := range edges {
		w.open('{')
		w.key("id")
		w.text(e.ID)
		w.key("box")
		w.integer(e.Box)
		w.key("set")
		w.text(e.Set.String())
		w.key("corners")
		w.integers(e.Corners[:])
		w.key("given")
		w.boolean(e.Given)
		w.key("hidden")
		w.boolean(e.Hidden)
		if s := e.Drawn; s != nil {
			w.key("drawn")
			w.open('[')
			w.vec(s.A)
			w.vec(s.B)
			w.close(']')
		}
		w.close('}')
	}
	w.close(']')
}

func (w *writer) boxes(boxes []drill.Box, reveal bool) {
	w.key("boxes")
	w.open('[')
	for _, b := range boxes {
		w.open('{')
		w.key("corners")
		w.integers(b.Corners[:])
		// A box of no proportions is one whose proportions are not told.
		if reveal && b.Proportions != [3]float64{} {
			w.key("proportions")
			w.numbers(b.Proportions[:]...)
			w.key("cube")
			w.boolean(b.Cube)
		}
		w.close('}')
	}
	w.close(']')
}

func (w *writer) targets(targets []drill.Target, reveal bool) {
	w.key("targets")
	w.open('[')
	for _, t := range targets {
		w.open('{')
		w.key("id")
		w.text(t.ID)
		for i, at := range [2]geom.Vec{t.A, t.B} {
			w.key([2]string{"a", "b"}[i])
			if t.Hidden[i] && !reveal {
				w.null()
			} else {
				w.vec(at)
			}
		}
		if t.Hidden != [2]bool{} {
			w.key("shown")
			w.open('[')
			w.boolean(!t.Hidden[0])
			w.boolean(!t.Hidden[1])
			w.close(']')
		}
		if t.HasSet {
			w.key("set")
			w.text(t.Set.String())
			w.key("box")
			w.integer(t.Box)
		}
		if t.Depth != 0 {
			w.key("depth")
			w.number(t.Depth)
		}
		w.close('}')
	}
	w.close(']')
}

func (w *writer) asked(a drill.Asked) {
	w.key("asked")
	w.open('{')
	w.key("edges")
	w.texts(a.Edges)
	w.key("targets")
	w.texts(a.Targets)
	w.key("points")
	w.texts(a.Points)
	w.key("horizon")
	w.boolean(a.Horizon)
	if a.Stray {
		w.key("stray")
		w.boolean(true)
	}
	w.close('}')
}
