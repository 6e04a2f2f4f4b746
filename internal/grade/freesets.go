package grade

import (
	"cmp"
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

// grouping finds the three sets.
type grouping struct {
	rays []ray
	web  *web
	diam float64
	out  []subset

	alone [maxBars]float64
	pair  [maxBars][maxBars]float64
	memo  [1 << maxBars]float32 // 1 + misfit of three lines; 0: not known yet
}

// triple is a way to tell the lines apart: three disjoint sets, or fewer, as
// bits, with what they cost.
type triple struct {
	sets [3]uint32
	cost float64
}

// maxTriples is how many ways to tell lines apart are looked at again as
// boxes.
const maxTriples = 6

// findSets returns the likeliest ways to tell the lines apart, the best
// first.
func findSets(bars []bar, w *web) []triple {
	g := &grouping{web: w, rays: make([]ray, 0, len(bars))}
	lo, hi := geom.Vec{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for i := range bars {
		b := &bars[i]
		g.rays = append(g.rays, ray{at: b.mid, dir: b.dir, sd: float64(groupSD) * LengthLaw(b.length)})
		for e := range 2 {
			p := b.end(e)
			lo.X, lo.Y, hi.X, hi.Y = min(lo.X, p.X), min(lo.Y, p.Y), max(hi.X, p.X), max(hi.Y, p.Y)
		}
	}
	g.diam = hi.Sub(lo).Len()
	g.prices()
	n := len(bars)
	for i := range n {
		ci := g.alone[i]
		for j := range i {
			cj := ci + g.alone[j] + g.pair[i][j]
			g.try(1<<i|1<<j, cj)
			for k := range j {
				ck := cj + g.alone[k] + g.pair[i][k] + g.pair[j][k]
				g.try(1<<i|1<<j|1<<k, ck)
				for l := range k {
					g.try(1<<i|1<<j|1<<k|1<<l, ck+g.alone[l]+g.pair[i][l]+g.pair[j][l]+g.pair[k][l])
				}
			}
		}
	}
	return g.best()
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

// try keeps a subset if it is better than leaving it out; cost is what it
// costs by how its lines hang together.
func (g *grouping) try(set uint32, cost float64) {
	if cost >= 0 || !g.hopeful(set, -cost) {
		return
	}
	if cost += g.misfit(set); cost < 0 {
		g.out = append(g.out, subset{set, cost})
	}
}

// hopeful reports whether four lines may fit a pencil for less than limit: no
// three of them may cost more.
func (g *grouping) hopeful(set uint32, limit float64) bool {
	if bits.OnesCount32(set) < 4 {
		return true
	}
	for b := set; b != 0; b &= b - 1 {
		three := set &^ (b & -b)
		if g.memo[three] == 0 {
			g.memo[three] = 1 + float32(g.misfit(three))
		}
		// What three cost together is found by a few steps only.
		if 0.9*float64(g.memo[three]-1) > limit {
			return false
		}
	}
	return true
}

// misfit returns how badly the lines meet in a point, robustly: the best of
// the pencil of all and those of all but one.
func (g *grouping) misfit(set uint32) float64 {
	var part [4]ray
	n := 0
	for b := set; b != 0; b &= b - 1 {
		part[n] = g.rays[bits.TrailingZeros32(b)]
		n++
	}
	all := part[:n]
	best := g.price(all, all)
	if best > 6 {
		if p, ok := nearMeet(all); ok {
			best = min(best, g.cost(&p, all))
		}
	}
	if len(all) < 4 || best < 2 {
		return best
	}
	var rest [3]ray
	for skip := range all {
		copy(rest[:], all[:skip])
		copy(rest[skip:], all[skip+1:])
		best = min(best, g.price(rest[:], all))
	}
	return best
}

// price fits a pencil to some rays and prices all with it.
func (g *grouping) price(some, all []ray) (cost float64) {
	p := quickMeet(some, g.diam)
	return g.cost(&p, all)
}

// cost is what taking the rays for the pencil p costs.
func (g *grouping) cost(p *pencil, all []ray) (cost float64) {
	for _, r := range all {
		e, _, _, w := p.slopes(r)
		cost += min(w*e*e, capResidual*capResidual)
	}
	return cost + converge(p.kappa, g.diam)
}

// converge is the price of meeting nearer than a box of that size is drawn.
func converge(kappa, diam float64) float64 {
	x := max(0, math.Abs(kappa)*diam-maxConverge) / 0.3
	return min(x*x, priceNear)
}

// quickMeet fits a pencil by a few Gauss-Newton steps from the mean direction
// and the convergence regressed on it.
func quickMeet(rays []ray, diam float64) pencil {
	var m geom.Vec
	var c2, s2 float64
	for _, r := range rays {
		m = m.Add(r.at)
		k := 1 / (r.sd * r.sd)
		c2 += k * (r.dir.X*r.dir.X - r.dir.Y*r.dir.Y)
		s2 += k * 2 * r.dir.X * r.dir.Y
	}
	p := pencil{m: m.Scale(1 / float64(len(rays)))}
	p.set(0.5*math.Atan2(s2, c2), 0)
	// A weak hold on the convergence keeps two lines from running away.
	sd := 1 / max(diam, 1)
	chi2 := math.Inf(1)
	for range 5 {
		ibb, ibk, ikk, gb, gk, now := p.information(rays)
		ikk += 1e-6 / (sd * sd)
		det := ibb*ikk - ibk*ibk
		if !(det > 0) || now > chi2-1e-3 {
			break
		}
		chi2 = now
		db, dk := (gb*ikk-gk*ibk)/det, (gk*ibb-gb*ibk)/det
		p.set(p.beta+db, p.kappa+max(-sd, min(sd, dk)))
	}
	return p
}

// nearMeet returns the pencil of the point nearest to all lines, for sets that
// meet close by.
func nearMeet(rays []ray) (p pencil, ok bool) {
	var m geom.Vec
	for _, r := range rays {
		m = m.Add(r.at)
	}
	m = m.Scale(1 / float64(len(rays)))
	var xx, xy, yy, bx, by float64
	for _, r := range rays {
		n := r.dir.Perp()
		c := n.Dot(r.at.Sub(m))
		xx += n.X * n.X
		xy += n.X * n.Y
		yy += n.Y * n.Y
		bx += n.X * c
		by += n.Y * c
	}
	det := xx*yy - xy*xy
	if !(det > 1e-3) {
		return p, false
	}
	p = toward(m, geom.At(m.Add(geom.Vec{X: (bx*yy - by*xy) / det, Y: (by*xx - bx*xy) / det})))
	for range 3 {
		ibb, ibk, ikk, gb, gk, _ := p.information(rays)
		det := ibb*ikk - ibk*ibk
		if !(det > 0) {
			break
		}
		q := p
		q.set(p.beta+(gb*ikk-gk*ibk)/det, p.kappa+(gk*ibb-gb*ibk)/det)
		if !(q.cost(rays) < p.cost(rays)) {
			break
		}
		p = q
	}
	return p, true
}

// best returns the disjoint subsets that cost least together, three or where
// there are not lines enough fewer, exactly: branches that cannot become
// better than the last of the best so far are cut off.
func (g *grouping) best() (found []triple) {
	slices.SortFunc(g.out, func(a, b subset) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.bits, b.bits))
	})
	limit := 0.0
	keep := func(cost float64, s ...uint32) {
		if cost >= limit {
			return
		}
		t := triple{cost: cost}
		copy(t.sets[:], s)
		k, _ := slices.BinarySearchFunc(found, cost, func(t triple, c float64) int { return cmp.Compare(t.cost, c) })
		found = slices.Insert(found, k, t)
		if len(found) > maxTriples {
			found = found[:maxTriples]
		}
		if len(found) == maxTriples {
			limit = found[maxTriples-1].cost
		}
	}
	for i, a := range g.out {
		if 3*a.cost >= limit {
			break
		}
		keep(a.cost, a.bits)
		for j := i + 1; j < len(g.out); j++ {
			b := g.out[j]
			if a.cost+2*b.cost >= limit {
				break
			}
			if a.bits&b.bits != 0 {
				continue
			}
			keep(a.cost+b.cost, a.bits, b.bits)
			for _, c := range g.out[j+1:] {
				if a.cost+b.cost+c.cost >= limit {
					break
				}
				if (a.bits|b.bits)&c.bits == 0 {
					keep(a.cost+b.cost+c.cost, a.bits, b.bits, c.bits)
				}
			}
		}
	}
	return found
}
