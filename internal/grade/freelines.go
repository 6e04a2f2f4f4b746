package grade

import (
	"math"
	"slices"

	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// How far apart strokes of one line may be in a drawing that nothing is known
// of: in direction, across and along, each with a part that goes with the
// length. Lengths are mm on a sheet 297 mm long.
const (
	sameAngle      = 7  // deg
	sameAngleShort = 36 // deg mm: more for a short stroke
	sameOff        = 2.2
	sameOffShare   = 0.035
	sameGap        = 6
	sameGapShare   = 0.12
)

// bar is one line of a drawing without a plan: the strokes that make it.
type bar struct {
	drawn
	ts    []*trace
	light float64
}

func makeBar(ts []*trace, p ink.Pointer) bar {
	b := bar{drawn: merge(ts, p), ts: ts}
	for _, t := range ts {
		b.light += t.light / float64(len(ts))
	}
	return b
}

// end returns an end of the line, 0 the first.
func (b *bar) end(i int) geom.Vec {
	if i == 0 {
		return b.from()
	}
	return b.to()
}

// kin tells how far two lines are from being one: in direction, across where
// they lie side by side or nearest, and along; 1 is the most that may be, at
// the usual generosity.
type kin struct{ angle, across, gap float64 }

func (k kin) cost() float64 {
	return max(k.angle, k.across, k.gap, math.Sqrt((k.angle*k.angle+k.across*k.across+k.gap*k.gap)/2))
}

// clan gathers strokes into lines, the nearest two first, so that the order
// of drawing changes nothing. All strokes of a line must be alike, and each
// must be near another.
type clan struct {
	members [][]*trace // nil: gone into another
	kin     [][]kin    // of i with each j < i
	next    []int      // the nearest earlier line
	near    []float64
	strain  float64 // what the joints cost so far, twice a log likelihood
}

func makeClan(ts []trace, unit float64) *clan {
	c := &clan{members: make([][]*trace, len(ts)), kin: make([][]kin, len(ts)), next: make([]int, len(ts)), near: make([]float64, len(ts))}
	all := make([]kin, len(ts)*(len(ts)-1)/2)
	for i := range ts {
		c.members[i] = []*trace{&ts[i]}
		c.kin[i], all = all[:i:i], all[i:]
		for j := range i {
			c.kin[i][j] = kinOf(&ts[i].Line, &ts[j].Line, unit)
		}
		c.look(i)
	}
	return c
}

func (c *clan) look(i int) {
	c.near[i] = math.Inf(1)
	for j, k := range c.kin[i] {
		if c.members[j] == nil {
			continue
		}
		if d := k.cost(); d < c.near[i] {
			c.next[i], c.near[i] = j, d
		}
	}
}

func (c *clan) between(i, j int) *kin {
	if i < j {
		i, j = j, i
	}
	return &c.kin[i][j]
}

// gather joins lines as long as two are within the given generosity.
func (c *clan) gather(limit float64) {
	for {
		k := -1
		for i := range c.members {
			if c.members[i] != nil && c.near[i] <= limit && (k < 0 || c.near[i] < c.near[k]) {
				k = i
			}
		}
		if k < 0 {
			return
		}
		j := c.next[k] // j < k; k goes into j
		c.members[j] = append(c.members[j], c.members[k]...)
		c.members[k] = nil
		c.strain += c.near[k] * c.near[k]
		for i := range c.members {
			if i == j || c.members[i] == nil {
				continue
			}
			a, b := c.between(i, j), *c.between(i, k)
			*a = kin{max(a.angle, b.angle), max(a.across, b.across), min(a.gap, b.gap)}
		}
		c.look(j)
		for i := j + 1; i < len(c.members); i++ {
			if c.members[i] == nil {
				continue
			}
			if c.next[i] == j || c.next[i] == k {
				c.look(i)
			} else if d := c.kin[i][j].cost(); d < c.near[i] {
				c.next[i], c.near[i] = j, d
			}
		}
	}
}

// left is how many lines there are so far.
func (c *clan) left() (n int) {
	for _, ts := range c.members {
		if ts != nil {
			n++
		}
	}
	return n
}

// bars returns the lines as they are gathered so far.
func (c *clan) bars(p ink.Pointer) (bars []bar) {
	for _, ts := range c.members {
		if ts != nil {
			bars = append(bars, makeBar(slices.Clone(ts), p))
		}
	}
	return bars
}

func kinOf(a, b *ink.Line, unit float64) (k kin) {
	short, long := a, b
	if a.Length > b.Length {
		short, long = b, a
	}
	l := short.Length / unit
	k.angle = math.Abs(tilt(a.Dir, b.Dir)) / float64(geom.Degrees(sameAngle+sameAngleShort/l))
	if k.angle > 2 {
		return kin{math.Inf(1), math.Inf(1), math.Inf(1)}
	}
	// Both seen along the longer one.
	h := long.Length / 2
	c := short.Mid.Sub(long.Mid).Dot(long.Dir)
	d := short.Dir.Dot(long.Dir)
	lo, hi := c-math.Abs(d)*short.Length/2, c+math.Abs(d)*short.Length/2
	gap := max(0, lo-h, -h-hi)
	k.gap = gap / ((sameGap + sameGapShare*long.Length/unit) * unit)
	at := (max(lo, -h) + min(hi, h)) / 2
	off := long.Dir.Cross(short.Mid.Sub(long.Mid)) + (at-c)/d*long.Dir.Cross(short.Dir)
	k.across = math.Abs(off) / ((sameOff+sameOffShare*l)*unit + 0.05*gap)
	return k
}

// dropGuides takes out of each line the strokes that run far past all others
// of it while those cover as much: lines laid down first to draw along. They
// come back apart.
func dropGuides(bars []bar, p ink.Pointer) (guides []*trace) {
	for i := range bars {
		b := &bars[i]
		if len(b.ts) < 2 {
			continue
		}
		for k, t := range b.ts {
			rest := slices.Delete(slices.Clone(b.ts), k, k+1)
			o := merge(rest, p)
			c := t.Mid.Sub(o.mid).Dot(o.dir)
			h := math.Abs(t.Dir.Dot(o.dir)) * t.Length / 2
			lo, hi := max(c-h, -o.length/2), min(c+h, o.length/2)
			past := max(-o.length/2-(c-h), c+h-o.length/2)
			limit := runsPast
			if t.light > 0.5 {
				limit = runsPastLight
			}
			if hi-lo > 0.8*o.length && past > limit*o.length {
				guides = append(guides, t)
				*b = makeBar(rest, p)
				break
			}
		}
	}
	return guides
}

// A guide's reach past the rest of its line, in lengths of that.
const (
	runsPast      = 0.35
	runsPastLight = 0.12
)
