package grade

import (
	"cmp"
	"slices"
)

// triple is a way to tell the lines apart: three disjoint sets, or fewer, as
// bits, with what they cost.
type triple struct {
	sets [3]uint32
	cost float64
}

// maxTriples is how many ways to tell lines apart are looked at again as
// boxes.
const maxTriples = 6

// best returns the most ways to tell the lines apart that cost least, the
// best first and all below limit: three disjoint subsets or, where there are
// not lines enough, fewer. It is exact. Asked again, it goes on from where it
// was.
func (g *grouping) best(most int, limit float64) []triple {
	f := finds{most: most, limit: limit}
	for i := range g.out {
		g.join(i, &f)
	}
	for len(g.heap) > 0 {
		// Of a way that is not seen yet one set costs least at least, and so
		// do all the others that are not among the known ones.
		least := g.heap[0].cost
		bound := 3 * least
		if len(g.out) > 0 {
			bound = min(g.two+least, g.out[0].cost+2*least)
		}
		if bound >= f.limit {
			break
		}
		if s, ok := g.next(); ok {
			g.out = append(g.out, s)
			g.join(len(g.out)-1, &f)
		}
	}
	return f.all
}

// join keeps the ways of which the i-th known subset is the dearest part.
func (g *grouping) join(i int, f *finds) {
	c := g.out[i]
	f.keep(c.cost, c.bits)
	for j, a := range g.out[:i] {
		if a.bits&c.bits != 0 {
			continue
		}
		two := a.cost + c.cost
		g.two = min(g.two, two)
		f.keep(two, a.bits, c.bits)
		if two+a.cost >= f.limit {
			continue // only dearer ones follow, but they may make two
		}
		both := a.bits | c.bits
		for _, b := range g.out[j+1 : i] {
			if two+b.cost >= f.limit {
				break
			}
			if b.bits&both == 0 {
				f.keep(two+b.cost, a.bits, b.bits, c.bits)
			}
		}
	}
}

// finds are the best ways found so far, by rising cost; limit is what another
// must cost less than.
type finds struct {
	all   []triple
	most  int
	limit float64
}

func (f *finds) keep(cost float64, sets ...uint32) {
	if cost >= f.limit {
		return
	}
	t := triple{cost: cost}
	copy(t.sets[:], sets)
	k, _ := slices.BinarySearchFunc(f.all, cost, func(t triple, c float64) int { return cmp.Compare(t.cost, c) })
	f.all = slices.Insert(f.all, k, t)
	if len(f.all) > f.most {
		f.all = f.all[:f.most]
	}
	if len(f.all) == f.most {
		f.limit = f.all[f.most-1].cost
	}
}

// next fits the heap's first candidate further, or takes it out when its cost
// is known; ok tells that it was known and is better than leaving its lines
// out.
func (g *grouping) next() (s subset, ok bool) {
	c := &g.heap[0]
	s, ok = subset{c.bits, c.cost}, c.exact
	if !c.exact {
		g.fit(c)
	}
	if ok || !(c.cost < 0) {
		n := len(g.heap) - 1
		g.heap[0] = g.heap[n]
		g.heap = g.heap[:n]
	}
	g.sink(0)
	return s, ok
}

// sink restores the heap below i.
func (g *grouping) sink(i int) {
	h := g.heap
	if i >= len(h) {
		return
	}
	c := h[i]
	for {
		k := 2*i + 1
		if k >= len(h) {
			break
		}
		if k+1 < len(h) && h[k+1].before(&h[k]) {
			k++
		}
		if !h[k].before(&c) {
			break
		}
		h[i] = h[k]
		i = k
	}
	h[i] = c
}

func (c *candidate) before(d *candidate) bool {
	return c.cost < d.cost || c.cost == d.cost && c.bits < d.bits
}
