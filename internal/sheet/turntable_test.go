package sheet

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// everyTurn calls visit for every position there is.
func everyTurn(visit func(Turn)) {
	for _, f := range Forms {
		for a := -MaxAround; a <= MaxAround; a++ {
			for u := -MaxUp; u <= MaxUp; u++ {
				visit(Turn{a, u, f})
			}
		}
	}
}

// TestTurntableEverywhere: from every position all corners lie in front of
// the eye, in the 60 degree cone and on the sheet, the principal point is
// looked at, and a set converges exactly where it is not square to the line
// of sight: width but for square-on, depth but for a quarter turn, height but
// for a level look.
func TestTurntableEverywhere(t *testing.T) {
	paper := rect{Max: geom.Vec{X: turnSheet.Width, Y: turnSheet.Height}}
	positions := 0
	everyTurn(func(at Turn) {
		positions++
		if !at.Sound() {
			t.Fatalf("%v is not sound", at)
		}
		s, b := at.Scene()
		p, ok := s.Picture(b)
		if !ok {
			t.Fatalf("%v: a corner is not in front of the eye", at)
		}
		if c := s.ConeAngle(p.Corners[:]); c > ConeWide {
			t.Fatalf("%v: the box needs a cone of %.2f°", at, 2*c.Degrees())
		}
		for _, c := range p.Corners {
			if !paper.holds(c) {
				t.Fatalf("%v: a corner at %v", at, c)
			}
		}
		for k, want := range [3]bool{at.Around%180 != 0, (at.Around-90)%180 != 0, at.Up != 0} {
			if p.Points[k].Finite() != want {
				t.Fatalf("%v: %v converges: %v, want %v", at, perspective.Set(k), !want, want)
			}
		}
	})
	if positions != 3*361*121 {
		t.Fatalf("%d positions", positions)
	}
}

func TestTurnSound(t *testing.T) {
	for _, bad := range []Turn{{181, 0, CubeForm}, {-181, 0, CubeForm}, {0, 61, CubeForm}, {0, -61, SlabForm}, {0, 0, ""}, {0, 0, "ball"}} {
		if bad.Sound() {
			t.Errorf("%v is sound", bad)
		}
	}
}

func anyTurn(t *rapid.T) Turn {
	return Turn{rapid.IntRange(-MaxAround, MaxAround).Draw(t, "around"), rapid.IntRange(-MaxUp, MaxUp).Draw(t, "up"),
		rapid.SampledFrom(Forms).Draw(t, "form")}
}

// marksOf lists the marks of a style and hue; where 0 is every medium.
func marksOf(d Drawing, s Style, h Hue, where Where) (out []Mark) {
	for _, l := range d.Layers {
		for _, g := range l.Groups {
			if g.Style == s && g.Set == h && (where == 0 || g.Where&where != 0) {
				out = append(out, g.Marks...)
			}
		}
	}
	return out
}

// TestPointsAreThoseOfTheEdges: every ringed point is where the drawn edges
// of its set meet when they are extended, every arrow's way leads there, rays
// run to it, and a set without a point is drawn with parallel edges.
func TestPointsAreThoseOfTheEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Turntable(anyTurn(t))
		for _, k := range perspective.Sets {
			h := HueOf(k)
			var edges Segments
			for _, s := range []Style{TurnEdge, TurnHidden} {
				for _, m := range marksOf(v.Picture, s, h, 0) {
					edges = append(edges, m.(Segments)...)
				}
			}
			if len(edges) != 4 {
				t.Fatalf("%v: %d edges", k, len(edges))
			}
			rings := marksOf(v.Picture, VanishingDot, h, Wide)
			arrows := marksOf(v.Picture, ArrowHead, h, Wide)
			if !v.Seen.Points[k].Finite() {
				if len(rings)+len(arrows)+len(marksOf(v.Picture, TurnRay, h, 0)) != 0 {
					t.Fatalf("%v: something is drawn of a point it does not have", k)
				}
				for _, e := range edges[1:] {
					u, w := e.B.Sub(e.A), edges[0].B.Sub(edges[0].A)
					if math.Abs(u.Cross(w)) > 1e-9*u.Len()*w.Len() {
						t.Fatalf("%v: edges are not parallel", k)
					}
				}
				continue
			}
			if len(rings)+len(arrows) != 1 {
				t.Fatalf("%v: %d rings and %d arrows", k, len(rings), len(arrows))
			}
			for _, e := range edges {
				l := geom.Through(e.A, e.B)
				if len(rings) == 1 {
					if off := l.Dist(rings[0].(Dot).At); math.Abs(off) > 1e-6 {
						t.Fatalf("%v: an edge passes its ring by %g mm", k, off)
					}
					continue
				}
				// All edges meet the arrow's way in one place, ahead of it.
				a := arrows[0].(Arrow)
				q, ok := geom.Meet(l, geom.Join(geom.At(a.Tip), geom.Toward(a.Dir))).Vec()
				want, _ := v.Seen.Points[k].Vec()
				if ok && math.Abs(l.Dist(a.Tip)) > 1 { // else they are one line
					if q.Sub(want).Len() > 1e-6*(1+want.Len()*want.Len()) || q.Sub(a.Tip).Dot(a.Dir) < 0 {
						t.Fatalf("%v: an edge meets the arrow's way in %v, the point is %v", k, q, want)
					}
				}
			}
			for _, m := range marksOf(v.Picture, TurnRay, h, 0) {
				for _, r := range m.(Segments) {
					at, _ := v.Seen.Points[k].Vec()
					if r.Len() > 1 && math.Abs(geom.Through(r.A, r.B).Dist(at)) > 1e-6*(1+at.Len()*at.Len()) {
						t.Fatalf("%v: a ray passes the point", k)
					}
				}
			}
		}
	})
}

// TestPlanFindsThePoints: where the rays from the station point meet the
// picture plane in plan and side view, there the points lie on the sheet.
func TestPlanFindsThePoints(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		v := Turntable(anyTurn(t))
		for _, k := range perspective.Sets {
			d := v.Plan
			if k == perspective.Height {
				d = v.Side
			}
			rings := marksOf(d, VanishingDot, HueOf(k), 0)
			at, ok := v.Seen.Points[k].Vec()
			if !ok {
				if len(rings) != 0 {
					t.Fatalf("%v: a ring without a point", k)
				}
				continue
			}
			off := at.Sub(v.Station.Principal)
			if len(rings) == 0 {
				if n := len(marksOf(d, ArrowHead, HueOf(k), 0)); n != 1 {
					t.Fatalf("%v: no ring and %d arrows", k, n)
				}
				continue
			}
			found++
			eye := marksOf(d, PlanDot, NoSet, 0)[0].(Dot).At
			q := rings[0].(Dot).At.Sub(eye).Scale(planScale)
			if k != perspective.Height {
				if math.Abs(q.X-off.X) > 1e-9*(1+math.Abs(off.X)) {
					t.Fatalf("%v: %g mm in plan, %g on the sheet", k, q.X, off.X)
				}
				continue
			}
			// In the picture plane, down from the foot of the line of sight.
			sin, cos := math.Sincos(float64(v.Station.Pitch))
			foot := geom.Vec{X: cos, Y: -sin}.Scale(v.Station.Distance)
			if down := q.Sub(foot).Dot(geom.Vec{X: sin, Y: cos}); math.Abs(down-off.Y) > 1e-9*(1+math.Abs(off.Y)) {
				t.Fatalf("height: %g mm in the side view, %g on the sheet", down, off.Y)
			}
		}
	})
	if found == 0 {
		t.Fatal("no plan shows a point")
	}
}

// fact returns the expectation of a published fact of the trade.
func fact(t *testing.T, id string) []float64 {
	t.Helper()
	b, err := os.ReadFile("../../testdata/checks/views.json")
	if err != nil {
		t.Fatal(err)
	}
	var f struct {
		Facts []struct {
			ID     string
			Expect []float64
		}
	}
	if err := json.Unmarshal(b, &f); err != nil {
		t.Fatal(err)
	}
	for _, v := range f.Facts {
		if v.ID == id {
			return v.Expect
		}
	}
	t.Fatalf("no fact %s", id)
	return nil
}

// TestTurntableFacts holds the drawn turntable against published numbers.
func TestTurntableFacts(t *testing.T) {
	point := func(at Turn, k perspective.Set) geom.Vec {
		v := Turntable(at)
		p, ok := v.Seen.Points[k].Vec()
		if !ok {
			t.Fatalf("%v: %v has no point", at, k)
		}
		return p.Sub(v.Station.Principal).Scale(1 / v.Station.Distance)
	}
	near := func(what string, got, want, rel float64) {
		t.Helper()
		if math.Abs(got-want) > rel*math.Abs(want) {
			t.Errorf("%s: %.9g, want %.9g", what, got, want)
		}
	}
	// Storey 1910, Rule 6, p. 30; ISO 10209:2012, 3.16: 45 degrees, the
	// points of distance.
	want := fact(t, "F07")
	near("depth at 45°", point(Turn{45, 0, CubeForm}, perspective.Depth).X, want[0], 1e-12)
	near("width at 45°", point(Turn{45, 0, CubeForm}, perspective.Width).X, want[1], 1e-12)
	// Storey 1910, LXII, p. 113: 80 and 10 degrees.
	near("far point at 10°", -point(Turn{10, 0, CubeForm}, perspective.Width).X, fact(t, "F12")[0], 1e-8)
	// Storey 1910, LXII, p. 113: the product of both distances is d², here
	// with d = 300.
	for i, a := range []int{60, 70} {
		at := Turn{a, 0, TowerForm}
		product := -300 * point(at, perspective.Width).X * 300 * point(at, perspective.Depth).X
		near("product of the distances", product, fact(t, "F10")[i], 1e-12)
	}
	// Storey 1910, III, p. 18: the distance for a full angle of 60 degrees, in
	// widths of the picture; Lehrbuch der Perspective fuer bildende Kuenstler,
	// TIB 865579199, image 116: the angle at 1.5 times the extent.
	circles := marksOf(Turntable(Turn{30, 0, CubeForm}).Picture, Cone, NoSet, 0)
	if len(circles) != 2 {
		t.Fatalf("%d circles", len(circles))
	}
	near("distance of the wide cone", turnDistance/(2*circles[0].(Dot).R), fact(t, "F05")[0], 1e-7)
	near("angle of the calm cone", 2*math.Atan(circles[1].(Dot).R/turnDistance)*180/math.Pi, fact(t, "F06")[0], 1e-8)
}

// TestTurntableLabels: letters stay in their room and off one another.
func TestTurntableLabels(t *testing.T) {
	for a := -180; a <= 180; a += 15 {
		for u := -60; u <= 60; u += 12 {
			v := Turntable(Turn{a, u, SlabForm})
			for _, f := range collisions(v.Picture) {
				// The turntable is for screens: there is no sheet of it to print.
				if !strings.HasPrefix(f, "medium 100:") {
					t.Errorf("%v: %s", v.Turn, f)
				}
			}
		}
	}
}

// The pictures are those that were looked at and found right; see
// TestGoldenPictures.
func TestGoldenTurntable(t *testing.T) {
	for i, at := range []Turn{{0, 0, CubeForm}, {35, 0, SlabForm}, {-50, -32, TowerForm}} {
		v := Turntable(at)
		got := v.Picture.SVG() + v.Plan.SVG() + v.Side.SVG()
		path := filepath.Join("testdata", "golden", "turntable-"+strconv.Itoa(i+1)+".svgs")
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !alike(got, string(want)) {
			t.Errorf("%v is not what was looked at", at)
		}
	}
}

func BenchmarkTurntable(b *testing.B) {
	for b.Loop() {
		v := Turntable(Turn{30, -20, CubeForm})
		_, _, _ = v.Picture.SVG(), v.Plan.SVG(), v.Side.SVG()
	}
}
