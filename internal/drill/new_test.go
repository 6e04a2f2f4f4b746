package drill

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"boxwright/internal/perspective"
)

func TestNewRefuses(t *testing.T) {
	for _, c := range []struct {
		kind  Kind
		view  View
		level int
		want  error
	}{
		{"", One, 1, ErrKind},
		{"Join", None, 1, ErrKind},
		{Join, One, 1, ErrView},
		{Join, "", 1, ErrView},
		{Finish, None, 1, ErrView},
		{Finish, "four", 1, ErrView},
		{Finish, One, 0, ErrLevel},
		{Finish, One, 11, ErrLevel},
		{Join, None, -1, ErrLevel},
	} {
		x, err := New(c.kind, c.view, c.level, 1)
		if x != nil || !errors.Is(err, c.want) {
			t.Errorf("%q %q %d: %v, want %v", c.kind, c.view, c.level, err, c.want)
		}
	}
	if Views("none such") != nil {
		t.Error("views of an unknown drill")
	}
}

// Seeds are not arithmetic: neighbours, levels, views and drills differ.
func TestNothingRepeats(t *testing.T) {
	type print struct{ a, b, c float64 }
	seen := map[print]bool{}
	for _, k := range Kinds {
		for _, v := range Views(k) {
			for level := MinLevel; level <= MaxLevel; level++ {
				for seed := range uint64(500) {
					x, err := New(k, v, level, seed)
					if err != nil {
						t.Fatal(err)
					}
					var p print
					if k == Join {
						p = print{x.Targets[0].A.X, x.Targets[0].A.Y, x.Targets[1].A.X}
					} else {
						p = print{x.Corners[0].X, x.Corners[0].Y, x.Corners[7].X}
					}
					if seen[p] {
						t.Fatalf("%s %s %d %d came before", k, v, level, seed)
					}
					seen[p] = true
				}
			}
		}
	}
}

// Every sheet is a picture of a real box of the proportions told. The box is
// found from the drawn corners alone by an outside solver: depths l and sizes
// s for which l_b r_b - l_a r_a = s_k d_k along all twelve edges, r the rays
// from the eye and d the rays to the vanishing points.
func TestBoxesAreReal(t *testing.T) {
	for _, v := range Views(Finish) {
		for seed := range uint64(300) {
			x, err := New(Finish, v, MinLevel+int(seed%MaxLevel), seed)
			if err != nil {
				t.Fatal(err)
			}
			pp, d := x.Viewing.Principal, x.Viewing.Distance
			a := mat.NewDense(36, 11, nil)
			for i, e := range x.Edges {
				q := x.Points[e.Set].At
				to := [3]float64{q.X - q.W*pp.X, q.Y - q.W*pp.Y, q.W * d}
				n := math.Hypot(math.Hypot(to[0], to[1]), to[2])
				p0, p1 := x.Corners[e.Corners[0]], x.Corners[e.Corners[1]]
				r0 := [3]float64{(p0.X - pp.X) / d, (p0.Y - pp.Y) / d, 1}
				r1 := [3]float64{(p1.X - pp.X) / d, (p1.Y - pp.Y) / d, 1}
				for j := range 3 {
					a.Set(3*i+j, e.Corners[1], r1[j])
					a.Set(3*i+j, e.Corners[0], -r0[j])
					a.Set(3*i+j, 8+int(e.Set), -to[j]/n)
				}
			}
			var svd mat.SVD
			if !svd.Factorize(a, mat.SVDThin) {
				t.Fatal("no decomposition")
			}
			sv := svd.Values(nil)
			if sv[10] > 1e-12*sv[0] || sv[9] < 1e-6*sv[0] {
				t.Errorf("%s seed %d: not the picture of one box: %g", v, seed, sv)
			}
			var w mat.Dense
			svd.VTo(&w)
			var size [3]float64
			for k := range size {
				size[k] = math.Abs(w.At(8+k, 10))
			}
			least := min(size[0], size[1], size[2])
			cube := true
			for k := range size {
				got, want := size[k]/least, x.Boxes[0].Proportions[k]
				if math.Abs(got-want) > 1e-9*want {
					t.Errorf("%s seed %d: %v is %.12g, told %.12g", v, seed, perspective.Set(k), got, want)
				}
				cube = cube && math.Abs(got-1) < 1e-9
			}
			if cube != x.Boxes[0].Cube {
				t.Errorf("%s seed %d: cube told %v", v, seed, x.Boxes[0].Cube)
			}
			for i := range 8 { // in front of the eye, all of them
				if w.At(i, 10)*w.At(0, 10) <= 0 {
					t.Errorf("%s seed %d: corner %d behind the eye", v, seed, i)
				}
			}
		}
	}
}

// The fixed dice behind the samplers find a sound sheet in every case there
// is, so New cannot fail or hang.
func TestFallback(t *testing.T) {
	for _, v := range Views(Finish) {
		for level := MinLevel; level <= MaxLevel; level++ {
			for _, mirror := range []bool{false, true} {
				s := fallback(v, level, mirror)
				x := &Exercise{Kind: Finish, View: v, Level: level, Sheet: A4}
				r := fixedDice(Finish, v, level)
				write(x, &s, &r)
				for _, err := range []error{Sound(x), keepsLevel(x), redrawn(x)} {
					if err != nil {
						t.Errorf("%s %d %v: %v", v, level, mirror, err)
					}
				}
			}
		}
	}
	for level := MinLevel; level <= MaxLevel; level++ {
		x := &Exercise{Kind: Join, View: None, Level: level, Sheet: A4}
		r := fixedDice(Join, None, level)
		for n := 8 + (level-1)/2; !x.scatter(n, &r); {
		}
		if err := Sound(x); err != nil {
			t.Errorf("join %d: %v", level, err)
		}
	}
}

// How often the dice run out: the chance is the product of independent tries,
// so it follows from how often one plan comes to nothing.
func TestFallbackIsRare(t *testing.T) {
	for _, v := range Views(Finish) {
		for level := MinLevel; level <= MaxLevel; level++ {
			r := dice{newSource(7, Finish, v, level)}
			const plans = 400
			failed := 0
			for range plans {
				p := drawPlan(v, level, &r)
				b := bandOf(v, level, &p)
				ok := false
				for try := 0; try < planTries && !ok; try++ {
					var s scene
					ok = s.draw(v, &p, &b, &r) && s.admitted(v, &p, &b)
				}
				if !ok {
					failed++
				}
			}
			// Three standard errors above the rate seen, over 25 plans.
			rate := float64(failed) / plans
			rate += 3 * math.Sqrt(rate*(1-rate)/plans)
			if p := math.Pow(rate, maxTries/planTries); p > 1e-5 {
				t.Errorf("%s %d: %.3f of the plans fail, the fallback comes with %g", v, level, rate, p)
			}
		}
	}
}
