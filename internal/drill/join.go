package drill

import (
	"math"

	"boxwright/internal/geom"
)

// Lengths and clearances of a join sheet, in millimetres. Two lines can be
// told apart, by the eye and by the matching of strokes to them, when they
// cross clearly or lie well apart.
const (
	minJoin, maxJoin = 30, 150
	joinMargin       = 10 // dots from the sheet's edge
	dotGap           = 10 // dots from each other
	lineGap          = 7  // dots from a foreign line
)

// minCrossing is the least angle at which two lines may cross; a hand is off
// by a few degrees at most.
var minCrossing = geom.Degrees(30)

// join makes x a sheet of dots to be joined in pairs: 8 to 12 pairs, in all
// directions, of all lengths. Higher levels have more and longer lines, that
// may cross from level 4 on.
func join(x *Exercise, r *dice) {
	n := 8 + (x.Level-1)/2
	x.Targets = make([]Target, 0, n)
	for range joinTries {
		if x.scatter(n, r) {
			break
		}
	}
	if len(x.Targets) < n {
		// As in fallback: fixed dice, which a test runs for every level.
		fixed := fixedDice(Join, None, x.Level)
		for !x.scatter(n, &fixed) {
		}
	}
	x.Asked.Targets = append(make([]string, 0, n), targetIDs[:n]...)
}

// joinTries is how often a sheet is begun again, spotTries how often one pair
// of dots is moved.
const (
	joinTries = 40
	spotTries = 60
)

// scatter lays out n pairs of dots, the longest first, for it is the hardest
// to place. Directions and lengths are drawn one from each of n equal parts
// of their range, so that none is missing. ok is false when a pair found no
// place.
func (x *Exercise) scatter(n int, r *dice) (ok bool) {
	x.Targets = x.Targets[:0]
	var turn [12]int
	for i := range n {
		j := r.below(i + 1)
		turn[i], turn[j] = turn[j], i
	}
	t := float64(x.Level-MinLevel) / (MaxLevel - MinLevel)
	longest := maxJoin - float64(40*(1-t))
	for i := range n {
		part := (float64(n-1-i) + r.float()) / float64(n)
		length := minJoin + float64((longest-minJoin)*part)
		angle := geom.Angle(math.Pi * (float64(turn[i]) + r.float()) / float64(n))
		half := geom.Direction(angle).Scale(length / 2)
		if r.chance(.5) {
			half = half.Scale(-1)
		}
		if !x.place(half, r) {
			return false
		}
	}
	// In the order in which they are drawn, long and short are mixed.
	for i := range n {
		j := r.below(i + 1)
		x.Targets[i], x.Targets[j] = x.Targets[j], x.Targets[i]
	}
	for i := range x.Targets {
		x.Targets[i].ID = targetIDs[i]
	}
	return true
}

// place adds a pair of dots, half to either side of their middle: of a few
// free places the one farthest from the lines that are there, so that the
// sheet fills evenly.
func (x *Exercise) place(half geom.Vec, r *dice) (ok bool) {
	const choice = 4
	dx, dy := joinMargin+math.Abs(half.X), joinMargin+math.Abs(half.Y)
	var best Target
	found, clear := 0, -1.0
	for try := 0; try < spotTries && found < choice; try++ {
		c := geom.Vec{X: r.in(dx, x.Sheet.Width-dx), Y: r.in(dy, x.Sheet.Height-dy)}
		g := geom.Segment{A: c.Sub(half), B: c.Add(half)}
		free, near := true, math.Inf(1)
		for _, t := range x.Targets {
			h := geom.Segment{A: t.A, B: t.B}
			if !apart(g, h, group(x.Level) > 0) {
				free = false
				break
			}
			near = min(near, h.Dist(c))
		}
		if !free {
			continue
		}
		found++
		if near > clear {
			best, clear = Target{A: g.A, B: g.B}, near
		}
	}
	if found == 0 {
		return false
	}
	x.Targets = append(x.Targets, best)
	return true
}

// apart reports whether two lines cannot be taken for each other: dots keep
// their distance from foreign dots and lines, and the lines do not cross, or
// cross clearly if crossing is allowed.
func apart(g, h geom.Segment, crossing bool) bool {
	for _, p := range [2]geom.Vec{g.A, g.B} {
		if h.Dist(p) < lineGap || p.Sub(h.A).Len() < dotGap || p.Sub(h.B).Len() < dotGap {
			return false
		}
	}
	if g.Dist(h.A) < lineGap || g.Dist(h.B) < lineGap {
		return false
	}
	u, v := g.B.Sub(g.A), h.B.Sub(h.A)
	crosses := (u.Cross(h.A.Sub(g.A)) > 0) != (u.Cross(h.B.Sub(g.A)) > 0) &&
		(v.Cross(g.A.Sub(h.A)) > 0) != (v.Cross(g.B.Sub(h.A)) > 0)
	if !crosses {
		return true
	}
	return crossing && lineAngle(u, v) >= minCrossing
}

// lineAngle returns the angle between two undirected lines, in [0°, 90°].
func lineAngle(u, v geom.Vec) geom.Angle {
	return geom.Angle(math.Atan2(math.Abs(u.Cross(v)), math.Abs(u.Dot(v))))
}

var targetIDs = numbered("t", 12)
