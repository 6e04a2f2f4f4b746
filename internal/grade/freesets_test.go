package grade

import (
	"math"
	"math/rand/v2"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

func TestArc(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	for range 20000 {
		a := math.Pi * (r.Float64() - 0.5)
		l := math.Exp(5 * r.NormFloat64())
		if got := arc(l*math.Sin(a), l*math.Cos(a)); !(math.Abs(got-a) < 3e-8) {
			t.Fatalf("%v: %v", a, got)
		}
	}
	for _, c := range [][3]float64{{0, 0, 0}, {0, 1, 0}, {1, 0, math.Pi / 2}, {-1, 0, -math.Pi / 2}, {1, 1, math.Pi / 4}} {
		if got := arc(c[0], c[1]); !(math.Abs(got-c[2]) < 3e-8) {
			t.Errorf("arc(%v, %v) = %v", c[0], c[1], got)
		}
	}
}

// A heading is a pencil in other words: it leaves the same residuals and has
// the same slopes.
func TestHeadingIsPencil(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for range 2000 {
		p := pencil{m: geom.Vec{X: 300 * r.Float64(), Y: 200 * r.Float64()}}
		p.set(7*r.NormFloat64(), 0.005*r.NormFloat64())
		h := heading{p.m, p.u, p.kappa}
		var rays []ray
		var rs []sightline
		for range 4 {
			y := ray{at: geom.Vec{X: 300 * r.Float64(), Y: 200 * r.Float64()}, dir: geom.Direction(geom.Angle(7 * r.Float64())), sd: 0.01 + 0.1*r.Float64()}
			rays, rs = append(rays, y), append(rs, makeSightline(y.at, y.dir, y.sd))
		}
		bb, bk, kk, gb, gk, chi2 := p.information(rays)
		n := h.normal(rs)
		for i, c := range [][2]float64{{bb, n.bb}, {bk, n.bk}, {kk, n.kk}, {gb, n.gb}, {gk, n.gk}, {chi2, n.chi2}} {
			if !(math.Abs(c[0]-c[1]) <= 1e-5*(math.Abs(c[0])+math.Sqrt(chi2*[]float64{bb, bb, kk, bb, kk, 1}[i]))) {
				t.Fatalf("%d: %v, want %v", i, c[1], c[0])
			}
		}
		var sum float64
		for i := range rs {
			sum += h.miss(&rs[i])
		}
		if !(math.Abs(sum-chi2) <= 1e-5*chi2) {
			t.Fatalf("%v, want %v", sum, chi2)
		}
		d := 0.3 * r.NormFloat64()
		q, k := p, h.turned(d, 0)
		q.set(p.beta+d, p.kappa)
		if !(q.u.Sub(k.u).Len() < 0.1*math.Abs(d*d*d)+1e-12) {
			t.Fatalf("turned by %v: %v, want %v", d, k.u, q.u)
		}
	}
}

// freeBars are the lines of a drawing, told apart by kinship alone.
func freeBars(a *Attempt) []bar {
	ts, _, _ := readTraces(a)
	var long []trace
	for _, s := range ts {
		if s.Length >= shortest {
			long = append(long, s)
		}
	}
	c := makeClan(long, 1)
	c.gather(scales[0])
	kept, _ := choose(c.bars(ink.Pen), 1)
	return kept
}

// The search finds the same ways as looking at every three disjoint subsets,
// whatever the limit, in one go or two.
func TestFreeSearchIsExact(t *testing.T) {
	drawings := 0
	check := func(a *Attempt) {
		bars := freeBars(a)
		g := newGrouping(bars, 1)
		g.best(maxTriples, 0)
		all := newGrouping(bars, 1)
		for len(all.heap) > 0 {
			if s, ok := all.next(); ok {
				if n := len(all.out); n > 0 && s.cost < all.out[n-1].cost {
					t.Fatalf("%v after %v", s, all.out[n-1])
				}
				all.out = append(all.out, s)
			}
		}
		cut := math.Inf(1)
		if len(all.out) > 400 {
			cut = all.out[400].cost + 2*all.out[0].cost
			all.out = all.out[:400]
		}
		want := finds{most: maxTriples}
		for i, a := range all.out {
			want.keep(a.cost, a.bits)
			for j, b := range all.out[:i] {
				if a.bits&b.bits != 0 {
					continue
				}
				want.keep(a.cost+b.cost, a.bits, b.bits)
				for _, c := range all.out[:j] {
					if c.bits&(a.bits|b.bits) == 0 {
						want.keep(a.cost+b.cost+c.cost, a.bits, b.bits, c.bits)
					}
				}
			}
		}
		if cut < want.limit { // what was cut off could be part of the best
			return
		}
		two := newGrouping(bars, 1)
		first := two.best(1, 0)
		for n, got := range [][]triple{g.best(maxTriples, 0), two.best(maxTriples, 0)} {
			if len(got) != len(want.all) {
				t.Fatalf("%d: %d ways, want %d", n, len(got), len(want.all))
			}
			for i := range got {
				if !(math.Abs(got[i].cost-want.all[i].cost) < 1e-9) {
					t.Fatalf("%d: way %d costs %v, want %v", n, i, got[i], want.all[i])
				}
			}
		}
		if len(want.all) == 0 {
			return
		}
		drawings++
		if len(first) != 1 || !(math.Abs(first[0].cost-want.all[0].cost) < 1e-9) {
			t.Fatalf("first %v, want %v", first, want.all[0])
		}
		limit := want.all[len(want.all)/2].cost + 1e-9
		for i, got := range newGrouping(bars, 1).best(maxTriples, limit) {
			if got.cost >= limit || !(math.Abs(got.cost-want.all[i].cost) < 1e-9) {
				t.Fatalf("below %v: %v", limit, got)
			}
		}
	}
	eachFree(3, 21, func(_ simHand, _ *drill.Exercise, _ perspective.Station, d simDrawing) { check(d.a) })
	r := rand.New(rand.NewPCG(5, 9))
	for n := range 20 {
		check(scribble(r, n))
	}
	if drawings < 40 {
		t.Errorf("only %d drawings", drawings)
	}
}
