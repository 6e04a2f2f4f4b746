package grade

import (
	"boxwright/internal/geom"
	"encoding/json"
	"math"
	"os"
	"testing"
)

func TestProbe(t *testing.T) {
	b, _ := os.ReadFile("../../testdata/checks/grading-vectors.json")
	var f struct {
		Camera []struct {
			VPs [][3]float64
			P   [2]float64
			F   float64
		}
	}
	if err := json.Unmarshal(b, &f); err != nil {
		t.Fatal(err)
	}
	for _, s := range []float64{.001, .005, .01, .015, .0174533, .02, .03, .0349, .05} {
		for _, c := range f.Camera {
			q := squares{sd: [3]float64{s, s, s}}
			for i := range q.at {
				q.at[i] = geom.Point{X: c.VPs[i][0], Y: c.VPs[i][1], W: c.VPs[i][2]}
			}
			o := usualOutlook(297, 210)
			v := q.see(&o)
			t.Log(s, v.x-c.P[0], v.y-c.P[1], math.Exp(v.logF)-c.F)
		}
	}
}
