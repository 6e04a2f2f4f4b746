package drill

import (
	"os"
	"reflect"
	"runtime"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// seedCount is how many seeds per view are tried: 30,000, or as many as the
// environment variable BOXWRIGHT_SEEDS says.
func seedCount(t *testing.T) uint64 {
	t.Helper()
	s := os.Getenv("BOXWRIGHT_SEEDS")
	if s == "" {
		if testing.Short() {
			return 3000
		}
		return 30_000
	}
	n, err := strconv.ParseUint(s, 10, 64)
	if err != nil || n == 0 {
		t.Fatalf("BOXWRIGHT_SEEDS=%q is not a count", s)
	}
	return n
}

// TestSeeds makes the exercises of many seeds, split over the levels, and
// holds each to every condition.
func TestSeeds(t *testing.T) {
	n := seedCount(t)
	for _, k := range Kinds {
		for _, v := range Views(k) {
			t.Run(string(k)+" "+string(v), func(t *testing.T) {
				var next, made atomic.Uint64
				var wg sync.WaitGroup
				for range runtime.GOMAXPROCS(0) {
					wg.Go(func() {
						for {
							seed := next.Add(1) - 1
							if seed >= n || t.Failed() {
								return
							}
							checkSeed(t, k, v, MinLevel+int(seed%MaxLevel), seed)
							made.Add(1)
						}
					})
				}
				wg.Wait()
				if made.Load() != n {
					t.Errorf("%d of %d seeds tried", made.Load(), n)
				}
				t.Logf("%d seeds", made.Load())
			})
		}
	}
}

func checkSeed(t *testing.T, k Kind, v View, level int, seed uint64) {
	x, err := New(k, v, level, seed)
	if err != nil {
		t.Errorf("%s %s %d %d: %v", k, v, level, seed, err)
		return
	}
	fail := func(err error) {
		if err != nil {
			t.Errorf("%s %s level %d seed %d: %v", k, v, level, seed, err)
		}
	}
	fail(Sound(x))
	fail(keepsLevel(x))
	if k == Finish {
		fail(redrawn(x))
	}
	if seed%16 == 0 {
		y, err := New(k, v, level, seed)
		if err != nil || !reflect.DeepEqual(x, y) {
			fail(unsound("made twice it differs"))
		}
	}
}

// keepsLevel checks what each level promises besides the conditions that hold
// for all.
func keepsLevel(x *Exercise) error {
	if x.Kind == Join {
		return joinLevel(x)
	}
	if err := asksTheRest(x); err != nil {
		return err
	}
	g := group(x.Level)
	given := 0
	for _, e := range x.Edges {
		if e.Given {
			given++
		}
	}
	wantGiven := [4]int{3, 1, 1, 3}[g]
	if x.View == One {
		wantGiven = [4]int{5, 1, 1, 5}[g]
	} else if x.View == Three && g == 3 {
		wantGiven = 4
	}
	if given != wantGiven || len(x.Marks) != [4]int{0, 3, 2, 0}[g] {
		return unsound("%d edges and %d marks given", given, len(x.Marks))
	}
	for _, p := range x.Points {
		at, finite := p.At.Vec()
		if p.Shown != (!finite || g < 3) {
			return unsound("%s shown: %v", p.ID, p.Shown)
		}
		if !finite || p.Set == perspective.Height {
			continue
		}
		off := max(-at.X, at.X-x.Sheet.Width, -at.Y, at.Y-x.Sheet.Height)
		switch {
		case g == 0 && x.View == One && off > 0,
			g == 0 && x.View == Two && off > nearbyReach,
			g == 2 && off < 0:
			return unsound("%s lies %.0f mm off the sheet", p.ID, off)
		}
	}
	y := -x.Horizon.Line.C / x.Horizon.Line.B
	reach := 0.0
	if x.View == Three {
		reach = horizonOff
	}
	if (x.View != Three || g == 3) && (y < -reach || y > x.Sheet.Height+reach) {
		return unsound("horizon out of sight at %.0f mm", y)
	}
	return calmLevel(x)
}

// calmLevel checks that the first levels are calm.
func calmLevel(x *Exercise) error {
	if group(x.Level) != 0 {
		return nil
	}
	p, err := pictureOf(x)
	if err != nil {
		return err
	}
	s := perspective.Station{Principal: x.Viewing.Principal, Distance: x.Viewing.Distance}
	m := s.Measure(&p, x.Sheet.Width, x.Sheet.Height)
	if x.View == Three && m.Cone > calm {
		return unsound("cone of %.1f deg", m.Cone.Degrees())
	}
	for k, v := range p.Points {
		if v.Finite() && m.Spread[k].Degrees() < 6 {
			return unsound("set %d spreads by %.1f deg", k, m.Spread[k].Degrees())
		}
	}
	return nil
}

// asksTheRest checks that exactly the edges not given are asked for.
func asksTheRest(x *Exercise) error {
	asked := map[string]bool{}
	for _, id := range x.Asked.Edges {
		asked[id] = true
	}
	if len(asked) != len(x.Asked.Edges) {
		return unsound("an edge is asked for twice")
	}
	for _, e := range x.Edges {
		if asked[e.ID] == e.Given {
			return unsound("edge %s given %v, asked %v", e.ID, e.Given, asked[e.ID])
		}
	}
	if len(x.Asked.Points) != 0 || x.Asked.Horizon || len(x.Asked.Targets) != 0 {
		return unsound("more is asked than edges")
	}
	return nil
}

func joinLevel(x *Exercise) error {
	if len(x.Asked.Targets) != len(x.Targets) || len(x.Targets) != 8+(x.Level-1)/2 {
		return unsound("%d of %d lines asked", len(x.Asked.Targets), len(x.Targets))
	}
	for i, t := range x.Targets {
		if x.Asked.Targets[i] != t.ID {
			return unsound("asked for %s", x.Asked.Targets[i])
		}
	}
	// All directions: none of four equal parts of the half turn is missing.
	var parts [4]int
	for _, t := range x.Targets {
		a := t.B.Sub(t.A).Angle().Fold() + geom.Degrees(90)
		parts[min(3, int(a.Degrees()/45))]++
	}
	for i, n := range parts {
		if n == 0 {
			return unsound("no line between %d and %d deg", 45*i, 45*i+45)
		}
	}
	return nil
}
