package grade

import "math"

// maxCopies is how many strokes one edge takes: pieces and restatements.
const maxCopies = 16

// surcharge returns the extra cost of an edge's next stroke when it has n. It
// rises, so that a spare stroke goes to an empty edge first.
func surcharge(n int) float64 {
	switch {
	case n == 0:
		return 0
	case n == 1:
		return 4
	case n == 2:
		return 6
	case n < maxCopies:
		return 8
	}
	return math.Inf(1)
}

// assignment gives each of a number of strokes to one of a number of edges or
// to none, at the least total cost, exactly: strokes are added one at a time
// along cheapest augmenting paths (the Hungarian method on a graph whose
// nodes are the edges, with a rising cost for each further stroke of an edge
// in place of copies of it).
type assignment struct {
	edges int
	none  float64   // cost of giving a stroke to no edge
	cost  []float64 // strokes x edges; +Inf where a pair is out of the question

	edge  []int // result: edge of each stroke, or edges for none
	count []int // strokes per edge
	swap  []float64
	via   []int // the stroke behind each swap
	dist  []float64
	from  []int
}

// solve assigns all strokes.
func (a *assignment) solve(strokes int) {
	n := a.edges + 1
	a.edge = resize(a.edge, strokes)
	a.count = resize(a.count, n)
	a.swap = resize(a.swap, n*n)
	a.via = resize(a.via, n*n)
	a.dist = resize(a.dist, n)
	a.from = resize(a.from, n)
	for i := range a.count {
		a.count[i] = 0
	}
	for i := range a.swap {
		a.swap[i] = math.Inf(1)
	}
	for s := range strokes {
		a.edge[s] = -1
	}
	for s := range strokes {
		a.insert(s)
	}
}

func (a *assignment) at(s, e int) float64 {
	if e == a.edges {
		return a.none
	}
	return a.cost[s*a.edges+e]
}

// next is the extra cost of one more stroke on e.
func (a *assignment) next(e int) float64 {
	if e == a.edges {
		return 0
	}
	return surcharge(a.count[e])
}

// insert adds stroke s by the cheapest chain of displacements.
func (a *assignment) insert(s int) {
	n := a.edges + 1
	for e := range n {
		a.dist[e], a.from[e] = a.at(s, e), -1
	}
	for range n { // Bellman and Ford: swaps may have negative costs
		changed := false
		for e := range n {
			if a.count[e] == 0 || math.IsInf(a.dist[e], 1) {
				continue
			}
			for f, w := range a.swap[e*n : e*n+n] {
				if d := a.dist[e] + w; d < a.dist[f]-1e-12 {
					a.dist[f], a.from[f], changed = d, e, true
				}
			}
		}
		if !changed {
			break
		}
	}
	end, best := a.edges, math.Inf(1)
	for e := range n {
		if d := a.dist[e] + a.next(e); d < best {
			end, best = e, d
		}
	}
	a.count[end]++
	// Walk back: the stroke behind each swap moves on, s takes the last place.
	for e := end; ; {
		prev := a.from[e]
		mover := s
		if prev >= 0 {
			mover = a.via[prev*n+e]
		}
		a.edge[mover] = e
		if prev < 0 {
			break
		}
		e = prev
	}
	for e := end; e >= 0; e = a.from[e] {
		a.refresh(e, s)
	}
}

// refresh recomputes the cheapest swaps out of e; strokes up to last are
// assigned.
func (a *assignment) refresh(e, last int) {
	n := a.edges + 1
	row, via := a.swap[e*n:e*n+n], a.via[e*n:e*n+n]
	for f := range row {
		row[f] = math.Inf(1)
	}
	for s := range last + 1 {
		if a.edge[s] != e {
			continue
		}
		here := a.at(s, e)
		for f := range n {
			if d := a.at(s, f) - here; f != e && d < row[f] {
				row[f], via[f] = d, s
			}
		}
	}
}

// resize returns v with n entries, its content open.
func resize[T any](v []T, n int) []T {
	if cap(v) < n {
		return make([]T, n)
	}
	return v[:n]
}
