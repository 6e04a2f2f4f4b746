package grade

import (
	"math"
	"math/rand/v2"
	"reflect"
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
		finiteParts(t, reflect.ValueOf(g))
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

// finiteParts fails for any number in v that is not finite.
func finiteParts(t *testing.T, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			finiteParts(t, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finiteParts(t, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			finiteParts(t, v.Index(i))
		}
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			t.Fatalf("%v in the grade", f)
		}
	}
}
