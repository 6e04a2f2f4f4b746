package server

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// slightlyEarly is an attempt whose sets meet at 1/(1+early) of the distance,
// by a hand with that scatter in degrees.
func slightlyEarly(r *rand.Rand, x *drill.Exercise, id string, early, scatter float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, `{"version":1,"attempt":%q,"exercise":%q,"input":{"pointer":"pen","px_per_mm":3.1},"strokes":[`, id, x.ID)
	sep := ""
	for _, e := range x.Edges {
		if e.Given {
			continue
		}
		s := x.Segment(e)
		p, _ := x.Point(e.Box, e.Set)
		at := geom.Mid(s.A, s.B)
		u, _ := s.B.Sub(s.A).Unit()
		if v, ok := p.At.Vec(); ok && early != 0 {
			// from the middle of the box toward the point, a third nearer
			var mid geom.Vec
			for _, c := range x.Corners {
				mid = mid.Add(c.Scale(1 / float64(len(x.Corners))))
			}
			u, _ = mid.Add(v.Sub(mid).Scale(1 / (1 + early))).Sub(at).Unit()
		}
		u = geom.Direction(u.Angle() + geom.Degrees(scatter*r.NormFloat64()))
		fmt.Fprintf(&b, `%s{"x":[`, sep)
		var xs, ys, ts []string
		for k := range 16 {
			q := at.Add(u.Scale(s.Len() * (float64(k)/15 - .5)))
			xs = append(xs, fmt.Sprintf("%.2f", q.X+.05*r.NormFloat64()))
			ys = append(ys, fmt.Sprintf("%.2f", q.Y+.05*r.NormFloat64()))
			ts = append(ts, fmt.Sprint(8*k))
		}
		fmt.Fprintf(&b, `%s],"y":[%s],"t":[%s]}`, strings.Join(xs, ","), strings.Join(ys, ","), strings.Join(ts, ","))
		sep = ","
	}
	return b.String() + `]}`
}

// Twelve drawings that meet slightly early lead to a finding over several
// drawings in the redline, not in the grade; the first redlines stay as they
// were, and a repeat gets the grade it got.
func TestPooledFinding(t *testing.T) {
	const said = "Over your last "
	// without a fault the scatter is so small that chance cannot reach the
	// minimum size, whatever sheets the server issues
	for early, scatter := range map[float64]float64{.5: 1.5, 0: .3} {
		c := newBench(t, nil).client()
		r := rand.New(rand.NewPCG(8, 3))
		var last answer
		var doc string
		var x *drill.Exercise
		for n := range 12 {
			x = c.issue(drill.Finish, drill.Two, 2)
			doc = slightlyEarly(r, x, attemptID(n), early, scatter)
			last = c.want(c.post("/api/v1/exercises/"+x.ID+"/attempts", doc), http.StatusCreated)
			if strings.Contains(string(last.body), said) {
				t.Fatalf("drawing %d: the grade speaks of other drawings", n)
			}
		}
		// a drawing that proves the fault by itself is not told twice, so look
		// at all of them
		pages := ""
		for n := range 12 {
			pages += string(c.want(c.get("/attempts/"+attemptID(n)+"/redline"), http.StatusOK).body)
		}
		if got := strings.Contains(pages, said); got != (early > 0) {
			t.Errorf("early by %v: pooled finding %v", early, got)
		}
		if early > 0 && !strings.Contains(pages, "lines meet too early, by about ") {
			t.Errorf("the finding does not say that sets meet too early")
		}
		if first := string(c.want(c.get("/attempts/"+attemptID(0)+"/redline"), http.StatusOK).body); strings.Contains(first, said) {
			t.Errorf("the first drawing's redline speaks of later ones")
		}
		again := c.want(c.post("/api/v1/exercises/"+x.ID+"/attempts", doc), http.StatusOK)
		if string(again.body) != string(last.body) {
			t.Errorf("the grade changed on repeat")
		}
	}
}
