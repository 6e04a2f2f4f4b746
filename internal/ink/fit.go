package ink

import (
	"math"

	"boxwright/internal/geom"
)

// Constants of the fit, in mm unless said otherwise.
const (
	// DotPath is the path length below which a stroke is a dot.
	DotPath = 3
	// bins is how many places along a stroke are weighed equally, however
	// fast the pen passed them.
	bins = 64
	// hookBins is how much of either end may be dropped as a hook: 15 %.
	hookBins = bins * 15 / 100
	// rounds of turning the axis onto the fit. The second is enough but for
	// strongly hooked strokes.
	rounds = 3
	// settled ends the rounds, in radians: after so small a turn the bins hold
	// the same samples, and what one more round would turn is smaller still.
	settled = 2e-4
)

// Fit finds the straight line that stroke s, drawn with pointer p, means:
// hooks at the ends are trimmed, bow and wobble are told apart from the
// direction. A stroke of two distinct samples is taken exactly as it is. ok is
// false for a dot: a path shorter than DotPath, or one that goes nowhere.
// The columns must have passed Check.
func Fit(s Stroke, p Pointer) (l Line, ok bool) {
	m := momentsOf(s)
	if !(m.path >= DotPath) {
		return Line{}, false
	}
	l.Pressure = -1
	if len(s.P) > 0 {
		l.Pressure = mean(s.P)
	}
	if m.distinct == 2 {
		l.exact(s, m)
	} else if !l.robust(s, m) {
		return Line{}, false
	}
	if s.By != "" && s.By.FreeHand() {
		p = s.By
	}
	l.Device, l.Hand, l.Offset = l.Uncertainty(p)
	return l, l.Mid.Finite() && l.Dir.Finite() && l.Length > 0
}

// exact takes the segment between the only two distinct samples.
func (l *Line) exact(s Stroke, m moments) {
	d := m.last.Sub(m.first)
	l.Exact, l.Samples = true, 2
	l.Mid = geom.Mid(m.first, m.last)
	l.Length = d.Len()
	if l.Length == 0 { // there and back again
		d = m.other.Sub(m.first)
		l.Mid, l.Length = geom.Mid(m.first, m.other), d.Len()
	}
	l.Dir, _ = d.Unit()
	l.Start, l.End = -l.Length/2, l.Length/2
}

// robust fits a sampled stroke.
func (l *Line) robust(s Stroke, m moments) bool {
	d, ok := m.axis()
	if !ok {
		return false
	}
	var f profile
	c := m.centre
	for round := range rounds {
		span := f.cut(s, c, d)
		if !(span.hi-span.lo > 0) {
			return false
		}
		f.fill(s, c, d, span)
		f.trim()
		f.fit(round > 0)
		// Turn and move the axis onto the fit; the kept part's middle becomes
		// the centre.
		k := (span.hi - span.lo) / bins
		mid := span.lo + float64(float64(f.a+f.b)/2*k)
		length := float64(f.b-f.a) * k
		turn := math.Atan2(f.co[1], length/2)
		sin, cos := math.Sincos(turn)
		c = c.Add(d.Scale(mid)).Add(d.Perp().Scale(f.co[0]))
		first, last := span.lo-mid, span.hi-mid
		d = geom.Vec{X: float64(d.X*cos) - float64(d.Y*sin), Y: float64(d.X*sin) + float64(d.Y*cos)}
		d, _ = d.Unit()
		l.Mid, l.Dir, l.Length = c, d, length/cos
		l.Start, l.End, l.Samples = first, last, f.used
		if round > 0 && math.Abs(turn) < settled {
			break
		}
	}
	l.Bow, l.Curve = -1.5*f.co[2], f.co[3]
	l.Wobble, l.Crooked = f.rest()
	return true
}

// moments are the first two moments of a stroke's path, each piece of it
// counting by its length.
type moments struct {
	path               float64
	distinct           int // distinct neighbouring positions, 3 means more
	first, other, last geom.Vec
	centre             geom.Vec
	xx, xy, yy         float64
}

// momentsOf walks the path once. Repeated samples count once.
func momentsOf(s Stroke) moments {
	x, y := s.X, s.Y[:len(s.X)]
	m := moments{distinct: 1, first: geom.Vec{X: x[0], Y: y[0]}}
	px, py := x[0], y[0]
	m.other, m.last = m.first, m.first
	var sx, sy, xx, xy, yy float64
	for i := 1; i < len(x); i++ {
		dx, dy := x[i]-px, y[i]-py
		if dx == 0 && dy == 0 {
			continue
		}
		now := geom.Vec{X: x[i], Y: y[i]}
		if m.distinct == 1 {
			m.distinct, m.other = 2, now
		} else if m.distinct == 2 && now != m.first && now != m.other {
			m.distinct = 3
		}
		w := math.Sqrt(float64(dx*dx) + float64(dy*dy))
		// middle of the piece, from the first sample to keep the sums small
		mx, my := px+dx/2-m.first.X, py+dy/2-m.first.Y
		m.path += w
		sx += float64(w * mx)
		sy += float64(w * my)
		xx += float64(w * (float64(mx*mx) + float64(dx*dx)/12))
		xy += float64(w * (float64(mx*my) + float64(dx*dy)/12))
		yy += float64(w * (float64(my*my) + float64(dy*dy)/12))
		px, py = x[i], y[i]
		m.last = now
	}
	if m.path > 0 {
		cx, cy := sx/m.path, sy/m.path
		m.centre = geom.Vec{X: m.first.X + cx, Y: m.first.Y + cy}
		m.xx = xx/m.path - float64(cx*cx)
		m.xy = xy/m.path - float64(cx*cy)
		m.yy = yy/m.path - float64(cy*cy)
	}
	return m
}

// axis returns the principal direction of the path, in the direction of
// travel. ok is false when there is none.
func (m moments) axis() (d geom.Vec, ok bool) {
	if !(m.xx+m.yy > 0) || math.IsInf(m.xx+m.yy, 0) {
		return geom.Vec{}, false
	}
	d = geom.Direction(geom.Angle(0.5 * math.Atan2(2*m.xy, m.xx-m.yy)))
	way := m.last.Sub(m.first)
	if way.Len() < m.path/100 { // it returned to where it began
		way = m.centre.Sub(m.first)
	}
	if way.Dot(d) < 0 {
		d = d.Scale(-1)
	}
	return d, true
}

func mean(v []float64) float64 {
	var s float64
	for _, x := range v {
		s += x
	}
	return s / float64(len(v))
}
