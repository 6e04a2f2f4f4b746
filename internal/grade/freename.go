package grade

import (
	"math"
	"slices"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// nameSets says which of the sets is which; freeDrawing says by what rule.
func nameSets(t *telling, sheet drill.Size) (names [3]perspective.Set) {
	var p [3]pencil
	for k, set := range t.sets {
		ls := make([]*drawn, 0, 4)
		for _, i := range set {
			ls = append(ls, &t.bars[i].drawn)
		}
		if len(ls) > 0 {
			p[k], _ = meetSet(ls, float64(groupSD))
		}
	}
	upright, least := 0, math.Inf(1)
	for k, set := range t.sets {
		if len(set) == 0 {
			continue
		}
		if c := math.Abs(tilt(geom.Vec{Y: 1}, p[k].u)) + eyeLevel(&p[(k+1)%3], &p[(k+2)%3]); c < least {
			upright, least = k, c
		}
	}
	a, b := (upright+1)%3, (upright+2)%3
	if a > b {
		a, b = b, a
	}
	names[upright] = perspective.Height
	if firstIsWidth(&p[a], &p[b], sheet) {
		names[a], names[b] = perspective.Width, perspective.Depth
	} else {
		names[a], names[b] = perspective.Depth, perspective.Width
	}
	return names
}

// eyeLevel returns how far from level the line is on which two sets meet, in
// rad: uprights are the set that leaves the others a level one.
func eyeLevel(a, b *pencil) float64 {
	if a.u == (geom.Vec{}) || b.u == (geom.Vec{}) {
		return 0
	}
	h := geom.Join(a.point(trueParallel), b.point(trueParallel))
	if math.Hypot(h.A, h.B) < 0.5 { // both parallel: no line
		return math.Pi / 2
	}
	return math.Atan2(math.Abs(h.A), math.Abs(h.B))
}

// level is how far from level a set of parallels in a one-point view may run.
var level = geom.Degrees(6)

func firstIsWidth(a, b *pencil, sheet drill.Size) bool {
	if front(a, b, sheet) {
		return true
	}
	if front(b, a, sheet) {
		return false
	}
	if a.clearness() > b.clearness() {
		return !a.rightward()
	}
	return b.rightward()
}

// front reports whether w lies parallel to the picture while d meets before
// the drawing.
func front(w, d *pencil, sheet drill.Size) bool {
	v, ok := d.point(trueParallel).Vec()
	return ok && math.Abs(math.Sin(w.beta)) < math.Sin(float64(level)) && w.clearness() < 2 && d.clearness() > 2 &&
		math.Abs(v.X-sheet.Width/2) < 0.25*sheet.Width
}

// clearness is how many standard deviations the convergence is from none.
func (p *pencil) clearness() float64 {
	if !(p.ckk > 0) {
		return 0
	}
	return math.Abs(p.kappa) / math.Sqrt(p.ckk)
}

// rightward reports whether the lines come together to the right.
func (p *pencil) rightward() bool { return math.Cos(p.beta)*p.kappa >= 0 }

// rest says of the strokes that are no edge what they are: construction lines,
// along an edge's line, the horizon or a face's diagonal, or stray ones.
func (f *freeDrawing) rest(used map[int]bool, lines []trace) {
	lines = slices.Clone(lines)
	m := matching{plan: f.plan, at: make([]segment, 0, len(f.plan.edges))}
	for _, e := range f.plan.edges {
		if e.len > 0 {
			m.at = append(m.at, e.segment)
		}
	}
	m.off, m.angle = sdOffset*f.plan.unit, float64(sdAngle)
	for i := range f.traces {
		t := &f.traces[i]
		switch {
		case used[t.stroke]:
		case m.constructs(t) || f.runsToPoint(t):
			lines = append(lines, *t)
		default:
			f.g.Unmatched = append(f.g.Unmatched, t.stroke)
		}
	}
	slices.Sort(f.g.Unmatched)
	slices.SortFunc(lines, func(s, t trace) int { return s.stroke - t.stroke })
	for i := range lines {
		d := single(&lines[i])
		f.g.Lines = append(f.g.Lines, Line{
			Strokes: d.strokes, Role: ink.RoleConstruction, From: d.from(), To: d.to(),
			Length: d.length, Bow: d.bow, Wobble: d.wobble,
		})
	}
}

// runsToPoint reports whether a long stroke is one that a hand lays down to
// draw along: toward a set's point, or across a face from corner to corner.
func (f *freeDrawing) runsToPoint(t *trace) bool {
	if t.Length < constructLength*f.plan.unit {
		return false
	}
	limit := 0.5 * float64(sdAngle) * LengthLaw(t.Length/f.plan.unit)
	for _, e := range f.plan.edges {
		if v := e.to; v != (geom.Point{}) && math.Abs(float64(Bounded(t.Mid, t.Dir, t.Length, v))) < limit {
			return true
		}
	}
	if !f.framed {
		return false
	}
	for _, face := range perspective.Faces {
		for i := range 2 {
			s := makeSegment(f.plan.corners[face[i]], f.plan.corners[face[i+2]], geom.Point{})
			off := s.dir.Cross(t.Mid.Sub(s.mid)) / (sdOffset * f.plan.unit)
			a := tilt(s.dir, t.Dir) / (2 * limit)
			if off*off+a*a < constructFit {
				return true
			}
		}
	}
	return false
}
