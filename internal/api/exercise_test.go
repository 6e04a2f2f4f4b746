package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// sameExercise compares exactly, but for the angles of the view, which keep
// 1e-12 of a degree.
func sameExercise(a, b *drill.Exercise) bool {
	a, b = blunt(a), blunt(b)
	return reflect.DeepEqual(a, b)
}

func blunt(x *drill.Exercise) *drill.Exercise {
	c := *x
	if c.Viewing != nil {
		v := *c.Viewing
		v.Yaw, v.Pitch = geom.Angle(round(v.Yaw.Degrees(), 1e11)), geom.Angle(round(v.Pitch.Degrees(), 1e11))
		c.Viewing = &v
	}
	return &c
}

func TestExerciseRoundTrip(t *testing.T) {
	for _, x := range []*drill.Exercise{twoPoint(), dots()} {
		b := EncodeExercise(x, true)
		got, err := DecodeExercise(b)
		if err != nil {
			t.Errorf("%s: %v", x.ID, err)
			continue
		}
		if !sameExercise(got, x) {
			t.Errorf("%s:\ngot  %+v\nwant %+v", x.ID, got, x)
		}
		if again := EncodeExercise(got, true); !bytes.Equal(again, b) {
			t.Errorf("%s:\nwritten %s\nagain   %s", x.ID, b, again)
		}
	}
}

// TestGeneratedRoundTrip: an issued exercise is graded from its document, so
// the document must keep every bit of what grading goes by.
func TestGeneratedRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom([]drill.Kind{drill.Join, drill.Finish}).Draw(t, "drill")
		v := drill.None
		if k == drill.Finish {
			v = rapid.SampledFrom(views[1:]).Draw(t, "view")
		}
		x, err := drill.New(k, v, rapid.IntRange(drill.MinLevel, drill.MaxLevel).Draw(t, "level"), rapid.Uint64().Draw(t, "seed"))
		if err != nil {
			t.Fatal(err)
		}
		x.ID = "k7"
		b := EncodeExercise(x, true)
		got, err := DecodeExercise(b)
		if err != nil {
			t.Fatalf("%v\n%s", err, b)
		}
		if again := EncodeExercise(got, true); !bytes.Equal(again, b) {
			t.Fatalf("written %s\nagain   %s", b, again)
		}
		if !reflect.DeepEqual(got.Corners, x.Corners) || !reflect.DeepEqual(got.Points, x.Points) ||
			!reflect.DeepEqual(got.Edges, x.Edges) || !reflect.DeepEqual(got.Targets, x.Targets) {
			t.Fatalf("got  %+v\nwant %+v", got, x)
		}
		if _, err := DecodeExercise(EncodeExercise(x, false)); k == drill.Finish && err == nil {
			t.Fatal("the form without answers was taken for one with them")
		}
		leak(t, x, EncodeExercise(x, false))
	})
}

// TestWithheld: before the attempt is handed in, no number of what is to be
// found is in the document, nor is anything else but what is drawn.
func TestWithheld(t *testing.T) {
	x := twoPoint()
	b := EncodeExercise(x, false)
	leak(t, x, b)
	for _, word := range []string{"viewing", "proportions", "cube", "distance", "line"} {
		if bytes.Contains(b, []byte(`"`+word)) {
			t.Errorf("%q is in %s", word, b)
		}
	}
	var doc struct {
		Corners []*[2]float64
		Points  []struct{ At *[3]float64 }
	}
	if err := json.Unmarshal(b, &doc); err != nil {
		t.Fatal(err)
	}
	for i, given := range []bool{true, true, true, true, true, false, false, false} { // ends at corner 0, and mark 3
		if (doc.Corners[i] != nil) != given {
			t.Errorf("corner %d: %v", i, doc.Corners[i])
		}
	}
	for i, shown := range []bool{false, false, true} {
		if (doc.Points[i].At != nil) != shown {
			t.Errorf("point %d: %v", i, doc.Points[i].At)
		}
	}
	if !bytes.Contains(EncodeExercise(x, true), []byte(`"viewing"`)) {
		t.Error("the revealed form lacks its viewing")
	}
}

// leak looks for the answers' numbers in a withheld document. A number that
// something drawn has too is no leak.
func leak(t fataler, x *drill.Exercise, b []byte) {
	var doc any
	if err := json.Unmarshal(b, &doc); err != nil {
		t.Fatalf("%v", err)
	}
	there := map[int64]bool{}
	collect(doc, there)
	drawn := map[int64]bool{micro(x.Sheet.Width): true, micro(x.Sheet.Height): true}
	given := x.CornersGiven()
	for i, c := range x.Corners {
		if given[i] {
			drawn[micro(c.X)], drawn[micro(c.Y)] = true, true
		}
	}
	for _, p := range x.Points {
		if p.Shown {
			drawn[micro(p.At.X)], drawn[micro(p.At.Y)] = true, true
		}
	}
	if x.Horizon != nil && x.Horizon.Shown {
		drawn[micro(x.Horizon.Line.C)] = true
	}
	secret := func(what string, v ...float64) {
		for _, v := range v {
			if small := micro(v)%1e6 == 0 && math.Abs(v) < 20; small || drawn[micro(v)] {
				continue // as good as any number
			}
			if there[micro(v)] {
				t.Fatalf("%s: %v is in %s", what, v, b)
			}
		}
	}
	for i, c := range x.Corners {
		if !given[i] {
			secret("corner "+strconv.Itoa(i), c.X, c.Y)
		}
	}
	for _, p := range x.Points {
		if !p.Shown {
			secret(p.ID, p.At.X, p.At.Y)
		}
	}
	if x.Horizon != nil && !x.Horizon.Shown {
		secret("horizon", x.Horizon.Line.C)
	}
	if x.Viewing != nil {
		secret("viewing", x.Viewing.Principal.X, x.Viewing.Principal.Y, x.Viewing.Distance)
	}
	for _, box := range x.Boxes {
		secret("proportions", box.Proportions[:]...)
	}
}

// micro is the size of v in millionths.
func micro(v float64) int64 { return int64(math.Round(math.Abs(v) * 1e6)) }

// collect gathers every number of a document, those in texts too.
func collect(v any, into map[int64]bool) {
	switch v := v.(type) {
	case float64:
		into[micro(v)] = true
	case string:
		if f, err := strconv.ParseFloat(v, 64); err == nil && math.Abs(f) < 1e9 {
			into[micro(f)] = true
		}
	case []any:
		for _, e := range v {
			collect(e, into)
		}
	case map[string]any:
		for k, e := range v {
			if k != "seed" { // any number at all
				collect(e, into)
			}
		}
	}
}

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

func TestDecodeExerciseRefuses(t *testing.T) {
	whole := string(EncodeExercise(twoPoint(), true))
	e4 := `{"id":"e4","box":0,"set":"depth","corners":[0,2],"given":true,"hidden":` + strconv.FormatBool(twoPoint().Edges[4].Hidden) + `}`
	join := string(EncodeExercise(dots(), true))
	for _, c := range []struct{ name, body, old, new, pointer, detail string }{
		{"unknown field", whole, `"level":9`, `"level":9,"mood":1`, "/mood", "no such field"},
		{"repeated field", whole, `"level":9`, `"level":9,"level":9`, "/level", "twice"},
		{"unknown field in a point", whole, `"id":"p-width"`, `"id":"p-width","colour":1`, "/points/0/colour", "no such field"},
		{"unknown drill", whole, `"finish"`, `"begin"`, "/drill", "finish"},
		{"unknown view", whole, `"view":"two"`, `"view":"four"`, "/view", `"two"`},
		{"level 11", whole, `"level":9`, `"level":11`, "/level", "from 1 to 10"},
		{"level 2.5", whole, `"level":9`, `"level":2.5`, "/level", "whole"},
		{"seed as number", whole, `"9007199254740993"`, `9007199254740993`, "/seed", "a string"},
		{"seed too large", whole, `"9007199254740993"`, `"18446744073709551616"`, "/seed", "decimal"},
		{"seed with a zero", whole, `"9007199254740993"`, `"07"`, "/seed", "decimal"},
		{"seed with a sign", whole, `"9007199254740993"`, `"+7"`, "/seed", "decimal"},
		{"no sheet", whole, `"width_mm":297`, `"width_mm":0`, "/sheet/width_mm", "from 10"},
		{"no point", whole, `"at":[0,1,0]`, `"at":[0,0,0]`, "/points/2/at", "no point"},
		{"unknown set", whole, `"set":"width","box":0,"at"`, `"set":"breadth","box":0,"at"`, "/points/0/set", `"depth"`},
		{"set twice", whole, `"set":"width","box":0,"at"`, `"set":"depth","box":0,"at"`, "/points/1", "already"},
		{"point id twice", whole, `"id":"p-depth"`, `"id":"p-width"`, "/points/1/id", "twice"},
		{"point of no box", whole, `"set":"width","box":0,"at"`, `"set":"width","box":1,"at"`, "/points/0/box", "no box 1"},
		{"mark of no corner", whole, `"marks":[3]`, `"marks":[8]`, "/marks/0", "no corner 8"},
		{"negative mark", whole, `"marks":[3]`, `"marks":[-1]`, "/marks/0", "from 0"},
		{"edge to no corner", whole, e4, strings.Replace(e4, "[0,2]", "[0,8]", 1), "/edges/4/corners/1", "no corner 8"},
		{"edge of one corner", whole, e4, strings.Replace(e4, "[0,2]", "[0]", 1), "/edges/4/corners", "2 corner numbers"},
		{"edge from and to one corner", whole, e4, strings.Replace(e4, "[0,2]", "[2,2]", 1), "/edges/4/corners", "one another"},
		{"edge id twice", whole, e4, strings.Replace(e4, "e4", "e3", 1), "/edges/4/id", "twice"},
		{"edge without id", whole, e4, strings.Replace(e4, `"id":"e4",`, "", 1), "/edges/4", `"id" is missing`},
		{"edge of no box", whole, e4, strings.Replace(e4, `"box":0`, `"box":3`, 1), "/edges/4/box", "no box 3"},
		{"set without a point", whole, whole[strings.Index(whole, `{"id":"p-depth"`):strings.Index(whole, `{"id":"p-height"`)], "", "/edges/4/set", "depth set"},
		{"seven corners", whole, `"corners":[0,1,2,3,4,5,6,7]`, `"corners":[0,1,2,3,4,5,6]`, "/boxes/0/corners", "8 corner numbers"},
		{"nine corners", whole, `"corners":[0,1,2,3,4,5,6,7]`, `"corners":[0,1,2,3,4,5,6,7,0]`, "/boxes/0/corners", "at most 8"},
		{"a corner twice", whole, `"corners":[0,1,2,3,4,5,6,7]`, `"corners":[0,1,2,3,4,5,6,6]`, "/boxes/0/corners", "twice"},
		{"no proportion", whole, `"proportions":[1.1,`, `"proportions":[0,`, "/boxes/0/proportions/0", "from"},
		{"asked for what is not there", whole, `"asked":{"edges":["e1"`, `"asked":{"edges":["e99"`, "/asked/edges/0", "e99"},
		{"asked twice", whole, `"asked":{"edges":["e1","e2"`, `"asked":{"edges":["e1","e1"`, "/asked/edges/1", "twice"},
		{"point asked that is not there", whole, `"points":[],"horizon":false}`, `"points":["p"],"horizon":false}`, "/asked/points/0", `"p"`},
		{"no distance", whole, `"distance_mm":280`, `"distance_mm":0`, "/viewing/distance_mm", "from 1"},
		{"dot on dot", join, `"a":[20,20],"b":[100.25,30]`, `"a":[20,20],"b":[20,20]`, "/targets/0", "one another"},
		{"dot far off", join, `"a":[20,20]`, `"a":[20,2e9]`, "/targets/0/a/1", "from -1e+06"},
		{"horizon asked that is not there", join, `"horizon":false`, `"horizon":true`, "/asked/horizon", "none"},
	} {
		if !strings.Contains(c.body, c.old) {
			t.Errorf("%s: %q is not in the document: %s", c.name, c.old, c.body)
			continue
		}
		_, err := DecodeExercise([]byte(strings.Replace(c.body, c.old, c.new, 1)))
		var input *ink.InputError
		if !errors.As(err, &input) || input.Pointer != c.pointer || !strings.Contains(input.Detail, c.detail) {
			t.Errorf("%s: got %v, want %q with %q", c.name, err, c.pointer, c.detail)
		}
	}
	var input *ink.InputError
	if _, err := DecodeExercise(EncodeExercise(twoPoint(), false)); !errors.As(err, &input) {
		t.Errorf("the withheld form: %v", err)
	}
	if _, err := DecodeExercise(make([]byte, MaxExerciseBytes+1)); !errors.Is(err, ErrTooLarge) {
		t.Errorf("1 MiB and a byte: %v", err)
	}
}

// TestDecodeExerciseScales: a direction or a line that came rounded is not
// rounded again, and one of another scale is brought to the usual.
func TestDecodeExerciseScales(t *testing.T) {
	whole := string(EncodeExercise(twoPoint(), true))
	for _, c := range []struct {
		at   string
		want geom.Point
	}{
		{"[0.6,0.8,0]", geom.Point{X: 0.6, Y: 0.8}}, {"[0.707106781,0.707106781,0]", geom.Point{X: 0.707106781, Y: 0.707106781}},
		{"[0,-3,0]", geom.Point{Y: 1}}, {"[-4,-2,-2]", geom.Point{X: 2, Y: 1, W: 1}}, {"[-0.6,-0.8,0]", geom.Point{X: 0.6, Y: 0.8}},
	} {
		x, err := DecodeExercise([]byte(strings.Replace(whole, "[0,1,0]", c.at, 1)))
		if err != nil || x.Points[2].At != c.want {
			t.Errorf("%s: got %+v, %v", c.at, x, err)
		}
	}
	horizon := `"line":[0,1,-70]`
	if !strings.Contains(whole, horizon) {
		t.Fatalf("no %s in %s", horizon, whole)
	}
	x, err := DecodeExercise([]byte(strings.Replace(whole, horizon, `"line":[-3.8494753e-17,1.0,-358.57121]`, 1)))
	if err != nil || x.Horizon.Line != (geom.Line{A: -3.8494753e-17, B: 1, C: -358.57121}) {
		t.Errorf("horizon: got %+v, %v", x, err)
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
		{`{"drill":"finish","level":1}`, ""}, {`{"view":"one","level":1}`, ""}, {`{"drill":"finish","view":"one"}`, ""},
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

func FuzzDecodeExercise(f *testing.F) {
	f.Add(EncodeExercise(twoPoint(), true))
	f.Add(EncodeExercise(twoPoint(), false))
	f.Add(EncodeExercise(dots(), true))
	f.Fuzz(func(t *testing.T, b []byte) {
		x, err := DecodeExercise(b)
		var input *ink.InputError
		switch {
		case err == nil:
		case errors.Is(err, ErrSyntax):
			if well(b) {
				t.Fatalf("JSON taken for malformed: %v\n%s", err, b)
			}
			return
		case errors.As(err, &input) || errors.Is(err, ErrTooLarge):
			return
		default:
			t.Fatalf("an error of no kind: %v", err)
		}
		if !json.Valid(b) || repeatedKeys(b) {
			t.Fatalf("taken: %s", b)
		}
		once := EncodeExercise(x, true)
		again, err := DecodeExercise(once)
		if err != nil || !sameExercise(x, again) {
			t.Fatalf("written and read again: %v\n%+v\n%+v", err, x, again)
		}
		if twice := EncodeExercise(again, true); !bytes.Equal(once, twice) {
			t.Fatalf("once  %s\ntwice %s", once, twice)
		}
		for _, e := range x.Edges {
			if l := x.Segment(e).Len(); !(l > 0 && l < math.Inf(1)) {
				t.Fatalf("edge %s is %v long", e.ID, l)
			}
			if _, ok := x.Point(e.Box, e.Set); !ok {
				t.Fatalf("edge %s has no vanishing point", e.ID)
			}
		}
		if !json.Valid(EncodeExercise(x, false)) {
			t.Fatal("the withheld form is not JSON")
		}
	})
}
