package api

import (
	"bytes"
	"encoding/json"
	"errors"
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
