package sheet

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// The pen. A page that paints ink while it is drawn uses the same widths.
const (
	penWidth = .7  // mm, without pressure
	penThin  = .35 // at no pressure
	penThick = 1.1 // at full pressure
	paleThin = .35 // of construction strokes
)

// How much detail a drawing keeps.
const (
	traceSlack = .03   // mm a dropped sample may lie off the trace kept
	traceMost  = 20000 // points of all traces together; more are thinned
	traceChunk = 128   // samples simplified at a time, which bounds the cost
)

// traces turns an attempt's strokes into traces, thinned so that no dropped
// sample lies farther than traceSlack from what is kept; a drawing of more
// than traceMost points is thinned further.
func traces(strokes []ink.Stroke) []Trace {
	slack := traceSlack
	for {
		n := 0
		out := make([]Trace, len(strokes))
		for i, s := range strokes {
			out[i] = trace(s, slack)
			out[i].Stroke = i
			n += len(out[i].Points)
		}
		if n <= traceMost || slack > 4 {
			return out
		}
		slack *= 2
	}
}

// trace thins one stroke. Samples that are not finite are left out; a stroke
// without any gives an empty Trace.
func trace(s ink.Stroke, slack float64) Trace {
	n := min(len(s.X), len(s.Y))
	pts := make([]geom.Vec, 0, n)
	var widths []float64
	pressed := len(s.P) >= n && s.Role != ink.RoleConstruction
	for i := range n {
		p := geom.Vec{X: s.X[i], Y: s.Y[i]}
		if !p.Finite() || len(pts) > 0 && p == pts[len(pts)-1] {
			continue
		}
		pts = append(pts, p)
		if pressed {
			widths = append(widths, pen(s.P[i]))
		}
	}
	even := penWidth
	if s.Role == ink.RoleConstruction {
		even = paleThin
	}
	if !pressed || same(widths) {
		if len(widths) > 0 {
			even = widths[0]
		}
		return Trace{Points: pick(pts, thin(pts, nil, slack)), Widths: []float64{even}}
	}
	widths = smooth(widths)
	keep := thin(pts, widths, slack)
	return Trace{Points: pick(pts, keep), Widths: pick(widths, keep)}
}

// pen returns the width of a line drawn with pressure p.
func pen(p float64) float64 {
	if math.IsNaN(p) {
		return penWidth
	}
	return penThin + (penThick-penThin)*min(1, max(0, p))
}

func same(w []float64) bool {
	for _, v := range w {
		if math.Abs(v-w[0]) > 1e-9 {
			return false
		}
	}
	return true
}

// smooth evens out the steps of a coarse pressure sensor: a mean over five
// samples.
func smooth(w []float64) []float64 {
	out := make([]float64, len(w))
	for i := range w {
		lo, hi := max(0, i-2), min(len(w), i+3)
		var sum float64
		for _, v := range w[lo:hi] {
			sum += v
		}
		out[i] = sum / float64(hi-lo)
	}
	return out
}

func pick[T any](all []T, keep []int) []T {
	out := make([]T, len(keep))
	for i, k := range keep {
		out[i] = all[k]
	}
	return out
}

// thin returns the indices of the samples to keep (Douglas and Peucker 1973,
// from memory), in chunks so that no stroke costs more than linear time. With
// widths, a sample is also kept where the width would be wrong by slack.
func thin(pts []geom.Vec, widths []float64, slack float64) []int {
	if len(pts) == 0 {
		return nil
	}
	keep := []int{0}
	for from := 0; from < len(pts)-1; from += traceChunk {
		to := min(from+traceChunk, len(pts)-1)
		keep = thinBetween(keep, pts, widths, from, to, slack)
	}
	return keep
}

// thinBetween appends the kept indices after a up to and with b.
func thinBetween(keep []int, pts []geom.Vec, widths []float64, a, b int, slack float64) []int {
	type span struct{ a, b int }
	var stack [traceChunk + 2]span
	stack[0] = span{a, b}
	for n := 1; n > 0; {
		n--
		s := stack[n]
		if k, far := farthest(pts, widths, s.a, s.b); far > slack {
			stack[n], stack[n+1] = span{k, s.b}, span{s.a, k}
			n += 2
			continue
		}
		keep = append(keep, s.b)
	}
	return keep
}

// farthest returns the sample between a and b that lies farthest from the
// straight way between them, and how far.
func farthest(pts []geom.Vec, widths []float64, a, b int) (k int, far float64) {
	p := pts[a]
	d := pts[b].Sub(p)
	l2 := d.Dot(d)
	best := -1.
	for i := a + 1; i < b; i++ {
		q := pts[i].Sub(p)
		var t float64
		if l2 > 0 {
			t = min(1, max(0, q.Dot(d)/l2))
		}
		r := q.Sub(d.Scale(t))
		e := r.Dot(r)
		if widths != nil {
			w := widths[i] - widths[a] - t*(widths[b]-widths[a])
			e = max(e, w*w)
		}
		if e > best {
			k, best = i, e
		}
	}
	return k, math.Sqrt(max(0, best))
}
