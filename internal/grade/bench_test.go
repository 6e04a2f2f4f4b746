package grade

import (
	"math/rand/v2"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// sampled draws n strokes of the given number of samples over the edges of x.
func sampled(r *rand.Rand, x *drill.Exercise, n, samples int) *Attempt {
	a := &Attempt{ID: "sim", Exercise: x.ID, Input: ink.Input{Pointer: ink.Pen}}
	for i := range n {
		e := x.Segment(x.Edges[i%len(x.Edges)])
		u, _ := e.B.Sub(e.A).Unit()
		u = geom.Direction(u.Angle() + geom.Degrees(1.5*r.NormFloat64()))
		a.Strokes = append(a.Strokes, sampledStroke(r, e.A, e.A.Add(u.Scale(e.Len())), samples))
	}
	return a
}

// sampledStroke draws a straight stroke as a pen reports it.
func sampledStroke(r *rand.Rand, a, b geom.Vec, samples int) (s ink.Stroke) {
	for k := range samples {
		q := a.Add(b.Sub(a).Scale(float64(k) / float64(samples-1)))
		s.X = append(s.X, q.X+.06*r.NormFloat64())
		s.Y = append(s.Y, q.Y+.06*r.NormFloat64())
		s.T = append(s.T, float64(8*k))
		s.P = append(s.P, .5)
	}
	return s
}

func benchmarkOf(b *testing.B, strokes, samples int) {
	r := rand.New(rand.NewPCG(1, 1))
	x := simBox(r, drill.Three, 0)
	a := sampled(r, x, strokes, samples)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Of(x, a, Hand{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOf(b *testing.B)            { benchmarkOf(b, 24, 120) }
func BenchmarkOfManySamples(b *testing.B) { benchmarkOf(b, 24, 4096) }
func BenchmarkOfManyStrokes(b *testing.B) { benchmarkOf(b, 512, 120) }
func BenchmarkOfEverything(b *testing.B)  { benchmarkOf(b, 512, 4096) }

// Allocations do not grow with the samples.
func TestOfAllocations(t *testing.T) {
	count := func(samples int) float64 {
		r := rand.New(rand.NewPCG(1, 1))
		x := simBox(r, drill.Three, 0)
		a := sampled(r, x, 24, samples)
		return testing.AllocsPerRun(10, func() {
			if _, err := Of(x, a, Hand{}); err != nil {
				t.Fatal(err)
			}
		})
	}
	few, many := count(120), count(1200)
	if many > few*1.05 {
		t.Errorf("%v allocations for 120 samples a stroke, %v for 1200", few, many)
	}
}
