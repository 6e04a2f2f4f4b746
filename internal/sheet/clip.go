package sheet

import (
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// rect is an upright rectangle, Min the corner of the smaller coordinates.
type rect struct{ Min, Max geom.Vec }

// Margins of the board around the sheet. On a wide board they are a sixth of
// the sheet's width beside it and boardAbove above and below; on a narrow one
// rim all around.
const (
	boardBeside = 1. / 6
	boardAbove  = 14 // mm
	rim         = 8  // mm
)

// frame returns the rectangle that a medium shows.
func frame(size drill.Size, w Where) rect {
	r := rect{Max: geom.Vec{X: size.Width, Y: size.Height}}
	switch w {
	case Wide:
		return r.grow(size.Width*boardBeside, boardAbove)
	case Narrow:
		return r.grow(rim, rim)
	}
	return r
}

func (r rect) grow(x, y float64) rect {
	return rect{geom.Vec{X: r.Min.X - x, Y: r.Min.Y - y}, geom.Vec{X: r.Max.X + x, Y: r.Max.Y + y}}
}

func (r rect) holds(p geom.Vec) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

func (r rect) width() float64   { return r.Max.X - r.Min.X }
func (r rect) height() float64  { return r.Max.Y - r.Min.Y }
func (r rect) centre() geom.Vec { return geom.Mid(r.Min, r.Max) }

// shared returns the area that r and o share.
func (r rect) shared(o rect) float64 {
	w := min(r.Max.X, o.Max.X) - max(r.Min.X, o.Min.X)
	h := min(r.Max.Y, o.Max.Y) - max(r.Min.Y, o.Min.Y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h
}

// dist returns how far p lies outside r, 0 inside.
func (r rect) dist(p geom.Vec) float64 {
	return math.Hypot(
		max(0, r.Min.X-p.X, p.X-r.Max.X),
		max(0, r.Min.Y-p.Y, p.Y-r.Max.Y))
}

// span returns the part of p + t d, t in [lo, hi], that lies in r (Liang and
// Barsky's clipping, from memory). ok is false when none does.
func (r rect) span(p, d geom.Vec, lo, hi float64) (float64, float64, bool) {
	for _, e := range [4][2]float64{
		{-d.X, p.X - r.Min.X}, {d.X, r.Max.X - p.X},
		{-d.Y, p.Y - r.Min.Y}, {d.Y, r.Max.Y - p.Y},
	} {
		den, num := e[0], e[1]
		if den == 0 {
			if num < 0 {
				return 0, 0, false
			}
			continue
		}
		if t := num / den; den < 0 {
			lo = max(lo, t)
		} else {
			hi = min(hi, t)
		}
	}
	return lo, hi, lo < hi
}

// clip returns the part of s in r; ok is false when none is.
func (r rect) clip(s geom.Segment) (geom.Segment, bool) {
	d := s.B.Sub(s.A)
	lo, hi, ok := r.span(s.A, d, 0, 1)
	if !ok {
		return geom.Segment{}, false
	}
	return geom.Segment{A: along(s, lo), B: along(s, hi)}, true
}

// along returns the point of s at t, exactly an end at 0 and 1.
func along(s geom.Segment, t float64) geom.Vec {
	switch t {
	case 0:
		return s.A
	case 1:
		return s.B
	}
	return s.A.Add(s.B.Sub(s.A).Scale(t))
}

// split cuts s into the part in inner and the parts in outer but not in inner.
func split(s geom.Segment, inner, outer rect) (in, out Segments) {
	s, ok := outer.clip(s)
	if !ok {
		return nil, nil
	}
	lo, hi, ok := inner.span(s.A, s.B.Sub(s.A), 0, 1)
	if !ok {
		return nil, Segments{s}
	}
	in = Segments{{A: along(s, lo), B: along(s, hi)}}
	if lo > 0 {
		out = append(out, geom.Segment{A: s.A, B: along(s, lo)})
	}
	if hi < 1 {
		out = append(out, geom.Segment{A: along(s, hi), B: s.B})
	}
	return in, out
}

// lineIn returns the part of the line l in r; ok is false when none is.
func lineIn(l geom.Line, r rect) (geom.Segment, bool) {
	l = l.Normalised()
	d := geom.Vec{X: l.B, Y: -l.A}
	if d.Len() == 0 {
		return geom.Segment{}, false
	}
	if d.X < 0 || d.X == 0 && d.Y < 0 {
		d = d.Scale(-1)
	}
	c := r.centre()
	foot := c.Sub(geom.Vec{X: l.A, Y: l.B}.Scale(l.Dist(c)))
	reach := r.width() + r.height()
	lo, hi, ok := r.span(foot, d, -reach, reach)
	if !ok {
		return geom.Segment{}, false
	}
	return geom.Segment{A: foot.Add(d.Scale(lo)), B: foot.Add(d.Scale(hi))}, true
}
