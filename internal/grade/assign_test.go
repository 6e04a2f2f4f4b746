package grade

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The assignment costs as little as any: compared with trying everything.
func TestAssignmentExact(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 400 {
		a := assignment{edges: 1 + r.IntN(4), none: 16}
		strokes := r.IntN(6)
		for range strokes * a.edges {
			c := 40 * r.Float64()
			if r.IntN(4) == 0 {
				c = math.Inf(1)
			}
			a.cost = append(a.cost, c)
		}
		a.solve(strokes)
		got, want := a.total(a.edge[:strokes]), math.Inf(1)
		try := make([]int, strokes)
		for {
			want = min(want, a.total(try))
			k := 0
			for ; k < strokes; k++ {
				if try[k]++; try[k] <= a.edges {
					break
				}
				try[k] = 0
			}
			if k == strokes {
				break
			}
		}
		if !(math.Abs(got-want) < 1e-9) {
			t.Fatalf("cost %v, best %v: %+v", got, want, a)
		}
	}
}

// total is the cost of an assignment.
func (a *assignment) total(edge []int) (sum float64) {
	n := make([]int, a.edges+1)
	for s, e := range edge {
		sum += a.at(s, e)
		if e < a.edges {
			sum += surcharge(n[e])
		}
		n[e]++
	}
	return sum
}
