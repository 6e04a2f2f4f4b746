package api

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"strings"
	"testing"
	"time"

	"boxwright/internal/api/openapi"
	"boxwright/internal/drill"
	"boxwright/internal/grade"
)

var update = flag.Bool("update", false, "write the golden documents anew")

func description(t testing.TB) *openapi.Description {
	t.Helper()
	b, err := os.ReadFile("../../web/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	d, err := openapi.Parse(b)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func progressAllWays() Progress {
	v := func(f float64) *float64 { return &f }
	at := time.Date(2031, 3, 9, 18, 30, 0, 0, time.UTC)
	sets := []SetError{{Set: "depth", Lines: 3, RMS: v(2.4), Bias: v(2.1), Scatter: v(0.9), Turn: v(-2), Early: v(0.7)}, {Set: "height", Lines: 1, RMS: v(0.2)}}
	of := []SkillSet{{Set: "depth", Lines: 21, RMS: v(2.4), Early: v(0.7)}, {Set: "height", Lines: 7}}
	return Progress{
		Attempts: 12,
		Skills:   []Skill{{Drill: drill.Finish, View: drill.Two, Level: 4, Sheets: 7, Last: at, Error: v(2.2), Low: v(1.5), High: v(3.1), Sets: of}, {Drill: drill.Join, View: drill.None, Level: 1, Sheets: 1, Last: at}},
		Trend:    []TrendPoint{{Attempt: "0190163d-8694-739b-aea5-966c26f8ad91", At: at, Drill: drill.Finish, View: drill.Two, Level: 4, Score: 78, RMS: v(1.6), Sets: sets}},
		Days:     []Day{{Date: "2031-03-09", Sheets: 3, Lines: 27, Score: 70.5}, {Date: "2031-03-11", Sheets: 1}},
	}
}

// TestSchemas holds what is written against what is promised.
func TestSchemas(t *testing.T) {
	d := description(t)
	a := attemptAllWays()
	bare := *a
	bare.Strokes, bare.Marks, bare.Started = nil, nil, time.Time{}
	view := EncodeAttemptView(EncodeExercise(twoPoint(), true), EncodeAttempt(a), EncodeGrade(gradeAllWays()))
	for _, c := range []struct {
		component string
		doc       []byte
	}{
		{"Exercise", EncodeExercise(twoPoint(), true)}, {"Exercise", EncodeExercise(dots(), true)},
		{"WithheldExercise", EncodeExercise(twoPoint(), false)}, {"WithheldExercise", EncodeExercise(dots(), false)},
		{"Exercise", EncodeExercise(everyDrill(), true)}, {"WithheldExercise", EncodeExercise(everyDrill(), false)},
		{"Attempt", EncodeAttempt(a)}, {"Attempt", EncodeAttempt(&bare)}, {"Attempt", []byte(smallest)},
		{"Grade", EncodeGrade(gradeAllWays())}, {"Grade", EncodeGrade(&grade.Grade{Attempt: a.ID, Exercise: "x"})},
		{"AttemptView", view}, {"Progress", EncodeProgress(progressAllWays())}, {"Progress", EncodeProgress(Progress{})},
		{"Problem", EncodeProblem(Problem{Title: "Does not fit", Status: 422, Detail: "times must not fall", Pointer: "/strokes/0/t/1", Instance: "urn:request:1"})},
		{"Problem", EncodeProblem(Problem{Title: "Not found", Status: 404})},
		{"NewExercise", []byte(`{"drill":"finish","view":"two","level":4,"seed":"9007199254740993"}`)},
		{"NewExercise", []byte(`{"drill":"join","level":4}`)},
	} {
		if err := d.Check(c.component, c.doc); err != nil {
			t.Errorf("%s: %v\n%s", c.component, err, c.doc)
		}
	}
	for i, line := range checkLines(t, "hands.jsonl.gz") {
		var raw struct{ Attempt json.RawMessage }
		if err := json.Unmarshal(line, &raw); err != nil {
			t.Fatal(err)
		}
		if err := d.Check("Attempt", raw.Attempt); err != nil {
			t.Errorf("attempt made elsewhere %d: %v", i, err)
		}
	}
}

// TestSchemasRefuse: the schemas are strict, so that the test above means
// something.
func TestSchemasRefuse(t *testing.T) {
	d := description(t)
	full, withheld := string(EncodeExercise(twoPoint(), true)), string(EncodeExercise(twoPoint(), false))
	g := string(EncodeGrade(gradeAllWays()))
	for _, c := range []struct{ component, doc, old, new string }{
		{"WithheldExercise", full, "", ""},
		{"Exercise", withheld, "", ""},
		{"WithheldExercise", withheld, `"box":0,"shown":false`, `"box":0,"at":[1,2,1],"shown":false`},
		{"WithheldExercise", withheld, `"horizon":{"shown":false}`, `"horizon":{"line":[0,1,-70],"shown":false}`},
		{"WithheldExercise", withheld, `"level":9`, `"level":9,"mood":1`},
		{"Exercise", full, `"seed":"9007199254740993"`, `"seed":9007199254740993`},
		{"Attempt", smallest, `[1,2]`, `[1]`}, {"Attempt", smallest, `[1,2]`, `[1,null]`},
		{"Attempt", smallest, `"pen"`, `"quill"`}, {"Attempt", smallest, `"p":[0.5,1]`, `"p":[0.5,1.5]`},
		{"Attempt", smallest, `"strokes"`, `"marks":[{"for":"p"}],"strokes"`}, {"Attempt", smallest, `aea5`, `aeg5`},
		{"Grade", g, `"score":78`, `"score":101`}, {"Grade", g, `"score":78`, `"score":7.5`}, {"Grade", g, `"hand_deg":0.7,`, ``},
		{"Grade", g, `"error_deg":2.6`, `"error_deg":-90`}, {"Grade", g, `"set":"depth",`, ``}, {"Grade", g, `"missing":["e7"]`, `"missing":"e7"`},
		{"NewExercise", `{"drill":"finish","level":4}`, "", ""}, {"NewExercise", `{"drill":"join","view":"one","level":4}`, "", ""},
		{"NewExercise", `{"drill":"finish","view":"none","level":4}`, "", ""}, {"Problem", `{"type":"about:blank","title":"x"}`, "", ""},
	} {
		if !strings.Contains(c.doc, c.old) {
			t.Fatalf("%s is not in %s", c.old, c.doc)
		}
		doc := strings.Replace(c.doc, c.old, c.new, 1)
		if err := d.Check(c.component, []byte(doc)); err == nil {
			t.Errorf("%s takes %.300s", c.component, doc)
		}
	}
}

// TestSchemasAndDecoder: what the decoder refuses for its form, the schema
// refuses too, and the other way round.
func TestSchemasAndDecoder(t *testing.T) {
	d := description(t)
	for _, doc := range []string{
		smallest, with(`"version":1`, `"version":2`), with(`"exercise":"x"`, `"exercise":""`), with(`"pen"`, `"pen","px_per_mm":0`),
		with(`"x":[1,2]`, `"by":"pen","x":[1,2]`), with(`"x":[1,2]`, `"by":"ruler","x":[1,2]`), with(`[0,5]`, `[-1,5]`), with(`"p":[0.5,1]`, `"p":[0.5,-0.1]`),
		with(`"input":{"pointer":"pen"},`, ``), with(`"y":[3,4],`, ``), with(`"t":[0,5],"p":[0.5,1]`, `"role":"construction"`), with(`"t":[0,5],"p":[0.5,1]`, `"role":"x"`),
		with(`"input"`, `"started_at":"2031-03-09T18:30:00Z","input"`), with(`"input"`, `"started_at":"9 March","input"`), with(`"input"`, `"marks":[{"for":"p","edge":"e"}],"input"`),
	} {
		_, err := DecodeAttempt([]byte(doc))
		if schema := d.Check("Attempt", []byte(doc)); (err == nil) != (schema == nil) {
			t.Errorf("decoder: %v, schema: %v\n%s", err, schema, doc)
		}
	}
}

// TestProblem reads a problem document with encoding/json.
func TestProblem(t *testing.T) {
	var got map[string]any
	b := EncodeProblem(Problem{Title: "Does not \"fit\"\n</script>", Status: 422, Detail: "\u2028é\xff", Pointer: "/a~1b"})
	if err := json.Unmarshal(b, &got); err != nil {
		t.Fatalf("%v: %s", err, b)
	}
	if got["type"] != "about:blank" || got["title"] != "Does not \"fit\"\n</script>" || got["status"] != 422.0 || got["detail"] != "\u2028é\ufffd" || got["pointer"] != "/a~1b" {
		t.Errorf("got %v", got)
	}
	if bytes.ContainsAny(b, "<>\u2028") {
		t.Errorf("%s may end a script element", b)
	}
	if _, ok := got["instance"]; ok {
		t.Error("an empty instance is there")
	}
}

func TestProgressFields(t *testing.T) {
	var got struct {
		Attempts int
		Skills   []map[string]any
		Trend    []map[string]any
		Days     []map[string]any
	}
	if err := json.Unmarshal(EncodeProgress(progressAllWays()), &got); err != nil {
		t.Fatal(err)
	}
	if got.Attempts != 12 || got.Skills[0]["error_high_deg"] != 3.1 || got.Skills[1]["error_deg"] != nil ||
		got.Trend[0]["at"] != "2031-03-09T18:30:00Z" || got.Days[0]["score"] != 70.5 || got.Days[1]["rms_error_deg"] != nil {
		t.Errorf("got %+v", got)
	}
}

// wire lists the golden documents, which the scripts' tests read too.
func wire() map[string][]byte {
	return map[string][]byte{
		"exercise-withheld.json": EncodeExercise(twoPoint(), false),
		"exercise.json":          EncodeExercise(twoPoint(), true),
		"exercise-join.json":     EncodeExercise(dots(), false),
		"attempt.json":           EncodeAttempt(attemptAllWays()),
		"grade.json":             EncodeGrade(gradeAllWays()),
		"progress.json":          EncodeProgress(progressAllWays()),
		"problem.json":           EncodeProblem(Problem{Title: "Does not fit", Status: 422, Detail: "times must not fall: 4.9 follows 5", Pointer: "/strokes/0/t/1"}),
	}
}

func TestWireGoldens(t *testing.T) {
	for name, doc := range wire() {
		path := "../../testdata/wire/" + name
		doc = append(doc, '\n')
		if *update {
			if err := os.MkdirAll("../../testdata/wire", 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, doc, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Error(err)
			continue
		}
		// Numbers may differ in their last bits from one machine to another.
		if !alike(t, doc, want) {
			t.Errorf("%s:\ngot  %s\nwant %s", name, doc, want)
		}
	}
}

func alike(t *testing.T, a, b []byte) bool {
	var v, w any
	if err := json.Unmarshal(a, &v); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &w); err != nil {
		t.Fatal(err)
	}
	return alikeValue(v, w)
}

func alikeValue(v, w any) bool {
	switch v := v.(type) {
	case float64:
		f, ok := w.(float64)
		return ok && (v == f || v-f < 1e-9 && f-v < 1e-9)
	case []any:
		l, ok := w.([]any)
		if !ok || len(l) != len(v) {
			return false
		}
		for i := range v {
			if !alikeValue(v[i], l[i]) {
				return false
			}
		}
		return true
	case map[string]any:
		m, ok := w.(map[string]any)
		if !ok || len(m) != len(v) {
			return false
		}
		for k := range v {
			if _, ok := m[k]; !ok || !alikeValue(v[k], m[k]) {
				return false
			}
		}
		return true
	}
	return v == w
}
