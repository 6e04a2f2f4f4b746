package grade

import (
	"cmp"
	"math"
	"slices"

	"boxwright/internal/geom"
)

// maxBars is how many lines are told apart into sets at most.
const maxBars = 15

// How near two ends are when they meet in a corner half for certain: mm on a
// sheet 297 mm long, and a share of the lines' lengths.
const (
	cornerNear  = 4.0
	cornerShare = 0.07
)

// web is how a drawing's lines hang together: 0 not at all, 1 for certain.
type web struct {
	n int
	// touch: end a of line i meets end b of line j.
	touch [maxBars][2][maxBars][2]float64
	// corner: lines i and j share a corner.
	corner [maxBars][maxBars]float64
	// facing: lines i and j are opposite sides of a face.
	facing [maxBars][maxBars]float64
	// surest: what each end meets the most surely.
	surest [maxBars][2]contacts
}

// contacts are some ends of lines that an end meets, the surest first, and
// how surely the next one after these is met.
type contacts struct {
	of   [4]contact
	rest float64
}

type contact struct {
	touch     float64
	line, end uint8
}

func (c *contacts) add(line, end int, touch float64) {
	if touch <= c.rest {
		return
	}
	if touch <= c.of[3].touch {
		c.rest = touch
		return
	}
	c.rest = c.of[3].touch
	k := 3
	for ; k > 0 && c.of[k-1].touch < touch; k-- {
		c.of[k] = c.of[k-1]
	}
	c.of[k] = contact{touch, uint8(line), uint8(end)}
}

// inLine is the sine of the angle below which two lines make no corner.
const inLine = 0.12

// meets returns how surely ends of the lines p and q that lie d mm apart are
// one corner.
func meets(p, q *bar, d, unit float64) float64 {
	if math.Abs(p.dir.Cross(q.dir)) < inLine { // along one line: no corner of a box
		return 0
	}
	x := d / (cornerNear*unit + cornerShare*(p.length+q.length)/2)
	return 1 / (1 + x*x*x*x)
}

// rivalry is the distance in mm, on a sheet 297 mm long, up to which ends are
// equally near: a third line farther from a corner than its two nearest is
// the less likely to meet there.
const rivalry = 1.5

// apart are the distances in mm between the ends of lines, for each two that
// make a corner at all.
type apart struct {
	gaps  [maxBars][maxBars]gaps
	cross [maxBars][maxBars]bool
}

func (d *apart) measure(bars []bar) {
	d.cross = [maxBars][maxBars]bool{}
	for i := range bars {
		for j := range i {
			if math.Abs(bars[i].dir.Cross(bars[j].dir)) < inLine {
				continue
			}
			d.cross[i][j], d.cross[j][i] = true, true
			g := gapsOf(&bars[i], &bars[j])
			d.gaps[i][j] = g
			d.gaps[j][i] = gaps{{g[0][0], g[1][0]}, {g[0][1], g[1][1]}}
		}
	}
}

// second returns how near, in mm, the second nearest end of another line is
// to each end of n: two lines besides its own come to every corner of a box.
func (d *apart) second(n int) (near [maxBars][2]float64) {
	for i := range n {
		for a := range 2 {
			first, next := math.Inf(1), math.Inf(1)
			for j := range n {
				if d.cross[i][j] {
					g := min(d.gaps[i][j][a][0], d.gaps[i][j][a][1])
					first, next = min(first, g), min(next, max(first, g))
				}
			}
			near[i][a] = next
		}
	}
	return near
}

// weave finds the corners and faces that lines so far apart make.
func (w *web) weave(bars []bar, apart *apart, unit float64) {
	*w = web{n: len(bars)}
	near := apart.second(w.n)
	for i := range bars {
		for j := range i {
			if !apart.cross[i][j] {
				continue
			}
			for a := range 2 {
				for b := range 2 {
					d := apart.gaps[i][j][a][b]
					m := meets(&bars[i], &bars[j], d, unit)
					for _, n := range [2]float64{near[i][a], near[j][b]} {
						if n < d {
							r := (n + rivalry*unit) / (d + rivalry*unit)
							m *= r * r
						}
					}
					w.touch[i][a][j][b], w.touch[j][b][i][a] = m, m
					w.corner[i][j] = max(w.corner[i][j], m)
					w.surest[i][a].add(j, b, m)
					w.surest[j][b].add(i, a, m)
				}
			}
			w.corner[j][i] = w.corner[i][j]
		}
	}
	for i := range bars {
		for j := range i {
			f := max(w.face(i, j, 0), w.face(i, j, 1))
			// Opposite sides have no corner in common, and do not lie square.
			f *= 1 - w.corner[i][j]
			w.facing[i][j], w.facing[j][i] = f, f
		}
	}
}

// face returns how surely i and j are joined at both ends by two more lines,
// the first end of i being joined with end b of j.
func (w *web) face(i, j, b int) float64 {
	p := w.bridge(i, 0, j, b)
	if p == 0 {
		return 0
	}
	return math.Sqrt(p * w.bridge(i, 1, j, 1-b))
}

// bridge returns how surely some line leads from end a of i to end b of j.
// The surest contacts of an end nearly always rule out all others.
func (w *web) bridge(i, a, j, b int) (best float64) {
	from, to := &w.surest[i][a], &w.touch[j][b]
	most := w.surest[j][b].of[0].touch
	for n := range from.of {
		c := &from.of[n]
		if c.touch*most <= best {
			return best
		}
		best = max(best, c.touch*to[c.line][1-c.end])
	}
	if from.rest*most <= best {
		return best
	}
	for k := range w.n {
		for e, t := range w.touch[i][a][k] {
			best = max(best, t*to[k][1-e])
		}
	}
	return best
}

// choose keeps the lines whose ends lie near other ends, maxBars at most, and
// returns the others apart.
func choose(bars []bar, unit float64) (kept, others []bar) {
	if len(bars) <= maxBars {
		return bars, nil
	}
	ends := make([][2]geom.Vec, len(bars))
	for i := range bars {
		ends[i] = [2]geom.Vec{bars[i].end(0), bars[i].end(1)}
	}
	held := make([]float64, len(bars))
	for i := range bars {
		for _, p := range ends[i] {
			best := 0.0
			for j := range bars {
				if j == i {
					continue
				}
				for _, q := range ends[j] {
					if d := p.Sub(q); math.Abs(d.X)+math.Abs(d.Y) < 30*unit {
						best = max(best, meets(&bars[i], &bars[j], d.Len(), unit))
					}
				}
			}
			held[i] += best
		}
		held[i] += 0.3*min(1, bars[i].length/(40*unit)) - 0.3*bars[i].light
	}
	order := make([]int, len(bars))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(held[j], held[i]) })
	slices.Sort(order[:maxBars])
	for k, i := range order {
		if k < maxBars {
			kept = append(kept, bars[i])
		} else {
			others = append(others, bars[i])
		}
	}
	return kept, others
}
