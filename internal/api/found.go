package api

import "boxwright/internal/grade"

var (
	answerShape    = shape{[]string{"for", "error_deg", "score", "outside"}, []string{"turn_deg", "early_deg", "height_mm", "tilt_deg"}}
	signalsShape   = shape{[]string{"hits", "misses", "false_alarms", "rejections"}, nil}
	strayEdgeShape = shape{[]string{"edge", "bent_deg", "tapped"}, nil}
	depthShape     = shape{[]string{"for", "want", "drawn", "ln_ratio", "score", "outside"}, nil}
)

func (r *reader) answer() (a grade.Answer) {
	r.object(answerShape, func(name string) {
		switch name {
		case "for":
			a.For = r.id()
		case "error_deg":
			a.Error = r.angle()
		case "turn_deg":
			a.Turn = r.optionalAngle()
		case "early_deg":
			a.Early = r.optionalAngle()
		case "height_mm":
			v := r.number()
			a.Height = &v
		case "tilt_deg":
			a.Tilt = r.optionalAngle()
		case "score":
			a.Score = r.within(0, 100)
		case "outside":
			a.Outside = r.boolean()
		}
	})
	return a
}

func (r *reader) signals() *grade.Signals {
	s := new(grade.Signals)
	r.object(signalsShape, func(name string) {
		n := r.integer(0, maxEdges)
		switch name {
		case "hits":
			s.Hits = n
		case "misses":
			s.Misses = n
		case "false_alarms":
			s.FalseAlarms = n
		case "rejections":
			s.Rejections = n
		}
	})
	return s
}

func (r *reader) strayEdge() (e grade.StrayEdge) {
	r.object(strayEdgeShape, func(name string) {
		switch name {
		case "edge":
			e.Edge = r.id()
		case "bent_deg":
			e.By = r.angle()
		case "tapped":
			e.Tapped = r.boolean()
		}
	})
	return e
}

func (r *reader) depth() (d grade.Depth) {
	r.object(depthShape, func(name string) {
		switch name {
		case "for":
			d.For = r.id()
		case "want":
			d.Want = r.number()
		case "drawn":
			d.Drawn = r.number()
		case "ln_ratio":
			d.LnRatio = r.number()
		case "score":
			d.Score = r.within(0, 100)
		case "outside":
			d.Outside = r.boolean()
		}
	})
	return d
}

// found writes what was found or judged rather than drawn.
func (w *writer) found(g *grade.Grade) {
	if len(g.Answers) > 0 {
		w.key("answers")
		w.open('[')
		for i := range g.Answers {
			w.answer(&g.Answers[i])
		}
		w.close(']')
	}
	if s := g.Signals; s != nil {
		w.key("signals")
		w.open('{')
		w.key("hits")
		w.integer(s.Hits)
		w.key("misses")
		w.integer(s.Misses)
		w.key("false_alarms")
		w.integer(s.FalseAlarms)
		w.key("rejections")
		w.integer(s.Rejections)
		w.close('}')
		w.key("strays")
		w.open('[')
		for _, e := range g.Strays {
			w.open('{')
			w.key("edge")
			w.text(e.Edge)
			w.key("bent_deg")
			w.angle(e.By, gradeAngles)
			w.key("tapped")
			w.boolean(e.Tapped)
			w.close('}')
		}
		w.close(']')
	}
	if len(g.Depths) > 0 {
		w.key("depths")
		w.open('[')
		for i := range g.Depths {
			w.depth(&g.Depths[i])
		}
		w.close(']')
	}
	if g.RightAngle != nil {
		w.key("right_angle_error_deg")
		w.angle(*g.RightAngle, gradeAngles)
	}
}

func (w *writer) answer(a *grade.Answer) {
	w.open('{')
	w.key("for")
	w.text(a.For)
	w.key("error_deg")
	w.angle(a.Error, gradeAngles)
	if a.Turn != nil {
		w.key("turn_deg")
		w.angle(*a.Turn, gradeAngles)
	}
	if a.Early != nil {
		w.key("early_deg")
		w.angle(*a.Early, gradeAngles)
	}
	if a.Height != nil {
		w.key("height_mm")
		w.number(*a.Height)
	}
	if a.Tilt != nil {
		w.key("tilt_deg")
		w.angle(*a.Tilt, gradeAngles)
	}
	w.key("score")
	w.number(a.Score)
	w.key("outside")
	w.boolean(a.Outside)
	w.close('}')
}

func (w *writer) depth(d *grade.Depth) {
	w.open('{')
	w.key("for")
	w.text(d.For)
	w.key("want")
	w.number(d.Want)
	w.key("drawn")
	w.number(d.Drawn)
	w.key("ln_ratio")
	w.number(d.LnRatio)
	w.key("score")
	w.number(d.Score)
	w.key("outside")
	w.boolean(d.Outside)
	w.close('}')
}
