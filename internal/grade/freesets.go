package grade

import (
	"math"
	"math/bits"
	"slices"

	"boxwright/internal/geom"
)

// Prices of telling lines apart into sets, in the units of twice a log
// likelihood.
const (
	priceOut    = 25 // a line in no set
	priceCorner = 5  // two lines of a set that share a corner
	priceCut    = 20 // opposite sides of a face in different sets
	capResidual = 6  // standard deviations
	maxConverge = 1.3
	priceNear   = 8 // a set that meets inside the drawing, or right beside it
)

var groupSD = geom.Degrees(2.2)

// subset is a candidate for one set: some of the lines and what taking them
// for a set costs more than leaving them out; it is below 0.
type subset struct {
	bits uint32
	cost float64
}

// candidate is a subset of which the cost is known from below.
type candidate struct {
	cost  float64
	bits  uint32
	parts int8 // how many of its threes are fitted
	exact bool
}

// grouping finds the three sets. Which lines hang together is known at once,
// which lines meet in a point only by fitting pencils: that is put off until
// a subset could be part of the best. Candidates stand in a heap by what they
// cost at least; the first is fitted a bit further, and once its cost is
// known it is held against the cheaper ones. So subsets come in the order of
// their cost, a way to tell the lines apart is seen when its dearest set
// comes, and the search ends when no set that is left could be that one.
//
// Of some 1900 subsets of fifteen lines usually a tenth is fitted at all.
// Fitting three lines takes about 300 ns, and is done once for all subsets
// that hold them.
type grouping struct {
	rays []sightline
	diam float64
	heap []candidate // the least first
	out  []subset    // exactly known, by rising cost
	two  float64     // what the cheapest two of out without a common line cost

	apart apart
	web   web

	alone  [maxBars]float64
	pair   [maxBars][maxBars]float64
	threes [maxBars * (maxBars - 1) * (maxBars - 2) / 6]three
}

// three is what is known of three lines.
type three struct {
	known         bool
	fit           heading
	quick, misfit float64 // the cost with fit, and with the better of two
}

// newGrouping prepares the search among some lines.
func newGrouping(bars []bar, unit float64) *grouping {
	g := new(grouping)
	g.begin(bars, unit)
	return g
}

// begin is newGrouping in the room of a search that is over.
func (g *grouping) begin(bars []bar, unit float64) {
	g.rays, g.heap, g.out, g.two = g.rays[:0], g.heap[:0], g.out[:0], 0
	for i := range g.threes {
		g.threes[i].known = false
	}
	g.apart.measure(bars)
	g.web.weave(bars, &g.apart, unit)
	lo, hi := geom.Vec{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for i := range bars {
		b := &bars[i]
		g.rays = append(g.rays, makeSightline(b.mid, b.dir, float64(groupSD)*LengthLaw(b.length)))
		for e := range 2 {
			p := b.end(e)
			lo.X, lo.Y, hi.X, hi.Y = min(lo.X, p.X), min(lo.Y, p.Y), max(hi.X, p.X), max(hi.Y, p.Y)
		}
	}
	g.diam = hi.Sub(lo).Len()
	g.prices()
	g.list()
}

// list fills the heap with all subsets that are better than leaving their
// lines out, by how they hang together.
func (g *grouping) list() {
	n := len(g.rays)
	g.heap = slices.Grow(g.heap, n*(n-1)/2*(12+(n-2)*(n+1))/12)
	add := func(set uint32, cost float64) {
		if cost < 0 {
			g.heap = append(g.heap, candidate{cost: cost, bits: set})
		}
	}
	for i := range n {
		ci := g.alone[i]
		for j := range i {
			cj := ci + g.alone[j] + g.pair[i][j]
			add(1<<i|1<<j, cj)
			for k := range j {
				ck := cj + g.alone[k] + g.pair[i][k] + g.pair[j][k]
				add(1<<i|1<<j|1<<k, ck)
				for l := range k {
					add(1<<i|1<<j|1<<k|1<<l, ck+g.alone[l]+g.pair[i][l]+g.pair[j][l]+g.pair[k][l])
				}
			}
		}
	}
	for i := len(g.heap)/2 - 1; i >= 0; i-- {
		g.sink(i)
	}
}

// indices lists the members of a set.
func indices(set uint32) (m []int) {
	for ; set != 0; set &= set - 1 {
		m = append(m, bits.TrailingZeros32(set))
	}
	return m
}

// prices sums what taking each line, and each two, into one set costs by how
// they hang together.
func (g *grouping) prices() {
	for i := range g.web.n {
		g.alone[i] = -priceOut
		for j := range g.web.n {
			g.alone[i] += priceCut * g.web.facing[i][j]
			g.pair[i][j] = priceCorner*g.web.corner[i][j] - 2*priceCut*g.web.facing[i][j]
		}
	}
}

// fit learns more of what c costs: first of each three of four lines, of
// which none may cost more, then of all.
func (g *grouping) fit(c *candidate) {
	var in [4]int
	n := 0
	for b := c.bits; b != 0; b &= b - 1 {
		in[n] = bits.TrailingZeros32(b)
		n++
	}
	base := g.structure(in[:n])
	switch {
	case n == 2:
		rs := [2]sightline{g.rays[in[0]], g.rays[in[1]]}
		_, cost := g.misfit(rs[:])
		c.cost, c.exact = base+cost, true
	case n == 3:
		c.cost, c.exact = base+g.three(in[0], in[1], in[2]).misfit, true
	case c.parts < 4:
		var m [3]int
		copy(m[:], in[:c.parts])
		copy(m[c.parts:], in[c.parts+1:])
		c.parts++
		// What three cost together is found by a few steps only.
		c.cost = max(c.cost, base+0.9*g.three(m[0], m[1], m[2]).misfit)
	default:
		c.cost, c.exact = max(c.cost, base+g.four(in)), true
	}
}

// structure is what lines cost by how they hang together.
func (g *grouping) structure(in []int) (cost float64) {
	for k, i := range in {
		cost += g.alone[i]
		for _, j := range in[:k] {
			cost += g.pair[i][j]
		}
	}
	return cost
}

// misfit returns how badly lines meet in a point, by two ways to find it, and
// the first with its price.
func (g *grouping) misfit(rs []sightline) (t three, best float64) {
	t.known = true
	t.fit, t.quick = quickMeet(rs, g.diam)
	t.misfit = t.quick
	if t.misfit > 6 {
		if near, ok := nearMeet(rs, g.diam); ok {
			t.misfit = min(t.misfit, near)
		}
	}
	return t, t.misfit
}

// three returns what is known of three lines, i < j < k.
func (g *grouping) three(i, j, k int) *three {
	t := &g.threes[k*(k-1)*(k-2)/6+j*(j-1)/2+i]
	if !t.known {
		rs := [3]sightline{g.rays[i], g.rays[j], g.rays[k]}
		*t, _ = g.misfit(rs[:])
	}
	return t
}

// four returns how badly four lines meet in a point, robustly: the best of
// the pencil of all and those of all but one.
func (g *grouping) four(in [4]int) float64 {
	rs := [4]sightline{g.rays[in[0]], g.rays[in[1]], g.rays[in[2]], g.rays[in[3]]}
	_, best := g.misfit(rs[:])
	if best < 2 {
		return best
	}
	for skip := range in {
		var m [3]int
		copy(m[:], in[:skip])
		copy(m[skip:], in[skip+1:])
		t := g.three(m[0], m[1], m[2])
		best = min(best, t.quick+min(t.fit.miss(&rs[skip]), capped))
	}
	return best
}
