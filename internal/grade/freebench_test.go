package grade

import (
	"errors"
	"math/rand/v2"
	"testing"
	"time"

	"boxwright/internal/drill"
	"boxwright/internal/ink"
)

func benchmarkFree(b *testing.B, a *Attempt) {
	x := &drill.Exercise{ID: "sim", Kind: drill.Free, Sheet: drill.Size{Width: 297, Height: 210}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Of(x, a, Hand{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFree(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	x, _ := simFree(r, drill.Two)
	benchmarkFree(b, simHands[2].draw(r, x, nil).a)
}

// BenchmarkFreePublished grades the published hands' free drawings and the
// others by turns, and reports what one of each kind costs and how many times
// a free one costs a given one.
func BenchmarkFreePublished(b *testing.B) {
	type drawing struct {
		x *drill.Exercise
		a *Attempt
	}
	var kinds [2][]drawing // given, free
	for _, d := range documents(b, "hands.jsonl.gz") {
		k := 0
		if d.Exercise.Drill == drill.Free {
			k = 1
		}
		kinds[k] = append(kinds[k], drawing{d.exercise(), d.attempt()})
	}
	var spent [2]time.Duration
	n := 0
	for b.Loop() {
		for k, ds := range kinds {
			start := time.Now()
			d := ds[n%len(ds)]
			if _, err := Of(d.x, d.a, Hand{}); err != nil {
				b.Fatal(err)
			}
			spent[k] += time.Since(start)
		}
		n++
	}
	given, free := float64(spent[0])/float64(n), float64(spent[1])/float64(n)
	b.ReportMetric(given, "ns/given")
	b.ReportMetric(free, "ns/free")
	b.ReportMetric(free/given, "free/given")
}

func BenchmarkFreeScribble(b *testing.B) {
	benchmarkFree(b, scribble(rand.New(rand.NewPCG(1, 2)), ink.MaxStrokes))
}

// BenchmarkFreeBundle has every stroke near every other one.
func BenchmarkFreeBundle(b *testing.B) { benchmarkFree(b, hatching(rand.New(rand.NewPCG(1, 2)))) }

// scribble is any strokes at all.
func scribble(r *rand.Rand, n int) *Attempt {
	a := &Attempt{Input: ink.Input{Pointer: ink.Pen}}
	for range n {
		a.Strokes = append(a.Strokes, ink.Stroke{X: []float64{297 * r.Float64(), 297 * r.Float64()}, Y: []float64{210 * r.Float64(), 210 * r.Float64()}})
	}
	return a
}

// hatching is as many strokes as may be, all but parallel.
func hatching(r *rand.Rand) *Attempt {
	a := &Attempt{Input: ink.Input{Pointer: ink.Pen}}
	for range ink.MaxStrokes {
		x, y := 100+30*r.Float64(), 100+30*r.Float64()
		a.Strokes = append(a.Strokes, ink.Stroke{X: []float64{x, x + 40}, Y: []float64{y, y + 4*r.Float64()}})
	}
	return a
}

// However many strokes there are, and whatever they are, the grade comes soon
// and all its numbers are finite.
func TestFreeOfAnything(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	x := &drill.Exercise{ID: "sim", Kind: drill.Free, Sheet: drill.Size{Width: 297, Height: 210}}
	var worst time.Duration
	try := func(a *Attempt) *Grade {
		start := time.Now()
		g := regrade(t, x, a)
		worst = max(worst, time.Since(start))
		checkGrade(t, x, a, g)
		return g
	}
	for n := range 60 {
		try(scribble(r, n))
	}
	try(scribble(r, ink.MaxStrokes))
	try(hatching(r))
	same := &Attempt{}
	for range 40 {
		same.Strokes = append(same.Strokes, ink.Stroke{X: []float64{10, 90}, Y: []float64{10, 10}})
	}
	try(same)
	if g := try(&Attempt{}); g.Score != 0 || len(g.Missing) != 12 || g.Camera != nil || g.RMS != nil {
		t.Errorf("an empty sheet: %+v", g)
	}
	t.Logf("slowest %v", worst)
	if worst > time.Second {
		t.Errorf("%v", worst)
	}
}

// gradeAnyFree grades an attempt made of b as a free drawing and tests what
// holds for every grade; it reports whether it could be graded.
func gradeAnyFree(t *testing.T, b []byte) bool {
	s := source(b)
	x := s.exercise()
	a := s.attempt(x)
	x.Kind = drill.Free
	g, err := Of(x, a, Hand{})
	if err != nil {
		var in *ink.InputError
		if !errors.As(err, &in) {
			t.Fatalf("error of another kind: %v", err)
		}
		return false
	}
	checkGrade(t, x, a, g)
	used := len(g.Unmatched)
	for _, l := range g.Lines {
		used += len(l.Strokes)
	}
	for _, st := range a.Strokes {
		if _, ok := ink.Fit(st, a.Input.Pointer); !ok && st.Role == ink.RoleConstruction {
			used++ // a dot of construction is nothing
		}
	}
	if used != len(a.Strokes) {
		t.Errorf("%d of %d strokes accounted for", used, len(a.Strokes))
	}
	return true
}

// FuzzFree grades whatever can be decoded as a free drawing: it never panics,
// gives finite numbers, and accounts for every stroke once.
func FuzzFree(f *testing.F) {
	r := rand.New(rand.NewPCG(2, 5))
	for range 20 {
		b := make([]byte, 900)
		for i := range b {
			b[i] = byte(r.IntN(256))
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) { gradeAnyFree(t, b) })
}

// The laws of FuzzFree over many seeded inputs.
func TestFreeOfAnyBytes(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 9))
	const n = 1500
	graded := 0
	b := make([]byte, 900)
	for range n {
		for i := range b {
			b[i] = byte(r.IntN(256))
			if b[i] >= 210 && r.IntN(4) > 0 { // fewer odd numbers
				b[i] -= 90
			}
		}
		if gradeAnyFree(t, b) {
			graded++
		}
		if t.Failed() {
			t.FailNow()
		}
	}
	if graded < n/4 {
		t.Errorf("only %d of %d could be graded", graded, n)
	}
}
