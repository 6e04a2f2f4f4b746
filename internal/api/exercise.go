package api

import (
	"math"
	"strconv"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

var (
	exerciseShape = shape{
		[]string{"version", "id", "drill", "view", "sheet", "asked"},
		[]string{"generator", "level", "seed", "viewing", "horizon", "points", "corners", "marks", "edges", "boxes", "targets", "lines", "bent", "told", "difficulty"},
	}
	sheetShape   = shape{[]string{"width_mm", "height_mm"}, nil}
	viewingShape = shape{[]string{"principal_point", "distance_mm"}, []string{"yaw_deg", "pitch_deg"}}
	horizonShape = shape{[]string{"line", "shown"}, nil}
	pointShape   = shape{[]string{"id", "set", "at"}, []string{"box", "shown"}}
	edgeShape    = shape{[]string{"id", "set", "corners"}, []string{"box", "given", "hidden", "drawn"}}
	boxShape     = shape{[]string{"corners"}, []string{"proportions", "cube"}}
	targetShape  = shape{[]string{"id", "a", "b"}, []string{"shown", "set", "box", "depth"}}
	askedShape   = shape{nil, []string{"edges", "targets", "points", "horizon", "stray"}}

	// kinds are the drills that documents may name.
	kinds = []drill.Kind{drill.Join, drill.Aim, drill.Finish, drill.Cube, drill.Meet, drill.Stray, drill.Halve, drill.Turn, drill.Free}
	views = []drill.View{drill.None, drill.One, drill.Two, drill.Three}
)

// Limits of an exercise, far above what a sheet can hold.
const (
	maxCorners = 512
	maxEdges   = 768
	maxBoxes   = 64
	maxPoints  = 3 * maxBoxes
	maxTargets = 256
)

// DecodeExercise reads an exercise document with its answers, also one that
// was made elsewhere: without a generator, a seed or a view's arrangement, with
// its corners in any order. It refuses what could not be graded: see
// checkExercise. The form without the answers is refused.
func DecodeExercise(b []byte) (*drill.Exercise, error) {
	if len(b) > MaxExerciseBytes {
		return nil, ErrTooLarge
	}
	r := reader{b: b}
	x := r.exercise()
	r.end()
	if r.err != nil {
		return nil, r.err
	}
	return x, nil
}

func (r *reader) exercise() *drill.Exercise {
	x := new(drill.Exercise)
	r.object(exerciseShape, func(name string) {
		switch name {
		case "version":
			r.version()
		case "id":
			x.ID = r.id()
		case "generator":
			x.Generator = r.integer(0, math.MaxInt32)
		case "drill":
			x.Kind = word(r, kinds)
		case "view":
			x.View = word(r, views)
		case "level":
			x.Level = r.integer(drill.MinLevel, drill.MaxLevel)
		case "seed":
			x.Seed = r.seed()
		case "sheet":
			x.Sheet = r.sheet()
		case "viewing":
			x.Viewing = r.viewing()
		case "horizon":
			x.Horizon = r.horizon()
		case "points":
			r.array(maxPoints, func(int) { x.Points = append(x.Points, r.vanishingPoint()) })
		case "corners":
			r.array(maxCorners, func(int) { x.Corners = append(x.Corners, r.corner()) })
		case "marks":
			r.array(maxCorners, func(int) { x.Marks = append(x.Marks, r.integer(0, maxCorners-1)) })
		case "edges":
			r.array(maxEdges, func(int) { x.Edges = append(x.Edges, r.edge()) })
		case "boxes":
			r.array(maxBoxes, func(int) { x.Boxes = append(x.Boxes, r.box()) })
		case "targets":
			r.array(maxTargets, func(int) { x.Targets = append(x.Targets, r.target()) })
		case "lines":
			r.array(maxTargets, func(int) { x.Lines = append(x.Lines, r.givenLine()) })
		case "bent":
			r.array(maxEdges, func(int) { x.Bent = append(x.Bent, r.bent()) })
		case "told":
			x.Told = r.told()
		case "difficulty":
			d := r.within(-maxDifficulty, maxDifficulty)
			x.Difficulty = &d
		case "asked":
			x.Asked = r.asked()
		}
	})
	if r.err == nil {
		r.checkExercise(x)
	}
	return x
}

// seed reads a decimal string of 64 bits.
func (r *reader) seed() uint64 {
	s := r.text()
	if r.err != nil {
		return 0
	}
	v, err := strconv.ParseUint(string(s), 10, 64)
	if err != nil || len(s) > 1 && s[0] == '0' {
		r.fail(`this must be a decimal string from "0" to "18446744073709551615"`)
		return 0
	}
	return v
}

// Sizes of a sheet, in mm: from a stamp to a wall.
const (
	minSheet = 10
	maxSheet = 10000
)

func (r *reader) sheet() (s drill.Size) {
	r.object(sheetShape, func(name string) {
		if name == "width_mm" {
			s.Width = r.within(minSheet, maxSheet)
		} else {
			s.Height = r.within(minSheet, maxSheet)
		}
	})
	return s
}

func (r *reader) viewing() *drill.Viewing {
	v := new(drill.Viewing)
	r.object(viewingShape, func(name string) {
		switch name {
		case "principal_point":
			v.Principal = r.vec()
		case "distance_mm":
			v.Distance = r.within(1, 1e6)
		case "yaw_deg":
			v.Yaw = geom.Degrees(r.within(-360, 360))
		case "pitch_deg":
			v.Pitch = geom.Degrees(r.within(-90, 90))
		}
	})
	return v
}

func (r *reader) horizon() *drill.Horizon {
	h := new(drill.Horizon)
	r.object(horizonShape, func(name string) {
		if name == "line" {
			h.Line = r.line()
		} else {
			h.Shown = r.boolean()
		}
	})
	return h
}

func (r *reader) vanishingPoint() (p drill.Point) {
	r.object(pointShape, func(name string) {
		switch name {
		case "id":
			p.ID = r.id()
		case "set":
			p.Set = r.set()
		case "box":
			p.Box = r.integer(0, maxBoxes-1)
		case "at":
			p.At = r.point()
		case "shown":
			p.Shown = r.boolean()
		}
	})
	return p
}

var setNames = [...]string{perspective.Width.String(), perspective.Depth.String(), perspective.Height.String()}

func (r *reader) set() perspective.Set {
	name := word(r, setNames[:])
	for _, k := range perspective.Sets {
		if setNames[k] == name {
			return k
		}
	}
	return 0
}

func (r *reader) corner() geom.Vec {
	if r.null() {
		r.fail("this corner is withheld: an exercise can be graded only with its answers")
		return geom.Vec{}
	}
	return r.vec()
}

// maxPlace bounds the places of dots and corners, in mm: a kilometre.
const maxPlace = 1e6

func (r *reader) vec() geom.Vec {
	var v [2]float64
	n := r.array(2, func(i int) { v[i] = r.within(-maxPlace, maxPlace) })
	if r.err == nil && n != 2 {
		r.fail("this must be [x, y]")
	}
	return geom.Vec{X: v[0], Y: v[1]}
}

func (r *reader) edge() (e drill.Edge) {
	r.object(edgeShape, func(name string) {
		switch name {
		case "id":
			e.ID = r.id()
		case "box":
			e.Box = r.integer(0, maxBoxes-1)
		case "set":
			e.Set = r.set()
		case "corners":
			r.cornerNumbers(e.Corners[:])
		case "given":
			e.Given = r.boolean()
		case "hidden":
			e.Hidden = r.boolean()
		case "drawn":
			e.Drawn = r.segment()
		}
	})
	return e
}

// cornerNumbers fills v from an array of exactly len(v) corner numbers.
func (r *reader) cornerNumbers(v []int) {
	n := r.array(len(v), func(i int) { v[i] = r.integer(0, maxCorners-1) })
	if r.err == nil && n != len(v) {
		r.fail("this must be %d corner numbers, not %d", len(v), n)
	}
}

func (r *reader) box() (b drill.Box) {
	r.object(boxShape, func(name string) {
		switch name {
		case "corners":
			r.cornerNumbers(b.Corners[:])
		case "proportions":
			n := r.array(3, func(i int) { b.Proportions[i] = r.within(1e-6, 1e6) })
			if r.err == nil && n != 3 {
				r.fail("this must be 3 numbers: width, depth, height")
			}
		case "cube":
			b.Cube = r.boolean()
		}
	})
	return b
}

func (r *reader) target() (t drill.Target) {
	r.object(targetShape, func(name string) {
		switch name {
		case "id":
			t.ID = r.id()
		case "a":
			t.A = r.corner()
		case "b":
			t.B = r.corner()
		case "shown":
			n := r.array(2, func(i int) { t.Hidden[i] = !r.boolean() })
			if r.err == nil && n != 2 {
				r.fail("this must say of both ends whether they are drawn")
			}
		case "set":
			t.Set, t.HasSet = r.set(), true
		case "box":
			t.Box = r.integer(0, maxBoxes-1)
		case "depth":
			t.Depth = r.within(1e-6, 1e6)
		}
	})
	return t
}

func (r *reader) asked() (a drill.Asked) {
	r.object(askedShape, func(name string) {
		switch name {
		case "edges":
			a.Edges = r.ids(maxEdges)
		case "targets":
			a.Targets = r.ids(maxTargets)
		case "points":
			a.Points = r.ids(maxPoints)
		case "horizon":
			a.Horizon = r.boolean()
		case "stray":
			a.Stray = r.boolean()
		}
	})
	return a
}

func (r *reader) ids(most int) (ids []string) {
	r.array(most, func(int) { ids = append(ids, r.id()) })
	return ids
}
