package grade

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// bundle is one set of one box: its drawn lines against their true point.
type bundle struct {
	box   int
	set   perspective.Set
	v     geom.Point
	truth pencil // of v about the middle of the lines
	lines []strand
	split
	fitted pencil // where the lines really meet, on the expected side
	met    bool
	noise  noise // to hold the bundle against
}

// strand is one line of a bundle.
type strand struct {
	line     int        // index into Grade.Lines
	dev      geom.Angle // bounded deviation from the true point
	g        float64    // length law of the expected edge
	jb, jk   float64    // slopes of the direction by the pencil's beta and kappa
	rest     float64    // deviation that the pencil does not share, rad
	freehand bool
}

// split tells the shared part of a bundle's deviations from the rest.
type split struct {
	ok     bool    // at least three lines that tell both
	db, dk float64 // shared turn (rad) and change of inverse distance (1/mm)
	// Inverse information for a scatter of 1 rad at 80 mm.
	cbb, cbk, ckk float64
}

// decompose fits the shared turn and early meeting to the bundle's
// deviations, weighted by the length law, and leaves the rest in each strand.
// A bundle of one or two lines has no rest.
func (b *bundle) decompose() {
	var ibb, ibk, ikk, gb, gk float64
	for i := range b.lines {
		s := &b.lines[i]
		w := 1 / (s.g * s.g)
		d := float64(s.dev)
		ibb += w * s.jb * s.jb
		ibk += w * s.jb * s.jk
		ikk += w * s.jk * s.jk
		gb += w * s.jb * d
		gk += w * s.jk * d
	}
	det := float64(ibb*ikk) - float64(ibk*ibk)
	if det > 1e-9*ibb*ikk && len(b.lines) >= 2 {
		b.db, b.dk = (float64(gb*ikk)-float64(gk*ibk))/det, (float64(gk*ibb)-float64(gb*ibk))/det
		b.cbb, b.cbk, b.ckk = ikk/det, -ibk/det, ibb/det
		b.ok = len(b.lines) >= 3
	} else if ibb > 0 {
		b.db = gb / ibb // all on one line: only the turn can be told
	}
	for i := range b.lines {
		s := &b.lines[i]
		s.rest = float64(s.dev) - float64(s.jb*b.db) - float64(s.jk*b.dk)
	}
}

// strandSlopes returns how the direction at at changes with the pencil's beta
// and kappa, bounded like the deviation itself for a stroke of that length.
func strandSlopes(p *pencil, at geom.Vec, length float64) (jb, jk float64) {
	q := p.m.Sub(at)
	t := geom.Vec{X: p.u.X + float64(p.kappa*q.X), Y: p.u.Y + float64(p.kappa*q.Y)}
	h := p.kappa * length / 2
	n := t.Len() * math.Hypot(t.Len(), h)
	if !(n > 1e-12) {
		return 0, 0
	}
	return t.Dot(p.u) / n, t.Cross(q) / n
}

// shared returns the root mean square over the lines of the whole shared
// part, of the turn and of the early meeting, and that of the rest.
func (b *bundle) shared() (bias, turn, early, scatter float64) {
	for i := range b.lines {
		s := &b.lines[i]
		t, e := s.jb*b.db, s.jk*b.dk
		bias += (t + e) * (t + e)
		turn += t * t
		early += e * e
		scatter += s.rest * s.rest
	}
	n := float64(len(b.lines))
	return math.Sqrt(bias / n), math.Sqrt(turn / n), math.Sqrt(early / n), math.Sqrt(scatter / n)
}

// lever returns the root mean squares of the slopes: what one unit of turn
// and of inverse distance mean as an angle over the bundle.
func (b *bundle) lever() (turn, early float64) {
	for i := range b.lines {
		s := &b.lines[i]
		turn += s.jb * s.jb
		early += s.jk * s.jk
	}
	n := float64(len(b.lines))
	return math.Sqrt(turn / n), math.Sqrt(early / n)
}
