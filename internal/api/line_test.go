package api

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// TestDocumentsMadeElsewhere reads every published check document.
func TestDocumentsMadeElsewhere(t *testing.T) {
	for name, want := range map[string]int{"view-attempts.jsonl": 58, "hands.jsonl.gz": 40} {
		lines := checkLines(t, name)
		if len(lines) != want {
			t.Errorf("%s has %d lines, want %d", name, len(lines), want)
		}
		for i, line := range lines {
			var raw struct{ Exercise, Attempt json.RawMessage }
			if err := json.Unmarshal(line, &raw); err != nil {
				t.Fatal(err)
			}
			x, a, err := DecodeLine(line)
			if err != nil {
				t.Errorf("%s:%d: %v", name, i+1, err)
				continue
			}
			if x1, err := DecodeExercise(raw.Exercise); err != nil || !reflect.DeepEqual(x, x1) {
				t.Errorf("%s:%d: alone: %v", name, i+1, err)
			}
			if a1, err := DecodeAttempt(raw.Attempt); err != nil || !reflect.DeepEqual(a, a1) {
				t.Errorf("%s:%d: alone: %v", name, i+1, err)
			}
			checkDecoded(t, raw.Attempt)
			checkExerciseOracle(t, raw.Exercise, x)
			b := EncodeExercise(x, true)
			if x2, err := DecodeExercise(b); err != nil || !reflect.DeepEqual(x, x2) {
				t.Errorf("%s:%d: written and read again: %v", name, i+1, err)
			}
		}
	}
}

// checkExerciseOracle compares the numbers that grading goes by with what
// encoding/json reads.
func checkExerciseOracle(t *testing.T, b []byte, x *drill.Exercise) {
	t.Helper()
	var p struct {
		ID      string
		Corners [][2]float64
		Points  []struct {
			Set string
			At  [3]float64
		}
		Edges []struct {
			ID, Set       string
			Corners       [2]int
			Given, Hidden bool
		}
		Asked struct{ Edges []string }
	}
	if err := json.Unmarshal(b, &p); err != nil {
		t.Fatal(err)
	}
	if p.ID != x.ID || len(p.Corners) != len(x.Corners) || len(p.Points) != len(x.Points) || len(p.Edges) != len(x.Edges) ||
		!reflect.DeepEqual(p.Asked.Edges, x.Asked.Edges) {
		t.Fatalf("%s: read as %+v", p.ID, x)
	}
	for i, c := range p.Corners {
		if (geom.Vec{X: c[0], Y: c[1]}) != x.Corners[i] {
			t.Errorf("%s corner %d: %v", p.ID, i, x.Corners[i])
		}
	}
	for i, q := range p.Points {
		if (geom.Point{X: q.At[0], Y: q.At[1], W: q.At[2]}) != x.Points[i].At || q.Set != x.Points[i].Set.String() {
			t.Errorf("%s point %d: %v", p.ID, i, x.Points[i])
		}
	}
	for i, e := range p.Edges {
		g := x.Edges[i]
		if e.ID != g.ID || e.Set != g.Set.String() || e.Corners != g.Corners || e.Given != g.Given || e.Hidden != g.Hidden {
			t.Errorf("%s edge %d: %v", p.ID, i, g)
		}
	}
}

func TestDecodeNewExercise(t *testing.T) {
	seed := uint64(math.MaxUint64)
	for _, c := range []struct {
		body  string
		k     drill.Kind
		v     drill.View
		level int
		seed  *uint64
	}{
		{`{"drill":"finish","view":"three","level":10,"seed":"18446744073709551615"}`, drill.Finish, drill.Three, 10, &seed},
		{`{"level":1,"view":"one","drill":"finish"}`, drill.Finish, drill.One, 1, nil},
		{`{"drill":"join","view":"none","level":1}`, drill.Join, drill.None, 1, nil},
		{`{"drill":"join","level":1}`, drill.Join, drill.None, 1, nil},
	} {
		k, v, level, s, err := DecodeNewExercise([]byte(c.body))
		if err != nil || k != c.k || v != c.v || level != c.level || !reflect.DeepEqual(s, c.seed) {
			t.Errorf("%s: got %v %v %v %v %v", c.body, k, v, level, s, err)
		}
	}
	for _, c := range []struct{ body, pointer string }{
		{`{"drill":"doodle","view":"one","level":1}`, "/drill"}, {`{"drill":"finish","view":"four","level":1}`, "/view"},
		{`{"drill":"finish","view":"one","level":0}`, "/level"}, {`{"drill":"finish","view":"one","level":"1"}`, "/level"},
		{`{"drill":"finish","view":"one","level":1,"seed":7}`, "/seed"}, {`{"drill":"finish","view":"one","level":1,"seed":"-7"}`, "/seed"},
		{`{"drill":"finish","level":1}`, ""}, {`{"drill":"finish","view":"none","level":1}`, "/view"}, {`{"drill":"join","view":"one","level":1}`, "/view"}, {`{"view":"one","level":1}`, ""}, {`{"drill":"finish","view":"one"}`, ""},
		{`{"drill":"finish","view":"one","level":1,"sead":"7"}`, "/sead"}, {`{}`, ""}, {`null`, ""},
	} {
		_, _, _, _, err := DecodeNewExercise([]byte(c.body))
		var input *ink.InputError
		if !errors.As(err, &input) || input.Pointer != c.pointer {
			t.Errorf("%s: got %v, want it at %q", c.body, err, c.pointer)
		}
	}
	if _, _, _, _, err := DecodeNewExercise([]byte(`{"drill":`)); !errors.Is(err, ErrSyntax) {
		t.Errorf("cut short: %v", err)
	}
}

func TestDecodeLine(t *testing.T) {
	x, a := EncodeExercise(twoPoint(), true), EncodeAttempt(attemptAllWays())
	for _, c := range []struct{ name, body, pointer string }{
		{"no exercise", fmt.Sprintf(`{"attempt":%s}`, a), ""}, {"no attempt", fmt.Sprintf(`{"exercise":%s}`, x), ""},
		{"exercise twice", fmt.Sprintf(`{"exercise":%s,"exercise":%s,"attempt":%s}`, x, x, a), "/exercise"},
		{"unknown field below", fmt.Sprintf(`{"exercise":%s,"attempt":%s}`, x, strings.Replace(string(a), `"x":`, `"truth":0,"x":`, 1)), "/attempt/strokes/0/truth"},
		{"array", `[]`, ""},
	} {
		_, _, err := DecodeLine([]byte(c.body))
		var input *ink.InputError
		if !errors.As(err, &input) || input.Pointer != c.pointer {
			t.Errorf("%s: got %v, want it at %q", c.name, err, c.pointer)
		}
	}
	for _, beside := range []string{`1`, `-1.5e400`, `"\ud83d\ude00"`, `{"a":[{},[],{"b":null}],"a":true}`, `[false,"x"]`} {
		body := fmt.Sprintf(`{"truth":%s,"exercise":%s,"attempt":%s,"note":%s}`, beside, x, a, beside)
		gx, ga, err := DecodeLine([]byte(body))
		if err != nil || !sameExercise(gx, twoPoint()) || !reflect.DeepEqual(ga, attemptAllWays()) {
			t.Errorf("%s beside: %v", beside, err)
		}
	}
	for _, beside := range []string{``, `-Infinity`, `NaN`, `01`, `1.`, `[1,]`, `{"a"}`, `{"a":1,}`, `"\x"`, `tru`, strings.Repeat("[", 1e6)} {
		body := fmt.Sprintf(`{"truth":%s,"exercise":%s,"attempt":%s}`, beside, x, a)
		if _, _, err := DecodeLine([]byte(body)); !errors.Is(err, ErrSyntax) {
			t.Errorf("%.20s beside: got %v", beside, err)
		}
	}
	wide := fmt.Sprintf(`{"exercise":%s,"attempt":%s}`, x, strings.Replace(string(a), "{", "{"+strings.Repeat(" ", MaxAttemptBytes), 1))
	if _, _, err := DecodeLine([]byte(wide)); !errors.Is(err, ErrTooLarge) {
		t.Errorf("a large attempt: %v", err)
	}
}
