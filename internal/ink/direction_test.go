package ink

import (
	"math"
	"testing"
)

// The direction of the fitted line against the path that the simulated hand
// drew: the robust standard deviation stays within 0.085 degrees over all
// strokes; the figures by device are printed.
func TestFitDirectionOnHands(t *testing.T) {
	var all []float64
	by := map[Pointer][]float64{}
	for _, h := range hands(t) {
		set := map[string]string{}
		for _, e := range h.Exercise.Edges {
			set[e.ID] = e.Set
		}
		at := map[string][3]float64{}
		for _, p := range h.Exercise.Points {
			at[p.Set] = p.At
		}
		for i, s := range h.Truth.Strokes {
			if s.Edge == nil || s.PathErr == nil {
				continue
			}
			raw := h.Attempt.Strokes[i]
			l, ok := Fit(Stroke{X: raw.X, Y: raw.Y, T: raw.T, P: raw.P}, h.Attempt.Input.Pointer)
			if !ok {
				t.Errorf("a stroke of %.1f mm is a dot", s.Length)
				continue
			}
			v := at[set[*s.Edge]]
			tx, ty := v[0]-v[2]*l.Mid.X, v[1]-v[2]*l.Mid.Y
			e := math.Atan2(tx*l.Dir.Y-ty*l.Dir.X, tx*l.Dir.X+ty*l.Dir.Y)
			d := math.Remainder(e*180/math.Pi-*s.PathErr, 180)
			all = append(all, d)
			by[h.Attempt.Input.Pointer] = append(by[h.Attempt.Input.Pointer], d)
		}
	}
	sd := robustSD(all)
	t.Logf("%d strokes: robust sd %.4f deg", len(all), sd)
	for _, p := range []Pointer{Pen, Mouse, Touch} {
		t.Logf("%s: %d strokes, %.4f deg", p, len(by[p]), robustSD(by[p]))
	}
	if !(sd <= 0.085) {
		t.Errorf("robust sd of direction %.4f deg, want at most 0.085", sd)
	}
}

// A fit of 120 samples costs a few microseconds and allocates nothing.
func BenchmarkFit(b *testing.B) {
	h := hands(b)
	var s []Stroke
	for _, raw := range h[1].Attempt.Strokes {
		s = append(s, Stroke{X: raw.X, Y: raw.Y, T: raw.T, P: raw.P})
	}
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		Fit(s[n%len(s)], Pen)
		n++
	}
}
