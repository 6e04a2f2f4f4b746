package ink

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"boxwright/internal/geom"
)

// path samples a stroke from a to b at n even steps; off gives the distance
// to the clockwise side at x in [-1, 1].
func path(a, b geom.Vec, n int, off func(x float64) float64) (s Stroke) {
	u, _ := b.Sub(a).Unit()
	for k := range n {
		q := float64(k) / float64(n-1)
		p := a.Add(b.Sub(a).Scale(q)).Add(u.Perp().Scale(off(2*q - 1)))
		s.X, s.Y = append(s.X, p.X), append(s.Y, p.Y)
	}
	return s
}

func straight(float64) float64 { return 0 }

func TestFitSegmentExact(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		a := geom.Vec{X: 300 * r.Float64(), Y: 200 * r.Float64()}
		b := a.Add(geom.Direction(geom.Angle(7 * r.Float64())).Scale(4 + 200*r.Float64()))
		s := path(a, b, 2, straight)
		if r.IntN(2) == 0 { // repeats count once
			s.X = []float64{a.X, a.X, b.X, b.X, b.X}
			s.Y = []float64{a.Y, a.Y, b.Y, b.Y, b.Y}
		}
		l, ok := Fit(s, Pen)
		u, _ := b.Sub(a).Unit()
		if !ok || !l.Exact || l.Mid != geom.Mid(a, b) || l.Dir != u || l.Length != b.Sub(a).Len() || l.Bow != 0 || l.Wobble != 0 {
			t.Fatalf("%v to %v: %+v", a, b, l)
		}
	}
}

// Straight sampled strokes of any number of samples, evenly spaced or not,
// are recovered to far below any device.
func TestFitStraight(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		a := geom.Vec{X: 300 * r.Float64(), Y: 200 * r.Float64()}
		u := geom.Direction(geom.Angle(7 * r.Float64()))
		length := 5 + 150*r.Float64()
		at := []float64{0, 1}
		for range 1 + r.IntN(80) {
			at = append(at, math.Pow(r.Float64(), 2))
		}
		slices.Sort(at)
		var s Stroke
		for _, q := range at {
			p := a.Add(u.Scale(q * length))
			s.X, s.Y = append(s.X, p.X), append(s.Y, p.Y)
		}
		l, ok := Fit(s, Mouse)
		turn := math.Atan2(u.Cross(l.Dir), u.Dot(l.Dir))
		if !ok || !(math.Abs(turn) < 1e-9) || !(math.Abs(l.Length-length) < 1e-6) || !(math.Abs(l.Bow)+l.Wobble < 1e-9) {
			t.Fatalf("%d samples: turned %g, %+v", len(at), turn, l)
		}
	}
}

func TestFitDots(t *testing.T) {
	for name, s := range map[string]Stroke{
		"one place":  {X: []float64{5, 5, 5}, Y: []float64{7, 7, 7}},
		"too short":  {X: []float64{5, 7.9}, Y: []float64{7, 7}},
		"too short2": {X: []float64{5, 6, 7}, Y: []float64{7, 7.5, 7}},
	} {
		if l, ok := Fit(s, Pen); ok {
			t.Errorf("%s: %+v", name, l)
		}
	}
	l, ok := Fit(Stroke{X: []float64{5, 45, 5}, Y: []float64{7, 7, 7}}, Pen)
	if !ok || l.Length != 40 || math.Abs(l.Dir.X) != 1 {
		t.Errorf("there and back: %v %+v", ok, l)
	}
}

// Bow and S-curve are read off a drawn arc with the stated signs, and turning
// the stroke round turns the signs of what is seen from the travel.
func TestFitBow(t *testing.T) {
	a, b := geom.Vec{X: 40, Y: 50}, geom.Vec{X: 140, Y: 90}
	const bow, curve = 2.0, 0.4
	s := path(a, b, 121, func(x float64) float64 {
		return bow*(1-x*x) + curve*(2.5*x*x*x-1.5*x)
	})
	l, ok := Fit(s, Pen)
	if !ok || !(math.Abs(l.Bow-bow) < .02) || !(math.Abs(l.Curve-curve) < .02) || !l.BowReal() {
		t.Errorf("%+v", l)
	}
	slices.Reverse(s.X)
	slices.Reverse(s.Y)
	m, _ := Fit(s, Pen)
	if !(math.Abs(m.Bow+l.Bow) < 1e-3) || !(m.Dir.Dot(l.Dir) < -.999999) {
		t.Errorf("reversed: %+v", m)
	}
	if n, _ := Fit(path(a, b, 121, straight), Pen); n.BowReal() {
		t.Errorf("a straight stroke has a bow: %+v", n)
	}
}

// Hooks at the ends, running backwards or bending away, hardly turn the line.
func TestFitHooks(t *testing.T) {
	a, b := geom.Vec{X: 40, Y: 50}, geom.Vec{X: 120, Y: 50}
	for name, hook := range map[string][]geom.Vec{
		"backwards": {{X: 43, Y: 47}, {X: 42, Y: 48}, {X: 41, Y: 49}},
		"bending":   {{X: 36, Y: 44}, {X: 37, Y: 46}, {X: 38.5, Y: 48.5}},
	} {
		s := path(a, b, 100, straight)
		for i := len(hook) - 1; i >= 0; i-- {
			s.X, s.Y = slices.Insert(s.X, 0, hook[i].X), slices.Insert(s.Y, 0, hook[i].Y)
		}
		l, ok := Fit(s, Pen)
		if turn := geom.Angle(math.Atan2(l.Dir.Y, l.Dir.X)).Degrees(); !ok || !(math.Abs(turn) < .03) {
			t.Errorf("%s: turned %.4f degrees, %+v", name, turn, l)
		}
	}
}

// The stated device uncertainty is what independent reports really cause,
// times the law for correlated ones.
func TestFitDeviceUncertainty(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for _, p := range []Pointer{Pen, Mouse, Touch} {
		var turns []float64
		var stated float64
		for range 400 {
			s := path(geom.Vec{X: 20, Y: 20}, geom.Vec{X: 80, Y: 20}, 60, straight)
			for i := range s.X {
				s.X[i] += p.Noise() * r.NormFloat64()
				s.Y[i] += p.Noise() * r.NormFloat64()
			}
			l, _ := Fit(s, p)
			turns = append(turns, math.Atan2(l.Dir.Y, l.Dir.X))
			stated = float64(l.Device)
		}
		if k := robustSD(turns) * deviceLaw / stated; !(k > .8 && k < 1.3) {
			t.Errorf("%s: measured %.2f of what is stated", p, k)
		}
	}
}

func TestCheck(t *testing.T) {
	ok := Stroke{X: []float64{1, 2}, Y: []float64{1, 2}, T: []float64{3, 3}, P: []float64{0, 1}}
	long := make([]float64, MaxSamples+1)
	for pointer, s := range map[string]Stroke{
		"":                ok,
		"/strokes/1/role": {Role: "line", X: ok.X, Y: ok.Y},
		"/strokes/1/by":   {By: "hand", X: ok.X, Y: ok.Y},
		"/strokes/1/x":    {X: long, Y: long},
		"/strokes/1/y":    {X: ok.X, Y: ok.Y[:1]},
		"/strokes/1/t":    {X: ok.X, Y: ok.Y, T: []float64{1}},
		"/strokes/1/p":    {X: ok.X, Y: ok.Y, P: []float64{}},
		"/strokes/1/y/1":  {X: ok.X, Y: []float64{1, math.Inf(-1)}},
		"/strokes/1/t/0":  {X: ok.X, Y: ok.Y, T: []float64{math.NaN(), 1}},
		"/strokes/1/t/1":  {X: ok.X, Y: ok.Y, T: []float64{2, 1}},
		"/strokes/1/p/0":  {X: ok.X, Y: ok.Y, P: []float64{-.1, 1}},
	} {
		err := Check([]Stroke{ok, s})
		var in *InputError
		if pointer == "" && err != nil || pointer != "" && (!errors.As(err, &in) || in.Pointer != pointer) {
			t.Errorf("%q: %v", pointer, err)
		}
	}
	var in *InputError
	if err := Check(make([]Stroke, MaxStrokes+1)); !errors.As(err, &in) || in.Pointer != "/strokes" {
		t.Errorf("too many strokes: %v", err)
	}
}

// FuzzFit: any checked stroke gives a dot or a line of finite numbers, and
// the stroke itself is left as it was.
func FuzzFit(f *testing.F) {
	f.Add([]byte{1, 2, 3, 4, 200, 100, 30, 40})
	f.Add([]byte{1, 2, 3, 4, 200, 100, 30, 40, 0, 0, 0, 0, 255, 255})
	f.Fuzz(func(t *testing.T, b []byte) {
		var s Stroke
		for i := 0; i+1 < len(b); i += 2 {
			s.X, s.Y = append(s.X, float64(int8(b[i]))*1.7), append(s.Y, math.Ldexp(float64(int8(b[i+1])), int(b[i]%9)-4))
		}
		if Check([]Stroke{s}) != nil {
			return
		}
		x, y := slices.Clone(s.X), slices.Clone(s.Y)
		l, ok := Fit(s, Touch)
		if !slices.Equal(x, s.X) || !slices.Equal(y, s.Y) {
			t.Error("the stroke was changed")
		}
		if !ok {
			return
		}
		for _, v := range []float64{l.Mid.X, l.Mid.Y, l.Dir.X, l.Dir.Y, l.Length, l.Start, l.End, float64(l.Device), float64(l.Hand), l.Offset, l.Bow, l.Curve, l.Wobble, l.Crooked} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v of %v", l, s)
			}
		}
		if math.Abs(l.Dir.Len()-1) > 1e-9 || !(l.Length > 0) {
			t.Errorf("%+v", l)
		}
	})
}
