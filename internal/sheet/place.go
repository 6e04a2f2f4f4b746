package sheet

import (
	"boxwright/internal/geom"
)

// placer finds room for labels and pills among what is already drawn.
type placer struct {
	frame rect           // nothing is placed outside it
	sheet rect           // labels should not straddle its edge
	boxes []rect         // what is already placed
	lines []geom.Segment // what should not be covered
}

// What covering costs, against 1 for every step down in the caller's order of
// preference.
const (
	costBox      = 40  // per mm² of another label
	costLine     = 2   // per mm of a line under the label
	costStraddle = 120 // for lying across the sheet's edge
	costOutside  = 50  // per mm² outside the frame
)

// place returns the index of the cheapest of the wanted boxes, listed best
// first, and keeps that box free from then on. There must be at least one.
func (p *placer) place(wanted []rect) int {
	best := p.cheapest(wanted)
	p.boxes = append(p.boxes, wanted[best])
	return best
}

// cheapest returns the index that place would, and keeps nothing.
func (p *placer) cheapest(wanted []rect) int {
	best, least := 0, 0.
	for i, r := range wanted {
		if c := p.cost(r) + float64(i); i == 0 || c < least {
			best, least = i, c
		}
	}
	return best
}

func (p *placer) cost(r rect) float64 {
	area := r.width() * r.height()
	c := costOutside * (area - r.shared(p.frame))
	if in := r.shared(p.sheet); in > .02*area && in < .98*area {
		c += costStraddle
	}
	near := r.grow(1, 1)
	for _, b := range p.boxes {
		c += costBox * near.shared(b)
	}
	for _, s := range p.lines {
		if lo, hi, ok := near.span(s.A, s.B.Sub(s.A), 0, 1); ok {
			c += costLine * (hi - lo) * s.Len()
		}
	}
	return c
}

// blocked reports whether s crosses something that is already placed.
func (p *placer) blocked(s geom.Segment) bool {
	for _, b := range p.boxes {
		if _, _, ok := b.grow(.5, .5).span(s.A, s.B.Sub(s.A), 0, 1); ok {
			return true
		}
	}
	return false
}

// around lists boxes of the given size around a point, at the given gap from
// it: above and below to either side, then beside it, then straight above and
// below, all moved into the frame.
func (p *placer) around(at geom.Vec, w, h, gap float64) []rect {
	dx, dy := w/2+gap, h/2+gap
	var out []rect
	for _, o := range []geom.Vec{
		{X: dx, Y: -dy}, {X: -dx, Y: -dy}, {X: dx, Y: dy}, {X: -dx, Y: dy},
		{X: dx}, {X: -dx}, {Y: -dy}, {Y: dy},
	} {
		out = append(out, p.inside(box(at.Add(o), w, h)))
	}
	return out
}

// inside moves r into the frame, as far as it fits.
func (p *placer) inside(r rect) rect {
	const air = 1.5 // mm to the frame
	f := p.frame.grow(-air, -air)
	d := geom.Vec{
		X: max(0, f.Min.X-r.Min.X) - max(0, r.Max.X-f.Max.X),
		Y: max(0, f.Min.Y-r.Min.Y) - max(0, r.Max.Y-f.Max.Y),
	}
	return rect{r.Min.Add(d), r.Max.Add(d)}
}

// box returns the rectangle of the given size around its middle.
func box(middle geom.Vec, w, h float64) rect {
	d := geom.Vec{X: w / 2, Y: h / 2}
	return rect{middle.Sub(d), middle.Add(d)}
}
