package api

import "boxwright/internal/drill"

var newExerciseShape = shape{[]string{"drill", "level"}, []string{"view", "seed"}}

// practised are the drills that can be asked for.
var practised = []drill.Kind{drill.Join, drill.Finish}

// DecodeNewExercise reads the request for an exercise: a drill, a view, a
// level and, if the exercise is to be a certain one, its seed; nil leaves the
// seed to the caller. A drill without perspective needs no view. Whether the
// drill has the view is for drill.New to say.
func DecodeNewExercise(b []byte) (k drill.Kind, v drill.View, level int, seed *uint64, err error) {
	if len(b) > MaxExerciseBytes {
		return "", "", 0, nil, ErrTooLarge
	}
	r := reader{b: b}
	r.object(newExerciseShape, func(name string) {
		switch name {
		case "drill":
			k = word(&r, practised)
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
	if v == "" && k == drill.Join {
		v = drill.None
	}
	if r.err == nil && v == "" {
		r.fail(`the field "view" is missing`)
	}
	if r.err != nil {
		return "", "", 0, nil, r.err
	}
	return k, v, level, seed, nil
}
