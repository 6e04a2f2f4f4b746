package grade

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Critical values of Student's t and of F as every table prints them
// (Fisher and Yates, Statistical Tables, recalled), and gonum's own
// distribution functions as a second opinion.
func TestDistributions(t *testing.T) {
	for _, c := range []struct{ t, nu, p float64 }{
		{12.706, 1, .05}, {2.571, 5, .05}, {2.228, 10, .05}, {3.169, 10, .01}, {2.042, 30, .05}, {5.959, 6, .001},
	} {
		if p := twoSided(-c.t, c.nu); math.Abs(p-c.p) > .003*c.p {
			t.Errorf("t %v with %v: p %v, want %v", c.t, c.nu, p, c.p)
		}
	}
	for _, c := range []struct{ f, a, b, p float64 }{
		{3.71, 3, 10, .05}, {6.55, 3, 10, .01}, {4.96, 1, 10, .05}, {2.35, 10, 20, .05}, {3.37, 10, 20, .01},
	} {
		if p := upperF(c.f, c.a, c.b); math.Abs(p-c.p) > .02*c.p {
			t.Errorf("F %v with %v, %v: p %v, want %v", c.f, c.a, c.b, p, c.p)
		}
	}
	for nu := 1.0; nu < 40; nu += 3 {
		for x := 2.0; x < 12; x += .7 {
			want := 2 * distuv.StudentsT{Sigma: 1, Nu: nu}.Survival(x)
			if p := twoSided(x, nu); math.Abs(p-want) > 1e-9+1e-6*want {
				t.Errorf("t %v with %v: %v, gonum %v", x, nu, p, want)
			}
			if p, want := upperF(x, nu, 7), (distuv.F{D1: nu, D2: 7}).Survival(x); math.Abs(p-want) > 1e-9+1e-6*want {
				t.Errorf("F %v with %v, 7: %v, gonum %v", x, nu, p, want)
			}
		}
	}
	if twoSided(math.Inf(1), 3) != 0 || twoSided(math.NaN(), 3) != 1 || upperF(math.Inf(1), 2, 3) != 0 || upperF(math.NaN(), 2, 3) != 1 {
		t.Error("the limits")
	}
}

// The step-down procedure, worked by hand: 0.005 <= 0.05/4 and 0.01 <= 0.05/3
// stand, 0.03 > 0.05/2 falls, and 0.04 falls with it although 0.04 <= 0.05.
func TestHolm(t *testing.T) {
	for _, c := range []struct {
		p    []float64
		want []bool
	}{
		{[]float64{.01, .04, .03, .005}, []bool{true, false, false, true}},
		{[]float64{.013, .013, .013, .013}, []bool{false, false, false, false}},
		{[]float64{.012, .016, .024, .049}, []bool{true, true, true, true}},
		{nil, []bool{}},
	} {
		if got := holm(c.p, .05); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v, want %v", c.p, got, c.want)
		}
	}
}
