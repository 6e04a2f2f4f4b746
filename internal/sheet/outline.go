package sheet

import "boxwright/internal/geom"

// outline returns the closed outline of a trace of varying width, without
// its round ends: left side forward, right side back.
func outline(t Trace) (left, right []geom.Vec) {
	n := len(t.Points)
	for i, p := range t.Points {
		r := t.Widths[i] / 2
		var in, out geom.Vec
		if i > 0 {
			in, _ = p.Sub(t.Points[i-1]).Unit()
		}
		if i < n-1 {
			out, _ = t.Points[i+1].Sub(p).Unit()
		}
		switch {
		case i == 0:
			in = out
		case i == n-1:
			out = in
		}
		if in.Dot(out) > cornerCos {
			u, ok := in.Add(out).Unit()
			if !ok {
				u = in
			}
			left = append(left, p.Sub(u.Perp().Scale(r)))
			right = append(right, p.Add(u.Perp().Scale(r)))
			continue
		}
		left = append(left, p.Sub(in.Perp().Scale(r)), p.Sub(out.Perp().Scale(r)))
		right = append(right, p.Add(in.Perp().Scale(r)), p.Add(out.Perp().Scale(r)))
	}
	return left, right
}

// cornerCos is the cosine of the turn beyond which a trace's outline gets a
// blunt corner instead of a mitred one.
const cornerCos = .8

// part is a stretch of a trace that lies on the sheet or off it.
type part struct {
	Trace
	off bool
}

// parts cuts a trace where it crosses the rim of r.
func (t Trace) parts(r rect) []part {
	inside := true
	for _, p := range t.Points {
		inside = inside && r.holds(p)
	}
	if inside || len(t.Points) < 2 {
		off := len(t.Points) > 0 && !r.holds(t.Points[0])
		return []part{{t, off}}
	}
	var out []part
	for i := 1; i < len(t.Points); i++ {
		s := geom.Segment{A: t.Points[i-1], B: t.Points[i]}
		lo, hi, ok := r.span(s.A, s.B.Sub(s.A), 0, 1)
		if !ok {
			lo, hi = 1, 1
		}
		for _, c := range [3]struct {
			from, to float64
			off      bool
		}{{0, lo, true}, {lo, hi, false}, {hi, 1, true}} {
			if c.from < c.to {
				out = t.extend(out, i, s, c.from, c.to, c.off)
			}
		}
	}
	return out
}

// extend appends the stretch of t's i-th segment s between two places to the
// last part, or begins a new one.
func (t Trace) extend(out []part, i int, s geom.Segment, from, to float64, off bool) []part {
	width := func(at float64) float64 {
		if len(t.Widths) == 1 {
			return t.Widths[0]
		}
		return t.Widths[i-1] + at*(t.Widths[i]-t.Widths[i-1])
	}
	if len(out) == 0 || out[len(out)-1].off != off {
		p := part{Trace{Points: []geom.Vec{along(s, from)}, Widths: []float64{width(from)}, Stroke: t.Stroke}, off}
		out = append(out, p)
	}
	last := &out[len(out)-1]
	last.Points = append(last.Points, along(s, to))
	if len(t.Widths) > 1 {
		last.Widths = append(last.Widths, width(to))
	}
	return out
}
