package grade

import (
	"math/rand/v2"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// Seeded simulated hands of ten kinds, a third of them with a fault in one
// set, match as well as the published ones.
func TestOfMatchesSimulatedHands(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	views := [3]drill.View{drill.One, drill.Two, drill.Three}
	var all tally
	for _, h := range simHands {
		var n tally
		for i := range 60 {
			x := simBox(r, views[i%3], i%4)
			var f *simFault
			if i%3 == 0 {
				f = &simFault{set: perspective.Set(r.IntN(3)), turn: float64(geom.Degrees(5 * r.NormFloat64())), early: .0015 * r.NormFloat64()}
			}
			d := h.draw(r, x, f)
			g, err := Of(x, d.a, Hand{})
			if err != nil {
				t.Fatal(err)
			}
			n.count(d.edge, g)
		}
		t.Logf("%-9s strokes right %.2f %% of %d, edges %.2f %%, others refused %.2f %% of %d", h.name,
			share(n.right, n.strokes), n.strokes, share(n.edgesRight, n.edges), share(n.othersRefused, n.others), n.others)
		all.merge(n)
	}
	t.Logf("all: strokes right %.2f %%, edges %.2f %%, others refused %.2f %%",
		share(all.right, all.strokes), share(all.edgesRight, all.edges), share(all.othersRefused, all.others))
	if share(all.right, all.strokes) < 97.7 || share(all.edgesRight, all.edges) < 98.5 || share(all.othersRefused, all.others) < 90 {
		t.Error("want at least 97.7, 98.5 and 90 %")
	}
}
