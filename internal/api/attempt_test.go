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

	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

const smallest = `{"version":1,"attempt":"0190163d-8694-739b-aea5-966c26f8ad91","exercise":"x","input":{"pointer":"pen"},"strokes":[{"x":[1,2],"y":[3,4],"t":[0,5],"p":[0.5,1]}]}`

// with returns the smallest attempt with one piece of text replaced.
func with(old, new string) string {
	if !strings.Contains(smallest, old) {
		panic(old)
	}
	return strings.Replace(smallest, old, new, 1)
}

func column(n int) string { return "[" + strings.Repeat("1,", n-1) + "1]" }

func TestDecodeAttemptRefuses(t *testing.T) {
	stroke := `{"x":[1,2],"y":[3,4]}`
	for _, c := range []struct{ name, body, pointer, detail string }{
		{"unknown field", with(`"version":1`, `"version":1,"mood/~":2`), "/mood~1~0", "no such field"},
		{"unknown field in a stroke", with(`"p":`, `"q":`), "/strokes/0/q", "x, y, role"},
		{"field in other letters", with(`"version"`, `"Version"`), "/Version", "no such field"},
		{"repeated field", with(`"exercise":"x"`, `"exercise":"x","exercise":"x"`), "/exercise", "twice"},
		{"repeated field, escaped", with(`"exercise":"x"`, `"exercise":"x","\u0065xercise":"x"`), "/exercise", "twice"},
		{"repeated column", with(`"t":[0,5]`, `"t":[0,5],"t":[0,5]`), "/strokes/0/t", "twice"},
		{"missing version", with(`"version":1,`, ``), "", `"version" is missing`},
		{"other version", with(`"version":1`, `"version":2`), "/version", "must be 1"},
		{"no UUID", with(`739b-aea5`, `739b-aeg5`), "/attempt", "UUID"},
		{"short UUID", with(`aea5-`, ``), "/attempt", "UUID"},
		{"empty exercise", with(`"x","input"`, `"","input"`), "/exercise", "empty"},
		{"long exercise", with(`"x","input"`, `"`+strings.Repeat("x", 129)+`","input"`), "/exercise", "128"},
		{"number for text", with(`"x","input"`, `7,"input"`), "/exercise", "a string, not a number"},
		{"unknown pointer", with(`"pen"`, `"quill"`), "/input/pointer", `"pen", "touch"`},
		{"no pointer", with(`"pointer":"pen"`, ``), "/input", "pointer"},
		{"no scale", with(`"pen"`, `"pen","px_per_mm":0`), "/input/px_per_mm", "from 0.001"},
		{"unknown role", with(`"x":[1,2]`, `"role":"shade","x":[1,2]`), "/strokes/0/role", `"edge", "construction"`},
		{"by the free hand", with(`"x":[1,2]`, `"by":"pen","x":[1,2]`), "/strokes/0/by", `"ruler"`},
		{"null for a column", with(`"t":[0,5]`, `"t":null`), "/strokes/0/t", "not null"},
		{"one sample", with(`"x":[1,2]`, `"x":[1]`), "/strokes/0/x", "2 to 4096"},
		{"no sample", with(`"x":[1,2]`, `"x":[]`), "/strokes/0/x", "2 to 4096"},
		{"4097 samples", with(`"x":[1,2]`, `"x":`+column(4097)), "/strokes/0/x", "2 to 4096"},
		{"513 strokes", with(`{"x":[1,2],"y":[3,4],"t":[0,5],"p":[0.5,1]}`, strings.Repeat(stroke+",", 512)+stroke), "/strokes", "512"},
		{"longer y", with(`"y":[3,4]`, `"y":[3,4,5]`), "/strokes/0/y", "equal length"},
		{"shorter t", with(`"x":[1,2],"y":[3,4]`, `"x":[1,2,3],"y":[3,4,5]`), "/strokes/0/t", "equal length"},
		{"longer p", with(`"p":[0.5,1]`, `"p":[0.5,1,1]`), "/strokes/0/p", "equal length"},
		{"no y", with(`"y":[3,4],`, ``), "/strokes/0", `"y" is missing`},
		{"falling t", with(`"t":[0,5]`, `"t":[5,4.9]`), "/strokes/0/t/1", "fall"},
		{"negative t", with(`"t":[0,5]`, `"t":[-1,5]`), "/strokes/0/t/0", "negative"},
		{"pressure above 1", with(`"p":[0.5,1]`, `"p":[0.5,1.01]`), "/strokes/0/p/1", "0 to 1"},
		{"overflow", with(`[1,2]`, `[1,1e999]`), "/strokes/0/x/1", "finite"},
		{"overflow below", with(`[1,2]`, `[1,-1e999]`), "/strokes/0/x/1", "finite"},
		{"NaN", with(`[1,2]`, `[1,NaN]`), "/strokes/0/x/1", "finite"},
		{"Infinity", with(`[1,2]`, `[-Infinity,2]`), "/strokes/0/x/0", "finite"},
		{"null sample", with(`[1,2]`, `[1,null]`), "/strokes/0/x/1", "a number, not null"},
		{"text sample", with(`[1,2]`, `["1",2]`), "/strokes/0/x/0", "a number, not a string"},
		{"no time", with(`"input"`, `"started_at":"yesterday","input"`), "/started_at", "2031-03-09T18:30:00Z"},
		{"time before time", with(`"input"`, `"started_at":"0001-01-01T00:00:00Z","input"`), "/started_at", "1970"},
		{"mark of nothing", with(`"input"`, `"marks":[{"for":"p"}],"input"`), "/marks/0", "exactly one"},
		{"mark of two", with(`"input"`, `"marks":[{"for":"p","at":[1,2,1],"edge":"e"}],"input"`), "/marks/0", "exactly one"},
		{"mark of no point", with(`"input"`, `"marks":[{"for":"p","at":[0,0,0]}],"input"`), "/marks/0/at", "no point"},
		{"mark too far", with(`"input"`, `"marks":[{"for":"p","at":[1,1,1e-310]}],"input"`), "/marks/0/at", "infinity"},
		{"mark farther than can be", with(`"input"`, `"marks":[{"for":"p","at":[1,1,1e-13]}],"input"`), "/marks/0/at", "infinity"},
		{"mark of two numbers", with(`"input"`, `"marks":[{"for":"p","at":[1,2]}],"input"`), "/marks/0/at", "3 numbers, not 2"},
		{"mark of no line", with(`"input"`, `"marks":[{"for":"p","line":[0,0,1]}],"input"`), "/marks/0/line", "no line"},
		{"an array", `[]`, "", "an object, not an array"},
		{"true", `true`, "", "an object, not true or false"},
	} {
		_, err := DecodeAttempt([]byte(c.body))
		var input *ink.InputError
		if !errors.As(err, &input) {
			t.Errorf("%s: got %v, want an input error", c.name, err)
			continue
		}
		if input.Pointer != c.pointer || !strings.Contains(input.Detail, c.detail) {
			t.Errorf("%s: got %q %q, want %q with %q", c.name, input.Pointer, input.Detail, c.pointer, c.detail)
		}
		checkDecoded(t, []byte(c.body))
	}
}

func TestDecodeAttemptMalformed(t *testing.T) {
	bodies := []string{
		"", " ", "{", `{"version"`, `{"version":`, `{version:1}`, `{"version":1,}`, `{,}`, "nul", "\x00", "\xef\xbb\xbf" + smallest,
		smallest + "x", smallest + smallest, with(`:1,`, `:01,`), with(`:1,`, `:1.,`), with(`:1,`, `:.5,`), with(`:1,`, `:+1,`),
		with(`:1,`, `:1e,`), with(`:1,`, `:-,`), with(`:1,`, `:1e+,`), with(`[1,2]`, `[1 2]`), with(`[1,2]`, `[1,2,]`), with(`[1,2]`, `[1,,2]`),
		with(`[1,2]`, `[1,2}`), with(`[1,2]`, `[,2]`), with(`"x","input"`, "\"\xff\",\"input\""), with(`"x","input"`, "\"\n\",\"input\""),
		with(`"x","input"`, `"\x","input"`), with(`"x","input"`, `"\u12g4","input"`), with(`"x","input"`, `"\ud800","input"`),
		with(`"x","input"`, `"\udc00\ud800","input"`), with(`"x","input"`, "\"\\n\xc3\x28\",\"input\""), `{"version":1;`, `{"exercise":"`, `{"exercise":"\`,
	}
	for i := range smallest {
		bodies = append(bodies, smallest[:i])
	}
	for _, b := range bodies {
		if _, err := DecodeAttempt([]byte(b)); !errors.Is(err, ErrSyntax) {
			t.Errorf("%.80q: got %v, want malformed", b, err)
		}
		if well([]byte(b)) {
			t.Errorf("%.80q is well-formed: the table is wrong", b)
		}
	}
	_, err := DecodeAttempt([]byte(with(`[1,2]`, `[1,,2]`)))
	if want := strconv.Itoa(strings.Index(smallest, "[1,2]") + 3); err == nil || !strings.HasSuffix(err.Error(), "at byte "+want) {
		t.Errorf("got %q, want it at byte %s", err, want)
	}
}

func TestDecodeAttemptTakes(t *testing.T) {
	for _, b := range []string{
		smallest, " \t\r\n" + smallest + "\n", with(`"x","input"`, `"\ud83d\uDE00\u00e9\\\"\/\b\f\n\r\t é","input"`),
		with(`"t":[0,5],"p":[0.5,1]`, `"role":"construction","by":"keyboard"`), with(`"strokes":[{"x":[1,2],"y":[3,4],"t":[0,5],"p":[0.5,1]}]`, `"strokes":[]`),
		with(`[1,2]`, `[ 1.0e0 , -0 ]`), with(`[1,2]`, `[1234567890.1234567890123456789,5e-324]`), with(`:1,`, `:1.0,`), with(`[0,5]`, `[5,5]`),
		with(`"input"`, `"started_at":"2031-03-09T18:30:00.5+02:00","input"`), with(`"x":[1,2],"y":[3,4],"t":[0,5],"p":[0.5,1]`, `"x":`+column(4096)+`,"y":`+column(4096)),
		with(`"input"`, `"marks":[{"for":"p","at":[-4,2,-2]},{"for":"h","line":[0,-3,6]},{"for":"q","at":[-3,-4,0]}],"input"`),
	} {
		if _, err := DecodeAttempt([]byte(b)); err != nil {
			t.Errorf("%.120s: %v", b, err)
		}
		checkDecoded(t, []byte(b))
	}
	a, err := DecodeAttempt([]byte(with("0190163d-8694-739b-aea5-966c26f8ad91", "0190163D-8694-739B-AEA5-966C26F8AD91")))
	if err != nil || a.ID != "0190163d-8694-739b-aea5-966c26f8ad91" {
		t.Errorf("a UUID in capitals: %v, %v", a, err)
	}
	a, err = DecodeAttempt([]byte(with(`"input"`, `"marks":[{"for":"p","at":[-4,2,-2]},{"for":"h","line":[0,-3,6]}],"input"`)))
	if err != nil || *a.Marks[0].At != (geom.Point{X: 2, Y: -1, W: 1}) || math.Abs(a.Marks[1].Line.B) != 1 || math.Abs(a.Marks[1].Line.C) != 2 {
		t.Errorf("marks not in canonical form: %+v, %v", a, err)
	}
}

func TestDecodeAttemptSize(t *testing.T) {
	fit := smallest + strings.Repeat(" ", MaxAttemptBytes-len(smallest))
	if _, err := DecodeAttempt([]byte(fit)); err != nil {
		t.Errorf("2 MiB: %v", err)
	}
	if _, err := DecodeAttempt([]byte(fit + " ")); !errors.Is(err, ErrTooLarge) {
		t.Errorf("2 MiB and a byte: %v", err)
	}
}

// TestDecodeAttemptMemory: a hostile body may not take much more memory than
// it has bytes.
func TestDecodeAttemptMemory(t *testing.T) {
	commas := []byte(with(`[1,2]`, `[`+strings.Repeat(",", 2_000_000)))
	r := testing.Benchmark(func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			DecodeAttempt(commas)
		}
	})
	if got := r.AllocedBytesPerOp(); got > int64(len(commas)) {
		t.Errorf("%d bytes taken for a body of %d commas", got, len(commas))
	}
}

// TestDecodeAttemptAllocations: memory grows with the strokes and samples by
// bytes, not by pieces.
func TestDecodeAttemptAllocations(t *testing.T) {
	pieces := func(strokes, samples int) float64 {
		b := EncodeAttempt(drawn(twoPoint(), strokes, samples))
		return testing.AllocsPerRun(20, func() {
			if _, err := DecodeAttempt(b); err != nil {
				t.Fatal(err)
			}
		})
	}
	small, large := pieces(2, 10), pieces(24, 120)
	if large > small {
		t.Errorf("%v allocations for 24 strokes of 120 samples, %v for 2 of 10", large, small)
	}
}

// drawAttempt makes any attempt that is valid.
func drawAttempt(t *rapid.T) *grade.Attempt {
	a := attemptAllWays()
	a.Exercise = rapid.StringMatching(`[ -~é€]{1,20}`).Draw(t, "exercise")
	a.Strokes = nil
	places := rapid.OneOf(
		rapid.Map(rapid.IntRange(-90000, 90000), func(i int) float64 { return float64(i) / 100 }),
		rapid.Float64Range(-1e6, 1e6), rapid.SampledFrom([]float64{0, 1e-300, 1e300, 0.1, 5e-324, math.MaxFloat64}))
	for range rapid.IntRange(0, 5).Draw(t, "strokes") {
		n := rapid.IntRange(2, 30).Draw(t, "samples")
		s := ink.Stroke{Role: rapid.SampledFrom(roles).Draw(t, "role"), By: rapid.SampledFrom(append(aids, "")).Draw(t, "by")}
		s.X = rapid.SliceOfN(places, n, n).Draw(t, "x")
		s.Y = rapid.SliceOfN(places, n, n).Draw(t, "y")
		if rapid.Bool().Draw(t, "timed") {
			at := 0.0
			for range n {
				at += rapid.Float64Range(0, 1e4).Draw(t, "dt")
				s.T = append(s.T, at)
			}
		}
		if rapid.Bool().Draw(t, "pressed") {
			s.P = rapid.SliceOfN(rapid.Float64Range(0, 1), n, n).Draw(t, "p")
		}
		a.Strokes = append(a.Strokes, s)
	}
	return a
}

func TestAttemptRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAttempt(t)
		b := EncodeAttempt(a)
		got, err := DecodeAttempt(b)
		if err != nil || !reflect.DeepEqual(got, a) {
			t.Fatalf("%v\ngot  %+v\nwant %+v", err, got, a)
		}
		if plain, err := plainDecode(b); err != nil || !sameAttempt(plain, a) {
			t.Fatalf("encoding/json: %v\ngot  %+v\nwant %+v", err, plain, a)
		}
		// The same document otherwise spaced and ordered is the same attempt.
		var v any
		if err := json.Unmarshal(b, &v); err != nil {
			t.Fatal(err)
		}
		other, err := json.MarshalIndent(v, "\t", " ")
		if err != nil {
			t.Fatal(err)
		}
		if got, err := DecodeAttempt(other); err != nil || !reflect.DeepEqual(got, a) {
			t.Fatalf("otherwise spaced: %v", err)
		}
	})
}

// TestAttemptDamaged changes single bytes of a real document: never a panic,
// and always what the oracle says.
func TestAttemptDamaged(t *testing.T) {
	whole := EncodeAttempt(attemptAllWays())
	rapid.Check(t, func(t *rapid.T) {
		b := bytes.Clone(whole)
		for range rapid.IntRange(1, 3).Draw(t, "times") {
			i := rapid.IntRange(0, len(b)-1).Draw(t, "at")
			switch rapid.IntRange(0, 2).Draw(t, "how") {
			case 0:
				b[i] = rapid.SampledFrom([]byte(`{}[],:"\ 0123456789eE+-.ntfu`)).Draw(t, "byte")
			case 1:
				b = append(b[:i], b[i+1:]...)
			default:
				b = append(b[:i], append(bytes.Clone(b[i:min(len(b), i+5)]), b[i:]...)...)
			}
		}
		checkDecoded(t, b)
	})
}

func FuzzDecodeAttempt(f *testing.F) {
	f.Add([]byte(smallest))
	f.Add(EncodeAttempt(attemptAllWays()))
	f.Add([]byte(with(`[1,2]`, `[1e5,-0.000001E-2]`)))
	f.Add([]byte(with(`"x","input"`, `"\ud83d\ude00","input"`)))
	f.Fuzz(func(t *testing.T, b []byte) { checkDecoded(t, b) })
}
