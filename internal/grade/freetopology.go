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
}

// inLine is the sine of the angle below which two lines make no corner.
const inLine = 0.12

// meets returns how surely end a of line p and end b of line q are one
// corner.
func meets(p *bar, a int, q *bar, b int, unit float64) float64 {
	s := p.dir.Cross(q.dir)
	pa, qb := p.end(a), q.end(b)
	d := pa.Sub(qb)
	if math.Abs(s) < inLine { // along one line: no corner of a box
		return 0
	}
	near := cornerNear*unit + cornerShare*(p.length+q.length)/2
	x := d.Len() / near
	return 1 / (1 + x*x*x*x)
}

// rivalry is the distance in mm, on a sheet 297 mm long, up to which ends are
// equally near: a third line farther from a corner than its two nearest is
// the less likely to meet there.
const rivalry = 1.5

// second returns how near, in mm, the second nearest end of another line is
// to each end: two lines besides its own come to every corner of a box.
func second(bars []bar) (near [maxBars][2]float64) {
	for i := range bars {
		for a := range 2 {
			first, next := math.Inf(1), math.Inf(1)
			for j := range bars {
				if j == i || math.Abs(bars[i].dir.Cross(bars[j].dir)) < inLine {
					continue
				}
				p := bars[i].end(a)
				d := min(p.Sub(bars[j].end(0)).Len(), p.Sub(bars[j].end(1)).Len())
				first, next = min(first, d), min(next, max(first, d))
			}
			near[i][a] = next
		}
	}
	return near
}

// weave finds corners and faces.
func weave(bars []bar, unit float64) *web {
	w := &web{n: len(bars)}
	near := second(bars)
	for i := range bars {
		for j := range i {
			for a := range 2 {
				for b := range 2 {
					m := meets(&bars[i], a, &bars[j], b, unit)
					d := bars[i].end(a).Sub(bars[j].end(b)).Len() + rivalry*unit
					for _, n := range [2]float64{near[i][a], near[j][b]} {
						if r := (n + rivalry*unit) / d; r < 1 {
							m *= r * r
						}
					}
					w.touch[i][a][j][b], w.touch[j][b][i][a] = m, m
					w.corner[i][j] = max(w.corner[i][j], m)
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
	return w
}

// face returns how surely i and j are joined at both ends by two more lines,
// the first end of i being joined with end b of j.
func (w *web) face(i, j, b int) float64 {
	return math.Sqrt(w.bridge(i, 0, j, b) * w.bridge(i, 1, j, 1-b))
}

// bridge returns how surely some line leads from end a of i to end b of j.
func (w *web) bridge(i, a, j, b int) (best float64) {
	for k := range w.n {
		if k == i || k == j {
			continue
		}
		for e := range 2 {
			best = max(best, w.touch[i][a][k][e]*w.touch[j][b][k][1-e])
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
		for a, p := range ends[i] {
			best := 0.0
			for j := range bars {
				if j == i {
					continue
				}
				for b, q := range ends[j] {
					if d := p.Sub(q); math.Abs(d.X)+math.Abs(d.Y) < 30*unit {
						best = max(best, meets(&bars[i], a, &bars[j], b, unit))
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
