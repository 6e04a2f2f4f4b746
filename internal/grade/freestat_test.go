package grade

import (
	"math"
	"math/rand/v2"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// Faultless free drawings by hands of any unsteadiness get hardly a finding.
func TestFreeFalseFindings(t *testing.T) {
	views := [3]drill.View{drill.One, drill.Two, drill.Three}
	for _, sd := range []float64{.5, 1, 2, 3.5, 5} {
		r := rand.New(rand.NewPCG(12, uint64(10*sd)))
		const n = 240
		bad, codes := 0, map[string]int{}
		for i := range n {
			x, _ := simFree(r, views[i%3])
			g := regrade(t, x, straight(r, x, sd, nil))
			k := 0
			for _, f := range g.Findings {
				// What was not told apart is said to be missing or stray; the
				// telling apart is tested by itself.
				if f.Code != CodeMissing && f.Code != CodeStray {
					codes[f.Code]++
					k++
				}
			}
			if k > 0 {
				bad++
			}
		}
		t.Logf("%.1f deg: %.2f %% false %v", sd, share(bad, n), codes)
		if share(bad, n) > 3 {
			t.Errorf("%.1f deg: want at most 3 %%", sd)
		}
	}
}

// The standard errors hold: of what is told, about 95 % lies within two of
// the truth.
func TestFreeStandardErrors(t *testing.T) {
	views := [3]drill.View{drill.One, drill.Two, drill.Three}
	for _, sd := range []float64{.3, 1, 2} {
		r := rand.New(rand.NewPCG(13, uint64(10*sd)))
		type tally struct {
			n, in int
			sq    float64
		}
		all := map[string]*tally{}
		for i := range 300 {
			x, s := simFree(r, views[i%3])
			g := regrade(t, x, straight(r, x, sd, nil))
			count := func(what string, z float64) {
				if all[what] == nil {
					all[what] = new(tally)
				}
				a := all[what]
				a.n++
				if math.Abs(z) < 2 {
					a.in++
				}
				a.sq += min(z*z, 25)
			}
			figure := func(what string, f *Figure, want float64) {
				if f != nil {
					count(what, (f.Value-want)/f.SE)
				}
			}
			if g.HorizonError != nil {
				count("tilt "+string(x.View), float64(*g.HorizonError / *g.HorizonErrorSE))
			}
			if c := g.Camera; c != nil {
				figure("x "+string(x.View), c.X, s.Principal.X)
				figure("y "+string(x.View), c.Y, s.Principal.Y)
				figure("distance "+string(x.View), c.Distance, s.Distance)
				var cone float64
				for _, p := range x.Corners {
					cone = max(cone, math.Atan(p.Sub(s.Principal).Len()/s.Distance))
				}
				figure("cone "+string(x.View), c.Cone, geom.Angle(cone).Degrees())
			}
			if p := g.Proportions; p != nil {
				want := x.Boxes[0].Proportions
				z := func(a, b int) (float64, float64) {
					return (p[1] - want[b]/want[a]) / g.ProportionsSE[1], (p[2] - want[2]/want[a]) / g.ProportionsSE[2]
				}
				d, h := z(0, 1)
				if d2, h2 := z(1, 0); math.Hypot(d2, h2) < math.Hypot(d, h) {
					d, h = d2, h2
				}
				count("depth "+string(x.View), d)
				count("height "+string(x.View), h)
			}
		}
		var n, in int
		for k, a := range all {
			n, in = n+a.n, in+a.in
			t.Logf("%.1f deg: %-15s %3d told, %3.0f %% within 2, rms z %.2f", sd, k, a.n, share(a.in, a.n), math.Sqrt(a.sq/float64(a.n)))
		}
		t.Logf("%.1f deg: %.1f %% of %d within 2", sd, share(in, n), n)
		// The hand's own scatter is known from six degrees of freedom only:
		// by Student's distribution 90.8 % lie within two.
		if share(in, n) < 89 {
			t.Errorf("%.1f deg: the standard errors are too small", sd)
		}
	}
}
