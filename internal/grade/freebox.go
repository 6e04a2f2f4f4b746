package grade

import (
	"math"

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
// meet: each corner that three lines seem to make is spread to a box, and the
// one that lies nearest to all lines is drawn over. ok is false when the lines
// do not hang together as one.
func findFrame(bars []bar, sets [3][]int, at [3]geom.Point, unit float64) (best frame, ok bool) {
	best.cost = math.Inf(1)
	f := frame{}
	var near [maxGuesses]guess
	for i := range nearCorners(bars, sets, unit, &near) {
		if f.corners, ok = spread(bars, &near[i], at); !ok {
			continue
		}
		if f.settle(bars, sets, unit, best.cost); f.cost < best.cost {
			best = f
		}
	}
	if math.IsInf(best.cost, 1) {
		return best, false
	}
	for range 2 {
		best.draw(bars, at, unit)
		best.settle(bars, sets, unit, math.Inf(1))
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
// each lies there, and how far it is around the three.
type guess struct {
	line, end [3]int
	far       float64
}

// gaps are the distances between the ends of two lines.
type gaps [2][2]float64

func gapsOf(p, q *bar) (g gaps) {
	for a := range g {
		u := p.end(a)
		for b := range g[a] {
			v := u.Sub(q.end(b))
			g[a][b] = math.Sqrt(v.X*v.X + v.Y*v.Y)
		}
	}
	return g
}

// nearCorners finds the triples of ends that lie closest together, the
// nearest first, and returns how many there are.
func nearCorners(bars []bar, sets [3][]int, unit float64, near *[maxGuesses]guess) (n int) {
	limit := 90 * unit
	var beside [maxBars]gaps // of the third set with the second
	for _, i := range sets[0] {
		var across [maxBars]gaps
		for _, k := range sets[2] {
			across[k] = gapsOf(&bars[i], &bars[k])
		}
		for _, j := range sets[1] {
			between := gapsOf(&bars[i], &bars[j])
			for _, k := range sets[2] {
				beside[k] = gapsOf(&bars[j], &bars[k])
			}
			for _, k := range sets[2] {
				for e := range 8 {
					a, b, c := e&1, e>>1&1, e>>2
					far := between[a][b] + beside[k][b][c] + across[k][a][c]
					if !(far < limit) {
						continue
					}
					// In among the nearer ones, behind equals.
					at := min(n, maxGuesses-1)
					for ; at > 0 && near[at-1].far > far; at-- {
						near[at] = near[at-1]
					}
					near[at] = guess{[3]int{i, j, k}, [3]int{a, b, c}, far}
					if n = min(n+1, maxGuesses); n == maxGuesses {
						limit = near[n-1].far
					}
				}
			}
		}
	}
	return n
}

// spread builds all corners from three lines at one: every other corner
// follows from the sets' points.
func spread(bars []bar, g *guess, at [3]geom.Point) (c [8]geom.Vec, ok bool) {
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

// settle gives each set's lines to its four edges at the least cost. It stops
// as soon as that is not below limit; the cost is then no number to go by.
func (f *frame) settle(bars []bar, sets [3][]int, unit, limit float64) {
	f.cost = 0
	for i := range f.line {
		f.line[i] = -1
	}
	for k := range sets {
		var cost [4][4]float64
		var room [4]float64 // what the length of an edge adds to its tolerance
		for e := range 4 {
			c := perspective.Edges[4*k+e].Corners
			v := f.corners[c[1]].Sub(f.corners[c[0]])
			room[e] = frameShare / 2 * math.Sqrt(v.X*v.X+v.Y*v.Y)
		}
		n := min(len(sets[k]), 4)
		least := 0.0
		for r, i := range sets[k][:n] {
			near := frameNear*unit + frameShare/2*bars[i].length
			ends := [2]geom.Vec{bars[i].end(0), bars[i].end(1)}
			row := math.Inf(1)
			for e := range 4 {
				c := perspective.Edges[4*k+e].Corners
				cost[r][e] = besideEdge(&ends, f.corners[c[0]], f.corners[c[1]], near+room[e])
				row = min(row, cost[r][e])
			}
			if least += row; f.cost+least >= limit {
				f.cost = math.Inf(1)
				return
			}
		}
		to, total := assign4(&cost)
		f.cost += total
		for r, i := range sets[k][:n] {
			if e := to[r]; cost[r][e] < frameLimit {
				f.line[4*k+e] = i
			}
		}
	}
}

// besideEdge returns how far a line with these ends lies from the edge p q.
func besideEdge(ends *[2]geom.Vec, p, q geom.Vec, near float64) float64 {
	u, v := ends[0].Sub(p), ends[1].Sub(q)
	x, y := ends[1].Sub(p), ends[0].Sub(q)
	d := min(u.X*u.X+u.Y*u.Y+v.X*v.X+v.Y*v.Y, x.X*x.X+x.Y*x.Y+y.X*y.X+y.Y*y.Y)
	return min(frameLimit, d/(2*near*near))
}

// twos are the pairs of four; the i-th from the end is what the i-th leaves.
var twos = [6][2]int{{0, 1}, {0, 2}, {0, 3}, {1, 2}, {1, 3}, {2, 3}}

// assign4 gives each of four rows a column of its own at the least cost: the
// first two rows share two of the columns, and the last two the others.
func assign4(cost *[4][4]float64) (to [4]int, total float64) {
	total = math.Inf(1)
	for i, ab := range twos {
		cd := twos[5-i]
		a, b := ab[0], ab[1]
		c, d := cd[0], cd[1]
		first, last := cost[0][a]+cost[1][b], cost[2][c]+cost[3][d]
		if x := cost[0][b] + cost[1][a]; x < first {
			first, a, b = x, b, a
		}
		if x := cost[2][d] + cost[3][c]; x < last {
			last, c, d = x, d, c
		}
		if x := first + last; x < total {
			total, to = x, [4]int{a, b, c, d}
		}
	}
	return to, total
}

// draw puts each corner where its lines meet; one that they do not tell is
// completed from its neighbours along the ways to the points.
func (f *frame) draw(bars []bar, at [3]geom.Point, unit float64) {
	guess := f.corners
	for c := range f.corners {
		rays := make([]ray, 0, len(f.line))
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
		rays := make([]ray, 0, len(at))
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
