package drill

import (
	"math"
	"testing"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// sample is how many sheets per view the statistics below look at. The seeds
// are fixed, so the test is not left to chance; the bounds are at least four
// standard errors from what was measured.
const sample = 5000

var sampled = map[View][]*Exercise{}

// sheets returns the sample of a view; every drill has its own views.
func sheets(t *testing.T, k Kind, v View) []*Exercise {
	t.Helper()
	if xs := sampled[v]; xs != nil {
		return xs
	}
	xs := make([]*Exercise, sample)
	for i := range xs {
		x, err := New(k, v, MinLevel+i%MaxLevel, uint64(1_000_000+i))
		if err != nil {
			t.Fatal(err)
		}
		xs[i] = x
	}
	sampled[v] = xs
	return xs
}

// share returns the part of xs for which is holds.
func share(xs []*Exercise, is func(*Exercise) bool) float64 {
	n := 0
	for _, x := range xs {
		if is(x) {
			n++
		}
	}
	return float64(n) / float64(len(xs))
}

func TestVariety(t *testing.T) {
	flat := func(x *Exercise) float64 {
		p := x.Boxes[0].Proportions
		return p[2] / max(p[0], p[1])
	}
	level := func(x *Exercise) bool { return isAcross(x) }
	below := func(x *Exercise) bool { // the eye sees the top
		return !isAcross(x) && x.Horizon.Line.Dist(x.Corners[0]) > 0 && x.Horizon.Line.Dist(x.Corners[4]) > 0
	}
	type bound struct {
		what   string
		is     func(*Exercise) bool
		lo, hi map[View]float64
	}
	all := func(p float64) map[View]float64 { return map[View]float64{One: p, Two: p, Three: p} }
	for _, b := range []bound{
		{"cubes", func(x *Exercise) bool { return x.Boxes[0].Cube }, all(.15), all(.4)},
		{"slabs", func(x *Exercise) bool { return flat(x) < .75 }, all(.15), all(.5)},
		{"towers", func(x *Exercise) bool { return flat(x) > 1.2 }, all(.08), all(.35)},
		{"below the eye level", below, all(.35), all(.55)},
		{"above the eye level", func(x *Exercise) bool { return !level(x) && !below(x) }, all(.25), all(.5)},
		{"across the eye level", level,
			map[View]float64{One: .12, Two: .14, Three: .03}, all(.3)},
		{"principal point right of the middle",
			func(x *Exercise) bool { return x.Viewing.Principal.X > A4.Width/2 }, all(.46), all(.54)},
		{"box right of the middle",
			func(x *Exercise) bool {
				var sum float64
				for _, c := range x.Corners {
					sum += c.X / 8
				}
				return sum > A4.Width/2
			}, all(.46), all(.54)},
	} {
		for _, v := range Views(Finish) {
			p := share(sheets(t, Finish, v), b.is)
			if t.Logf("%-36s %-5s %.3f", b.what, v, p); p < b.lo[v] || p > b.hi[v] {
				t.Errorf("%s, %s-point: %.3f, want %.2f to %.2f", b.what, v, p, b.lo[v], b.hi[v])
			}
		}
	}
}

// The width set vanishes to the left as often as to the right, in every turn;
// points are near and far.
func TestTurnsAndPointsVary(t *testing.T) {
	for _, v := range []View{Two, Three} {
		xs := sheets(t, Finish, v)
		if p := share(xs, func(x *Exercise) bool {
			return x.Points[0].At.X > x.Viewing.Principal.X
		}); p < .46 || p > .54 {
			t.Errorf("%s: width vanishes to the right in %.3f", v, p)
		}
		var turns [6]int
		near, far := 0, 0
		for _, x := range xs {
			s := perspective.Station{Principal: x.Viewing.Principal, Distance: x.Viewing.Distance, Pitch: x.Viewing.Pitch}
			at, _ := x.Points[0].At.Vec()
			// The level direction behind the point, seen from above.
			r := s.Ray(at)
			turn := geom.Angle(math.Atan2(math.Abs(r.Y), math.Abs(r.X))).Degrees()
			turns[min(5, max(0, int((turn-15)/10)))]++
			switch d := at.Sub(geom.Vec{X: A4.Width / 2, Y: A4.Height / 2}).Len(); {
			case d < 250:
				near++
			case d > 450:
				far++
			}
		}
		t.Logf("%s: turns %v, near %d, far %d", v, turns, near, far)
		for i, n := range turns {
			if float64(n) < .02*sample {
				t.Errorf("%s: only %d turned %d to %d deg", v, n, 15+10*i, 25+10*i)
			}
		}
		if float64(near) < .1*sample || float64(far) < .1*sample {
			t.Errorf("%s: %d near and %d far points", v, near, far)
		}
	}
}

// A tilted view looks down and up, and its third point accordingly lies below
// or above.
func TestLooksDownAndUp(t *testing.T) {
	xs := sheets(t, Finish, Three)
	down := share(xs, func(x *Exercise) bool { return x.Viewing.Pitch < 0 })
	if down < .4 || down > .7 {
		t.Errorf("%.3f look down", down)
	}
	for _, x := range xs {
		if at, _ := x.Points[2].At.Vec(); (x.Viewing.Pitch < 0) != (at.Y > x.Viewing.Principal.Y) {
			t.Fatalf("seed %d level %d: pitch %.1f, third point at %v", x.Seed, x.Level, x.Viewing.Pitch.Degrees(), at)
		}
	}
}

// Every level is at least as hard as the one before in the mean, and each
// group of levels, which differ in their givens, clearly harder.
func TestLevelsGetHarder(t *testing.T) {
	for _, k := range Kinds {
		for _, v := range Views(k) {
			var mean [MaxLevel]float64
			for _, x := range sheets(t, k, v) {
				mean[x.Level-1] += Difficulty(x) / (sample / MaxLevel)
			}
			t.Logf("%s %s %.3f", k, v, mean)
			for i := 1; i < MaxLevel; i++ {
				// The standard error of a level's mean is about 0.01.
				if mean[i] < mean[i-1]-.03 {
					t.Errorf("%s %s: level %d is easier: %.3f after %.3f", k, v, i+1, mean[i], mean[i-1])
				}
			}
			if mean[9] < mean[0]+.2 {
				t.Errorf("%s %s: level 10 is hardly harder: %.3f after %.3f", k, v, mean[9], mean[0])
			}
			for _, i := range [2]int{6, 8} {
				if k == Finish && (mean[i]+mean[i+1])/2 < (mean[i-1]+mean[i-2])/2+.04 {
					t.Errorf("%s %s: level %d is hardly harder than %d", k, v, i+1, i-1)
				}
			}
		}
	}
}

// The lines of a join sheet have all lengths and run in all directions of
// travel, and the sheet is filled evenly.
func TestJoinVariety(t *testing.T) {
	var lengths [4]int
	var ways [8]int
	var places [6]int
	n := 0
	for _, x := range sheets(t, Join, None) {
		for _, g := range x.Targets {
			n++
			d := g.B.Sub(g.A)
			lengths[min(3, int((d.Len()-minJoin)/30))]++
			ways[min(7, int((d.Angle().Degrees()+180)/45))]++
			m := geom.Mid(g.A, g.B)
			places[int(m.X/99)+3*int(m.Y/105)]++
		}
	}
	t.Log(n, lengths, ways, places)
	for _, c := range lengths {
		if float64(c) < .1*float64(n) {
			t.Errorf("lengths %v of %d", lengths, n)
		}
	}
	for _, c := range ways {
		if math.Abs(float64(c)-float64(n)/8) > .01*float64(n) {
			t.Errorf("directions %v of %d", ways, n)
		}
	}
	for _, c := range places {
		if math.Abs(float64(c)-float64(n)/6) > .05*float64(n) {
			t.Errorf("places %v of %d", places, n)
		}
	}
}
