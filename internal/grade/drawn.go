package grade

import (
	"math"
	"slices"

	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// drawn is the line that one or several traces make on an edge.
type drawn struct {
	strokes      []int // ascending
	mid, dir     geom.Vec
	length       float64
	lo, hi       float64 // where the pen began and ended, along dir from mid
	device, hand geom.Angle
	offset       float64
	bow, wobble  float64
	freehand     bool
}

func (d *drawn) from() geom.Vec { return d.mid.Sub(d.dir.Scale(d.length / 2)) }
func (d *drawn) to() geom.Vec   { return d.mid.Add(d.dir.Scale(d.length / 2)) }

// single makes the line of one trace.
func single(t *trace) drawn {
	return drawn{
		strokes: []int{t.stroke}, mid: t.Mid, dir: t.Dir, length: t.Length, lo: t.Start, hi: t.End,
		device: t.Device, hand: t.Hand, offset: t.Offset, bow: t.Bow, wobble: t.Wobble, freehand: t.freehand,
	}
}

// merge makes one line of several traces: pieces laid end to end and
// restatements alike count by their length, as if sampled evenly. The line
// runs the way that its earliest stroke was drawn.
func merge(ts []*trace, p ink.Pointer) drawn {
	if len(ts) == 1 {
		return single(ts[0])
	}
	first := ts[0]
	d := drawn{freehand: true}
	var w float64
	for _, t := range ts {
		d.strokes = append(d.strokes, t.stroke)
		if t.stroke < first.stroke {
			first = t
		}
		w += t.Length
		d.mid = d.mid.Add(t.Mid.Scale(t.Length))
		d.freehand = d.freehand && t.freehand
	}
	slices.Sort(d.strokes)
	d.mid = d.mid.Scale(1 / w)
	var xx, xy, yy float64
	for _, t := range ts {
		q, l2 := t.Mid.Sub(d.mid), t.Length*t.Length/12
		xx += float64(t.Length * (float64(q.X*q.X) + float64(l2*t.Dir.X*t.Dir.X)))
		xy += float64(t.Length * (float64(q.X*q.Y) + float64(l2*t.Dir.X*t.Dir.Y)))
		yy += float64(t.Length * (float64(q.Y*q.Y) + float64(l2*t.Dir.Y*t.Dir.Y)))
	}
	d.dir = geom.Direction(geom.Angle(0.5 * math.Atan2(2*xy, xx-yy)))
	if d.dir.Dot(first.Dir) < 0 {
		d.dir = d.dir.Scale(-1)
	}
	d.extent(ts)
	d.unsteady(ts, w, p)
	return d
}

// extent sets the ends of a merged line.
func (d *drawn) extent(ts []*trace) {
	lo, hi := math.Inf(1), math.Inf(-1)
	d.lo, d.hi = lo, hi
	for _, t := range ts {
		c, k := t.Mid.Sub(d.mid).Dot(d.dir), t.Dir.Dot(d.dir)
		lo, hi = min(lo, c-math.Abs(k)*t.Length/2), max(hi, c+math.Abs(k)*t.Length/2)
		for _, u := range [2]float64{t.Start, t.End} {
			d.lo, d.hi = min(d.lo, c+k*u), max(d.hi, c+k*u)
		}
	}
	// The centroid stays where the ink is; the length is that of the whole.
	d.length = hi - lo
}

// unsteady sets bow, wobble and the uncertainties of a merged line, w being
// the length of all its traces.
func (d *drawn) unsteady(ts []*trace, w float64, p ink.Pointer) {
	var wob, n, s2, sx2, sx4, se, sxe2 float64
	for _, t := range ts {
		wob += t.Length * t.Wobble * t.Wobble
		n += float64(t.Samples)
		const parts = 9
		for i := range parts {
			x := (2*float64(i)+1)/parts - 1
			// the trace's own arc about its straight line
			e := -t.Bow / 1.5 * (1.5*x*x - 0.5)
			q := t.Mid.Add(t.Dir.Scale(x * t.Length / 2)).Add(t.Dir.Perp().Scale(e)).Sub(d.mid)
			u, v := 2*q.Dot(d.dir)/d.length, q.Dot(d.dir.Perp())
			s2, sx2, sx4 = s2+t.Length, sx2+t.Length*u*u, sx4+t.Length*u*u*u*u
			se, sxe2 = se+t.Length*v, sxe2+t.Length*v*u*u
		}
	}
	// v = a + b u²: the sagitta over the whole length is -b.
	if det := s2*sx4 - sx2*sx2; det > 0 {
		d.bow = -(s2*sxe2 - sx2*se) / det
	}
	d.wobble = math.Sqrt(wob / w)
	l := ink.Line{Length: d.length, Wobble: d.wobble, Samples: int(n)}
	d.device, d.hand, d.offset = l.Uncertainty(p)
}
