package api

import (
	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

var (
	lineShape      = shape{[]string{"id", "role", "a", "b"}, nil}
	bentShape      = shape{[]string{"edge", "by_deg"}, nil}
	toldShape      = shape{nil, []string{"turn_deg", "cube", "distance_mm", "cone_deg", "points", "stand", "form"}}
	toldPointShape = shape{[]string{"id", "role", "at"}, []string{"set"}}

	lineRoles  = []drill.LineRole{drill.StopLine, drill.RailLine, drill.PostLine, drill.GuideLine}
	pointRoles = []drill.PointRole{drill.PrincipalPoint, drill.MeasuringPoint, drill.DistancePoint}
	stands     = []drill.Stand{drill.Below, drill.Above, drill.Across}
	forms      = []drill.Form{drill.CubeForm, drill.SlabForm, drill.TowerForm, drill.BlockForm}
)

// maxDifficulty bounds a difficulty, in ln units: a factor of a thousand and
// more in the error that is to be expected.
const maxDifficulty = 8

// segment reads the two ends of a line.
func (r *reader) segment() *geom.Segment {
	var v [2]geom.Vec
	n := r.array(2, func(i int) { v[i] = r.vec() })
	if r.err == nil && n != 2 {
		r.fail("this must be [[x, y], [x, y]]")
	}
	return &geom.Segment{A: v[0], B: v[1]}
}

func (r *reader) givenLine() (l drill.GivenLine) {
	r.object(lineShape, func(name string) {
		switch name {
		case "id":
			l.ID = r.id()
		case "role":
			l.Role = word(r, lineRoles)
		case "a":
			l.A = r.vec()
		case "b":
			l.B = r.vec()
		}
	})
	return l
}

func (r *reader) bent() (b drill.Bent) {
	r.object(bentShape, func(name string) {
		if name == "edge" {
			b.Edge = r.id()
		} else {
			b.By = geom.Degrees(r.within(-90, 90))
		}
	})
	return b
}

func (r *reader) told() *drill.Told {
	t := new(drill.Told)
	r.object(toldShape, func(name string) {
		switch name {
		case "turn_deg":
			a := geom.Degrees(r.within(-360, 360))
			t.Turn = &a
		case "cube":
			t.Cube = r.boolean()
		case "distance_mm":
			d := r.within(1, 1e6)
			t.Distance = &d
		case "cone_deg":
			a := geom.Degrees(r.within(1, 179))
			t.Cone = &a
		case "points":
			r.array(maxPoints, func(int) { t.Points = append(t.Points, r.toldPoint()) })
		case "stand":
			t.Stand = word(r, stands)
		case "form":
			t.Form = word(r, forms)
		}
	})
	return t
}

func (r *reader) toldPoint() (p drill.ToldPoint) {
	r.object(toldPointShape, func(name string) {
		switch name {
		case "id":
			p.ID = r.id()
		case "role":
			p.Role = word(r, pointRoles)
		case "set":
			p.Set, p.HasSet = r.set(), true
		case "at":
			p.At = r.vec()
		}
	})
	return p
}

// givenLines writes the lines that are drawn and are no edges.
func (w *writer) givenLines(lines []drill.GivenLine) {
	if len(lines) == 0 {
		return
	}
	w.key("lines")
	w.open('[')
	for _, l := range lines {
		w.open('{')
		w.key("id")
		w.text(l.ID)
		w.key("role")
		w.text(string(l.Role))
		w.key("a")
		w.vec(l.A)
		w.key("b")
		w.vec(l.B)
		w.close('}')
	}
	w.close(']')
}

func (w *writer) bent(bent []drill.Bent) {
	w.key("bent")
	w.open('[')
	for _, b := range bent {
		w.open('{')
		w.key("edge")
		w.text(b.Edge)
		w.key("by_deg")
		w.angle(b.By, exerciseAngles)
		w.close('}')
	}
	w.close(']')
}

func (w *writer) told(t *drill.Told) {
	w.key("told")
	w.open('{')
	if t.Turn != nil {
		w.key("turn_deg")
		w.angle(*t.Turn, exerciseAngles)
	}
	if t.Cube {
		w.key("cube")
		w.boolean(true)
	}
	if t.Distance != nil {
		w.key("distance_mm")
		w.number(*t.Distance)
	}
	if t.Cone != nil {
		w.key("cone_deg")
		w.angle(*t.Cone, exerciseAngles)
	}
	if len(t.Points) > 0 {
		w.key("points")
		w.open('[')
		for _, p := range t.Points {
			w.open('{')
			w.key("id")
			w.text(p.ID)
			w.key("role")
			w.text(string(p.Role))
			if p.HasSet {
				w.key("set")
				w.text(p.Set.String())
			}
			w.key("at")
			w.vec(p.At)
			w.close('}')
		}
		w.close(']')
	}
	if t.Stand != "" {
		w.key("stand")
		w.text(string(t.Stand))
	}
	if t.Form != "" {
		w.key("form")
		w.text(string(t.Form))
	}
	w.close('}')
}
