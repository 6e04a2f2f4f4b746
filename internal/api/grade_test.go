package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

// nearGrade reports whether two grades are the same: angles to 1e-9 of a
// degree, all else exactly.
func nearGrade(a, b *grade.Grade) bool { return near(reflect.ValueOf(a), reflect.ValueOf(b)) }

var angleType = reflect.TypeFor[geom.Angle]()

func near(a, b reflect.Value) bool {
	switch {
	case a.Type() != b.Type():
		return false
	case a.Type() == angleType:
		return math.Abs(geom.Angle(a.Float()-b.Float()).Degrees()) <= 1e-9
	}
	switch a.Kind() {
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() {
			return a.IsNil() && b.IsNil()
		}
		return near(a.Elem(), b.Elem())
	case reflect.Struct:
		for i := range a.NumField() {
			if !near(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !near(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	}
	return a.Interface() == b.Interface()
}

func checkGrade(t fataler, g *grade.Grade) {
	b := EncodeGrade(g)
	got, err := DecodeGrade(b)
	if err != nil || !nearGrade(got, g) {
		t.Fatalf("%v\ngot  %+v\nwant %+v\n%s", err, got, g, b)
	}
	if again := EncodeGrade(got); !bytes.Equal(again, b) {
		t.Fatalf("written %s\nagain   %s", b, again)
	}
	if !json.Valid(b) {
		t.Fatalf("no JSON: %s", b)
	}
}

func TestGradeRoundTrip(t *testing.T) {
	checkGrade(t, gradeAllWays())
	checkGrade(t, &grade.Grade{Attempt: "a", Exercise: "b"})
	numbers := rapid.OneOf(rapid.Float64Range(-500, 500), rapid.SampledFrom([]float64{0, 1e-12, 1e300, -1e-7}))
	angles := rapid.Map(rapid.OneOf(rapid.Float64Range(-89.9, 90), rapid.SampledFrom([]float64{0, 90, 1e-10, -1e-10, 45})), geom.Degrees)
	angle := rapid.OneOf(rapid.Just((*geom.Angle)(nil)), rapid.Map(angles, func(a geom.Angle) *geom.Angle { return &a }))
	rapid.Check(t, func(t *rapid.T) {
		g := gradeAllWays()
		g.Score = rapid.IntRange(0, 100).Draw(t, "score")
		g.RMS, g.Hand, g.HorizonError = angle.Draw(t, "rms"), angle.Draw(t, "hand"), angle.Draw(t, "horizon")
		for i := range g.Lines[:2] {
			l := &g.Lines[i]
			l.Error, l.ErrorSE = angles.Draw(t, "error"), angles.Draw(t, "se")
			l.Length, l.StartGap, l.EndGap, l.Bow = numbers.Draw(t, "l"), numbers.Draw(t, "s"), numbers.Draw(t, "e"), numbers.Draw(t, "b")
			l.From = geom.Vec{X: numbers.Draw(t, "x"), Y: numbers.Draw(t, "y")}
		}
		for i := range g.Sets {
			s := &g.Sets[i]
			s.RMS, s.Bias, s.Scatter = angles.Draw(t, "rms"), angles.Draw(t, "bias"), angles.Draw(t, "scatter")
			s.Turn, s.TurnSE, s.Early, s.EarlySE = angle.Draw(t, "turn"), angle.Draw(t, "se"), angle.Draw(t, "early"), angle.Draw(t, "se")
		}
		g.Findings[0].Text = rapid.String().Draw(t, "text")
		g.Findings[0].P = rapid.Float64Range(0, 1).Draw(t, "p")
		checkGrade(t, g)
	})
}

// TestRealGradesRoundTrip grades the check files: whatever the grader makes of
// a drawing can be kept and read again, and is as it was described.
func TestRealGradesRoundTrip(t *testing.T) {
	d := description(t)
	constructions := 0
	for _, name := range []string{"hands.jsonl.gz", "view-attempts.jsonl"} {
		for i, line := range checkLines(t, name) {
			x, a, err := DecodeLine(line)
			if err != nil {
				t.Fatalf("%s line %d: %v", name, i+1, err)
			}
			g, err := grade.Of(x, a, grade.Hand{})
			if x.Kind != drill.Finish {
				continue // graded or refused, that is the grader's matter
			}
			if err != nil {
				t.Fatalf("%s line %d: %v", name, i+1, err)
			}
			for _, l := range g.Lines {
				if l.Edge == "" {
					constructions++
				}
			}
			checkGrade(t, g)
			if err := d.Check("Grade", EncodeGrade(g)); err != nil {
				t.Errorf("%s line %d: %v", name, i+1, err)
			}
		}
	}
	if constructions == 0 {
		t.Error("no drawing had a construction line")
	}
}

// TestGradeFields reads a grade with encoding/json: names, units, and what is
// null, what left out.
func TestGradeFields(t *testing.T) {
	var m map[string]any
	if err := json.Unmarshal(EncodeGrade(gradeAllWays()), &m); err != nil {
		t.Fatal(err)
	}
	line := m["lines"].([]any)[0].(map[string]any)
	for name, want := range map[string]any{"edge": "e4", "set": "depth", "role": "edge", "length_mm": 61.0, "error_deg": 2.6,
		"error_se_deg": 0.5, "miss_mm": 12.412345678901234, "start_gap_mm": 0.8, "end_gap_mm": -2.1, "bow_mm": -0.6, "wobble_mm": 0.2} {
		if line[name] != want {
			t.Errorf("%s: got %v, want %v", name, line[name], want)
		}
	}
	target := m["lines"].([]any)[1].(map[string]any)
	if _, ok := target["set"]; ok {
		t.Error("a target has a set")
	}
	if miss, ok := target["miss_mm"]; !ok || miss != nil {
		t.Errorf("miss_mm of a point at infinity: %v, %v", miss, ok)
	}
	set := m["sets"].([]any)[1].(map[string]any)
	for _, name := range []string{"fitted_point", "fitted_point_cov", "turn_deg", "early_deg"} {
		if v, ok := set[name]; !ok || v != nil {
			t.Errorf("%s not determined: %v, %v", name, v, ok)
		}
	}
	m = nil
	if err := json.Unmarshal(EncodeGrade(&grade.Grade{Attempt: "a", Exercise: "b"}), &m); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"rms_error_deg", "hand_deg"} {
		if v, ok := m[name]; !ok || v != nil {
			t.Errorf("%s not known: %v, %v", name, v, ok)
		}
	}
	for _, name := range []string{"corners", "proportions", "horizon_error_deg"} {
		if _, ok := m[name]; ok {
			t.Errorf("%s does not apply but is there", name)
		}
	}
	for _, name := range []string{"lines", "sets", "missing", "unmatched", "findings"} {
		if v, ok := m[name].([]any); !ok || len(v) != 0 {
			t.Errorf("%s: %v", name, m[name])
		}
	}
}

// TestGradeErrorAtRightAngles: rounding may not bring an error to -90, which
// is outside (-90, 90].
func TestGradeErrorAtRightAngles(t *testing.T) {
	g := gradeAllWays()
	g.Lines[0].Error = geom.Degrees(-90 + 1e-11)
	b := EncodeGrade(g)
	if !bytes.Contains(b, []byte(`"error_deg":90,`)) {
		t.Errorf("got %s", b)
	}
}

// TestGradeHugeAngle: a standard error of what is not determined may not make
// a document that cannot be read.
func TestGradeHugeAngle(t *testing.T) {
	for _, d := range []float64{1e5, 1e6, 1e300, math.MaxFloat64} {
		g := gradeAllWays()
		g.Lines[0].ErrorSE = geom.Degrees(d)
		got, err := DecodeGrade(EncodeGrade(g))
		if err != nil || math.Abs(got.Lines[0].ErrorSE.Degrees()-1e5) > 1e-9 {
			t.Errorf("%v: %v, %v", d, got, err)
		}
	}
}

func TestDecodeGradeRefuses(t *testing.T) {
	whole := string(EncodeGrade(gradeAllWays()))
	for _, c := range []struct{ old, new, pointer string }{
		{`"score":78`, `"score":101`, "/score"}, {`"score":78`, `"score":78,"luck":1`, "/luck"},
		{`"set":"depth"`, `"set":"deep"`, "/lines/0/set"}, {`"miss_mm":null`, `"miss_mm":"far"`, "/lines/1/miss_mm"},
		{`"proportions":[1,1,1.12]`, `"proportions":[1,1]`, "/proportions"}, {`"unmatched":[5]`, `"unmatched":[512]`, "/unmatched/0"},
	} {
		if !strings.Contains(whole, c.old) {
			t.Fatalf("%s is not in %s", c.old, whole)
		}
		_, err := DecodeGrade([]byte(strings.Replace(whole, c.old, c.new, 1)))
		var input *ink.InputError
		if !errors.As(err, &input) || input.Pointer != c.pointer {
			t.Errorf("%s: got %v, want it at %q", c.new, err, c.pointer)
		}
	}
	for i := range whole {
		if _, err := DecodeGrade([]byte(whole[:i])); err == nil {
			t.Fatalf("taken: %s", whole[:i])
		}
	}
}

func FuzzDecodeGrade(f *testing.F) {
	f.Add(EncodeGrade(gradeAllWays()))
	f.Add(EncodeGrade(&grade.Grade{Attempt: "a", Exercise: "b"}))
	f.Fuzz(func(t *testing.T, b []byte) {
		g, err := DecodeGrade(b)
		if err != nil {
			return
		}
		once := EncodeGrade(g)
		again, err := DecodeGrade(once)
		if err != nil {
			t.Fatalf("%v: %s", err, once)
		}
		if twice := EncodeGrade(again); !bytes.Equal(once, twice) {
			t.Fatalf("once  %s\ntwice %s", once, twice)
		}
	})
}
