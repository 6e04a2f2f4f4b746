package grade

import (
	"cmp"
	"math"
	"slices"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// frame is the box that a drawing shows: its corners in the order of
// perspective.Edges, and for every edge the line that draws it.
type frame struct {
	corners [8]geom.Vec
	met     [8]bool // lines of at least two sets tell the corner
	line    [12]int // into the bars; -1: none
	cost    float64
}

// What a line costs that lies off its edge: the ends' distance in units of
// the tolerance below, squared, up to a limit.
const (
	frameNear  = 4.0 // mm on a sheet 297 mm long
	frameShare = 0.08
	frameLimit = 8
	maxGuesses = 24
)

// findFrame fits a box to three sets of lines with the points in which they
// meet. ok is false when the lines do not hang together as one.
func findFrame(bars []bar, sets [3][]int, at [3]geom.Point, unit float64) (best frame, ok bool) {
	best.cost = math.Inf(1)
	for _, g := range nearCorners(bars, sets, unit) {
		c, ok := spread(bars, g, at)
		if !ok {
			continue
		}
		f := frame{corners: c}
		f.settle(bars, sets, unit)
		if f.cost < best.cost {
			best = f
		}
	}
	if math.IsInf(best.cost, 1) {
		return best, false
	}
	for range 2 {
		best.draw(bars, at, unit)
		best.settle(bars, sets, unit)
	}
	best.draw(bars, at, unit)
	n := 0
	for _, l := range best.line {
		if l >= 0 {
			n++
		}
	}
	return best, best.cost < frameLimit/1.5*float64(n)
}

// guess is three lines, one of each set, that share a corner: which end of
// each lies there.
type guess struct {
	line, end [3]int
	far       float64
}

// nearCorners lists the triples of ends that lie closest together.
func nearCorners(bars []bar, sets [3][]int, unit float64) (gs []guess) {
	for _, i := range sets[0] {
		for _, j := range sets[1] {
			for _, k := range sets[2] {
				for e := range 8 {
					g := guess{line: [3]int{i, j, k}, end: [3]int{e & 1, e >> 1 & 1, e >> 2}}
					p, q, r := bars[i].end(g.end[0]), bars[j].end(g.end[1]), bars[k].end(g.end[2])
					g.far = p.Sub(q).Len() + q.Sub(r).Len() + r.Sub(p).Len()
					if g.far < 90*unit {
						gs = append(gs, g)
					}
				}
			}
		}
	}
	slices.SortStableFunc(gs, func(a, b guess) int { return cmp.Compare(a.far, b.far) })
	return gs[:min(len(gs), maxGuesses)]
}

// spread builds all corners from three lines at one: every other corner
// follows from the sets' points.
func spread(bars []bar, g guess, at [3]geom.Point) (c [8]geom.Vec, ok bool) {
	var o geom.Vec
	for k := range g.line {
		o = o.Add(bars[g.line[k]].end(g.end[k]).Scale(1. / 3))
	}
	var s [3]float64
	for k, v := range at {
		t := v.From(o)
		l2 := t.Dot(t)
		if !(l2 > 0) {
			return c, false
		}
		b := bars[g.line[k]].end(1-g.end[k]).Sub(o).Dot(t) / l2
		if s[k] = b / (1 - float64(b*v.W)); !finite(s[k]) {
			return c, false
		}
	}
	for i := range c {
		p := geom.At(o)
		for k, v := range at {
			if i>>k&1 == 1 {
				p = geom.Point{X: p.X + float64(s[k]*v.X), Y: p.Y + float64(s[k]*v.Y), W: p.W + float64(s[k]*v.W)}
			}
		}
		if !(p.W > 0.05) {
			return c, false
		}
		c[i], _ = p.Vec()
	}
	return c, true
}

// settle gives each set's lines to its four edges at the least cost.
func (f *frame) settle(bars []bar, sets [3][]int, unit float64) {
	f.cost = 0
	for i := range f.line {
		f.line[i] = -1
	}
	for k := range sets {
		var cost [4][4]float64
		n := min(len(sets[k]), 4)
		for r, i := range sets[k][:n] {
			for e := range 4 {
				cost[r][e] = f.off(&bars[i], 4*k+e, unit)
			}
		}
		best, least := 0, math.Inf(1)
		for p, perm := range fours {
			c := 0.0
			for r := range n {
				c += cost[r][perm[r]]
			}
			if c < least {
				best, least = p, c
			}
		}
		f.cost += least
		for r, i := range sets[k][:n] {
			if e := fours[best][r]; cost[r][e] < frameLimit {
				f.line[4*k+e] = i
			}
		}
	}
}

// off returns how far a line lies from an edge.
func (f *frame) off(b *bar, edge int, unit float64) float64 {
	e := perspective.Edges[edge].Corners
	p, q := f.corners[e[0]], f.corners[e[1]]
	near := frameNear*unit + frameShare*(b.length+q.Sub(p).Len())/2
	d := math.Inf(1)
	for i := range 2 {
		u, v := b.end(i).Sub(p), b.end(1-i).Sub(q)
		d = min(d, u.Dot(u)+v.Dot(v))
	}
	return min(frameLimit, d/(2*near*near))
}

// fours are the permutations of four.
var fours = func() (all [24][4]int) {
	n := 0
	for a := range 4 {
		for b := range 4 {
			for c := range 4 {
				if d := 6 - a - b - c; a != b && a != c && b != c {
					all[n] = [4]int{a, b, c, d}
					n++
				}
			}
		}
	}
	return all
}()

// draw puts each corner where its lines meet; one that they do not tell is
// completed from its neighbours along the ways to the points.
func (f *frame) draw(bars []bar, at [3]geom.Point, unit float64) {
	guess := f.corners
	for c := range f.corners {
		var rays []ray
		for e, l := range f.line {
			if ends := perspective.Edges[e].Corners; l >= 0 && (ends[0] == c || ends[1] == c) {
				rays = append(rays, ray{at: bars[l].mid, dir: bars[l].dir})
			}
		}
		f.corners[c], f.met[c] = crossing(rays, guess[c], 40*unit)
	}
	known := f.corners
	for c := range f.corners {
		if f.met[c] {
			continue
		}
		var rays []ray
		for k := range at {
			n := known[c^1<<k]
			if u, ok := at[k].From(n).Unit(); ok {
				rays = append(rays, ray{at: n, dir: u})
			}
		}
		f.corners[c], _ = crossing(rays, guess[c], 40*unit)
	}
}

// crossing returns the point nearest to all rays. ok is false, and near
// returned, when they hardly cross or do so farther off than reach.
func crossing(rays []ray, near geom.Vec, reach float64) (geom.Vec, bool) {
	var xx, xy, yy, bx, by float64
	for _, r := range rays {
		n := r.dir.Perp()
		c := n.Dot(r.at.Sub(near))
		xx += n.X * n.X
		xy += n.X * n.Y
		yy += n.Y * n.Y
		bx += n.X * c
		by += n.Y * c
	}
	det := xx*yy - xy*xy
	if !(det > 0.01) { // within some 6 degrees of one another
		return near, false
	}
	off := geom.Vec{X: (bx*yy - by*xy) / det, Y: (by*xx - bx*xy) / det}
	if !(off.Len() < reach) {
		return near, false
	}
	return near.Add(off), true
}
