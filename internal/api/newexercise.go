package api

import (
	"slices"

	"boxwright/internal/drill"
)

var newExerciseShape = shape{[]string{"drill", "level"}, []string{"view", "seed"}}

// DecodeNewExercise reads the request for an exercise: a drill, a view, a
// level and, if the exercise is to be a certain one, its seed; nil leaves the
// seed to the caller. A drill that runs in one view only needs no view named.
func DecodeNewExercise(b []byte) (k drill.Kind, v drill.View, level int, seed *uint64, err error) {
	if len(b) > MaxExerciseBytes {
		return "", "", 0, nil, ErrTooLarge
	}
	r := reader{b: b}
	r.object(newExerciseShape, func(name string) {
		switch name {
		case "drill":
			k = word(&r, drill.Kinds)
		case "view":
			v = word(&r, views)
		case "level":
			level = r.integer(drill.MinLevel, drill.MaxLevel)
		case "seed":
			s := r.seed()
			seed = &s
		}
	})
	r.end()
	if r.err == nil {
		v = r.viewOf(k, v)
	}
	if r.err != nil {
		return "", "", 0, nil, r.err
	}
	return k, v, level, seed, nil
}

// viewOf returns v, or the only view that k has where none is named.
func (r *reader) viewOf(k drill.Kind, v drill.View) drill.View {
	has := drill.Views(k)
	switch {
	case v == "" && len(has) == 1:
		return has[0]
	case v == "":
		r.fail(`the field "view" is missing`)
	case !slices.Contains(has, v):
		r.failAt([]step{{"view", -1}}, "the drill %q has no such view; it has %s", k, quoted(has))
	}
	return v
}
