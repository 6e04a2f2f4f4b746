package grade

import (
	"math"

	"boxwright/internal/geom"
)

// side is one end of a line, at a corner.
type side struct {
	line  int
	first bool // the end where the pen began
}

// measureCorners finds where the lines of each corner meet and how far each
// line's ends are from there: along the line, + past and - short, and for the
// corners as a whole as rms distance.
func (w *work) measureCorners() {
	at := make([][]side, len(w.plan.corners))
	room := make([]side, 3*len(at)) // a box's corner has three edges
	for c := range at {
		at[c] = room[3*c : 3*c : 3*c+3]
	}
	for i := range w.drawn {
		e := &w.plan.edges[w.of[i]]
		forward := w.drawn[i].dir.Dot(e.dir) >= 0
		at[e.ends[0]] = append(at[e.ends[0]], side{i, forward})
		at[e.ends[1]] = append(at[e.ends[1]], side{i, !forward})
	}
	w.cornerAt = append([]geom.Vec(nil), w.plan.corners...)
	w.cornerMet = append([]bool(nil), w.plan.known...)
	var sum float64
	n := 0
	for c, sides := range at {
		if !w.cornerMet[c] {
			w.cornerAt[c], w.cornerMet[c] = w.meeting(sides, w.plan.corners[c])
		}
		x, met := w.cornerAt[c], w.cornerMet[c]
		for _, s := range sides {
			d := &w.drawn[s.line]
			u := x.Sub(d.mid).Dot(d.dir)
			l := &w.g.Lines[s.line]
			gap := d.hi - u
			if s.first {
				gap = u - d.lo
				l.StartGap = gap
			} else {
				l.EndGap = gap
			}
			if met {
				across := d.dir.Cross(x.Sub(d.mid))
				sum += gap*gap + across*across
				n++
			}
		}
	}
	if n > 0 {
		r := math.Sqrt(sum / float64(n))
		w.g.CornerGap = &r
	}
}

// meeting returns the point nearest to all lines that come together in a
// corner. ok is false, and the true corner returned, when fewer than two
// lines cross there clearly, or do so nowhere near.
func (w *work) meeting(sides []side, truth geom.Vec) (geom.Vec, bool) {
	if len(sides) < 2 {
		return truth, false
	}
	var xx, xy, yy, bx, by float64
	for _, s := range sides {
		d := &w.drawn[s.line]
		n := d.dir.Perp()
		c := n.Dot(d.mid.Sub(truth))
		xx += float64(n.X * n.X)
		xy += float64(n.X * n.Y)
		yy += float64(n.Y * n.Y)
		bx += float64(n.X * c)
		by += float64(n.Y * c)
	}
	det := float64(xx*yy) - float64(xy*xy)
	if det < 0.01 { // lines within some 6 degrees of one another
		return truth, false
	}
	off := geom.Vec{X: (float64(bx*yy) - float64(by*xy)) / det, Y: (float64(by*xx) - float64(bx*xy)) / det}
	if off.Len() > 30*w.plan.unit {
		return truth, false
	}
	return truth.Add(off), true
}
