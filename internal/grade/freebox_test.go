package grade

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/perspective"
)

// Four lines get their edges at the least cost of all 24 ways.
func TestAssignFour(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	for range 3000 {
		var cost [4][4]float64
		for i := range cost {
			for j := range cost[i] {
				cost[i][j] = frameLimit * r.Float64()
			}
		}
		want := math.Inf(1)
		var p [4]int
		var try func(row, used int, sum float64)
		try = func(row, used int, sum float64) {
			if row == 4 {
				want = min(want, sum)
				return
			}
			for p[row] = 0; p[row] < 4; p[row]++ {
				if used>>p[row]&1 == 0 {
					try(row+1, used|1<<p[row], sum+cost[row][p[row]])
				}
			}
		}
		try(0, 0, 0)
		to, got := assign4(&cost)
		sum, used := 0.0, 0
		for row, col := range to {
			sum += cost[row][col]
			used |= 1 << col
		}
		if used != 15 || !(math.Abs(got-want) < 1e-12) || !(math.Abs(sum-want) < 1e-12) {
			t.Fatalf("%v: %v at %v (%v), want %v", cost, to, got, sum, want)
		}
	}
}

// eachBars gives the lines of simulated drawings and of scribbles, with the
// lines that each set means, at most four.
func eachBars(seed uint64, do func(bars []bar, sets [3][]int)) {
	r := rand.New(rand.NewPCG(seed, 2))
	take := func(a *Attempt) {
		bars := freeBars(a)
		var sets [3][]int
		for i := range bars {
			if k := r.IntN(3); len(sets[k]) < 4 {
				sets[k] = append(sets[k], i)
			}
		}
		do(bars, sets)
	}
	eachFree(3, seed, func(_ simHand, _ *drill.Exercise, _ perspective.Station, d simDrawing) { take(d.a) })
	for n := range 20 {
		take(scribble(r, n))
	}
}

// The triples of ends are the nearest of all.
func TestNearCornersAreNearest(t *testing.T) {
	found := 0
	eachBars(31, func(bars []bar, sets [3][]int) {
		var want []guess
		for _, i := range sets[0] {
			for _, j := range sets[1] {
				for _, k := range sets[2] {
					for e := range 8 {
						g := guess{line: [3]int{i, j, k}, end: [3]int{e & 1, e >> 1 & 1, e >> 2}}
						p, q, r := bars[i].end(g.end[0]), bars[j].end(g.end[1]), bars[k].end(g.end[2])
						if g.far = p.Sub(q).Len() + q.Sub(r).Len() + r.Sub(p).Len(); g.far < 90 {
							want = append(want, g)
						}
					}
				}
			}
		}
		slices.SortStableFunc(want, func(a, b guess) int { return cmp.Compare(a.far, b.far) })
		want = want[:min(len(want), maxGuesses)]
		var got [maxGuesses]guess
		n := nearCorners(bars, sets, 1, &got)
		if n != len(want) {
			t.Fatalf("%d, want %d", n, len(want))
		}
		found += n
		for i, g := range got[:n] {
			if g.line != want[i].line || g.end != want[i].end || !(math.Abs(g.far-want[i].far) < 1e-9) {
				t.Fatalf("%d: %v, want %v", i, g, want[i])
			}
		}
	})
	if found < 300 {
		t.Errorf("only %d", found)
	}
}

// A bridge is the surest of all lines from end to end.
func TestBridgeIsSurest(t *testing.T) {
	sure := 0
	eachBars(32, func(bars []bar, _ [3][]int) {
		var d apart
		var w web
		d.measure(bars)
		w.weave(bars, &d, 1)
		for i := range bars {
			for j := range bars {
				if i == j {
					continue
				}
				for e := range 4 {
					a, b := e&1, e>>1
					want := 0.0
					for k := range bars {
						for c := range 2 {
							want = max(want, w.touch[i][a][k][c]*w.touch[j][b][k][1-c])
						}
					}
					if got := w.bridge(i, a, j, b); got != want {
						t.Fatalf("%v, want %v", got, want)
					}
					if want > 0.5 {
						sure++
					}
				}
			}
		}
	})
	if sure < 100 {
		t.Errorf("only %d sure bridges", sure)
	}
}

// No way to tell lines apart costs less than is said.
func TestLeastCost(t *testing.T) {
	eachBars(33, func(bars []bar, _ [3][]int) {
		for _, w := range newGrouping(bars, 1).best(1, 0) {
			cost := w.cost + priceLoose*float64(len(bars))
			for _, s := range w.sets {
				cost -= priceLoose * float64(len(indices(s)))
			}
			if cost < leastCost(len(bars))-1e-9 {
				t.Fatalf("%v, at least %v", cost, leastCost(len(bars)))
			}
		}
	})
	if got := leastCost(12); got != -12*priceOut {
		t.Errorf("%v for a whole box", got)
	}
}
