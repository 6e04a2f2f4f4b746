package grade

import (
	"boxwright/internal/geom"
	"math"
	"slices"

	"boxwright/internal/ink"
)

// telling is one way to read a drawing: its lines, which of them make the
// three sets, and what else there is.
type telling struct {
	bars   []bar
	sets   [3][]int
	others []bar         // lines beyond those that are told apart
	guides []*trace      // strokes to draw along
	at     [3]geom.Point // where they meet
	frame  frame
	framed bool // the lines hang together as a box
	cost   float64
}

// scales are how generously strokes are taken for one line, against the usual.
var scales = [...]float64{0.5, 0.8, 1.2, 1.7, 2.4}

const (
	priceLoose  = 3 // a line in no set
	priceStrain = 1.5
	absorbing   = 3.5 // generosity toward what lies on a line that is known
)

// tell reads the traces in several ways and returns the likeliest. A way whose
// lines and sets alone cost more than the best whole one is not tried as a
// box, as a box costs nothing at best, and lines that cost more however they
// are told apart are not told apart at all.
func tell(ts []trace, p ink.Pointer, unit float64) (best telling) {
	c := makeClan(ts, unit)
	g := new(grouping)
	n := -1
	for _, s := range scales {
		c.gather(s)
		strain := priceStrain * c.strain
		first := n < 0
		m := c.left()
		if m == n || !first && strain+leastCost(m) >= best.cost {
			continue
		}
		n = m
		var t telling
		t.bars = c.bars(p)
		t.guides = dropGuides(t.bars, p)
		t.bars, t.others = choose(t.bars, unit)
		t.read(g, strain, &best, first, unit)
		if best.clear() {
			break
		}
	}
	best.absorb(p, unit)
	return best
}

// leastCost is what n lines cost at least, told apart in whatever way.
func leastCost(n int) float64 {
	n = min(n, maxBars)
	in := min(n, 3*4)
	return priceLoose*float64(n-in) - priceOut*float64(in)
}

// read tells t's bars apart and keeps the likeliest way in best, if it is
// likelier than that or the first. The box of the one with the cheapest sets
// says how much more the sets of another may cost.
func (t *telling) read(g *grouping, strain float64, best *telling, first bool, unit float64) {
	limit := 0.0
	loose := priceLoose * float64(len(t.bars))
	if !first {
		limit = min(limit, best.cost-strain)
	}
	g.begin(t.bars, unit)
	ways := g.best(1, limit)
	if len(ways) == 0 {
		ways = make([]triple, 1)
	}
	points := make(vanishing, 0, 3*maxTriples)
	for n := 0; n < len(ways); n++ {
		w := *t
		w.cost = strain + ways[n].cost + loose
		for s, set := range ways[n].sets {
			w.sets[s] = indices(set)
			w.cost -= priceLoose * float64(len(w.sets[s]))
		}
		if first || w.cost < best.cost {
			w.build(&points, unit)
		}
		if first || w.cost < best.cost {
			*best, first = w, false
		}
		if n == 0 {
			if more := g.best(maxTriples, min(limit, best.cost-strain)); len(more) > 0 {
				ways = more // the first is the same
			}
		}
	}
}

// clearCost is what a box may cost at most that leaves nothing to be told
// better.
const clearCost = 4

// clear reports whether all lines make one whole box and nothing is left.
func (t *telling) clear() bool {
	return t.framed && t.frame.cost < clearCost && len(t.others) == 0 &&
		len(t.bars) == 12 && len(t.sets[0])+len(t.sets[1])+len(t.sets[2]) == 12
}

// priceUnframed is what lines cost that make no box.
const (
	priceUnframed = 60
	priceFrame    = 2
)

// vanishing remembers where sets of lines meet.
type vanishing []struct {
	lines []int
	at    geom.Point
}

func (v *vanishing) of(bars []bar, set []int) geom.Point {
	for i := range *v {
		if slices.Equal((*v)[i].lines, set) {
			return (*v)[i].at
		}
	}
	ls := make([]*drawn, 0, 4)
	for _, i := range set {
		ls = append(ls, &bars[i].drawn)
	}
	p, _ := meetSet(ls, float64(groupSD))
	at := p.point(trueParallel)
	*v = append(*v, struct {
		lines []int
		at    geom.Point
	}{set, at})
	return at
}

// build makes a box of the sets.
func (t *telling) build(points *vanishing, unit float64) {
	t.cost += priceUnframed
	for k, set := range t.sets {
		if len(set) < 2 {
			return
		}
		t.at[k] = points.of(t.bars, set)
	}
	if t.frame, t.framed = findFrame(t.bars, t.sets, t.at, unit); t.framed {
		t.cost += min(priceFrame*t.frame.cost-priceUnframed, 0)
	}
}

// absorb joins what belongs to no set to the line of a set on which it lies:
// restatements and pieces that were not near enough before.
func (t *telling) absorb(p ink.Pointer, unit float64) {
	in := make([]bool, len(t.bars))
	for _, s := range t.sets {
		for _, i := range s {
			in[i] = true
		}
	}
	add := map[int][]*trace{}
	lies := func(b *bar) bool {
		best, at := absorbing, -1
		for i := range t.bars {
			if !in[i] {
				continue
			}
			k := kinOf(b.line(), t.bars[i].line(), unit)
			if c := k.cost(); k.gap <= 1 && c < best && b.length < 1.3*t.bars[i].length {
				best, at = c, i
			}
		}
		if at >= 0 {
			add[at] = append(add[at], b.ts...)
		}
		return at >= 0
	}
	for i := range t.bars {
		if !in[i] && lies(&t.bars[i]) {
			t.bars[i].ts = nil
		}
	}
	t.others = slices.DeleteFunc(t.others, func(b bar) bool { return lies(&b) })
	for i, ts := range add {
		t.bars[i] = makeBar(append(t.bars[i].ts, ts...), p)
	}
}

// line returns what kinOf needs to know.
func (b *bar) line() *ink.Line {
	return &ink.Line{Mid: b.mid, Dir: b.dir, Length: math.Max(b.length, 1e-3)}
}
