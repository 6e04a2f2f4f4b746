package api

import (
	"boxwright/internal/drill"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

// DecodeLine reads one line that the command line grades: an object with an
// exercise and an attempt. Other fields may stand beside the two and are
// ignored, at that level only.
func DecodeLine(b []byte) (*drill.Exercise, *grade.Attempt, error) {
	r := reader{b: b}
	var (
		x *drill.Exercise
		a *grade.Attempt
	)
	r.documents(func(name string) {
		start := r.i
		most := MaxExerciseBytes
		if name == "exercise" {
			x = r.exercise()
		} else {
			a, most = r.attempt(), MaxAttemptBytes
		}
		if r.err == nil && r.i-start > most {
			r.err = ErrTooLarge
		}
	})
	r.end()
	switch {
	case r.err != nil:
		return nil, nil, r.err
	case x == nil:
		return nil, nil, &ink.InputError{Detail: `the field "exercise" is missing`}
	case a == nil:
		return nil, nil, &ink.InputError{Detail: `the field "attempt" is missing`}
	}
	return x, a, nil
}

// documents reads an object and calls field at the values of exercise and
// attempt.
func (r *reader) documents(field func(name string)) {
	if !r.open('{', "an object") {
		return
	}
	seen := map[string]bool{}
	for first := true; r.more('}', first); first = false {
		if r.peek() != '"' {
			r.malformed("a key in quotation marks must stand here")
			return
		}
		name := string(r.text())
		if r.err == nil {
			r.colon()
		}
		if name != "exercise" && name != "attempt" {
			r.skip(0)
			continue
		}
		r.path = append(r.path, step{name, -1})
		if seen[name] {
			r.fail("this field is given twice")
		}
		seen[name] = true
		field(name)
		r.path = r.path[:len(r.path)-1]
	}
}
