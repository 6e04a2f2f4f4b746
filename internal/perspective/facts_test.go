package perspective

import (
	"encoding/json"
	"math"
	"testing"

	"boxwright/internal/geom"
)

// fact is a published or derived number of the trade, with its source.
type fact struct {
	ID     string          `json:"id"`
	What   string          `json:"what"`
	Given  json.RawMessage `json:"given"`
	Expect []float64       `json:"expect"`
	Rel    float64         `json:"relative_tolerance"`
	Source string          `json:"source"`
}

// given reads the fact's numbers into p, a pointer to a struct.
func (f *fact) given(t *testing.T, p any) {
	t.Helper()
	if err := json.Unmarshal(f.Given, p); err != nil {
		t.Fatal(err)
	}
}

// level is a station with its eye at height h over the ground, looking level
// along Y at distance d, its principal point at the sheet's origin.
func level(d, h float64) Station {
	return Station{Eye: geom.Vec3{Z: h}, Distance: d}
}

func mustProject(t *testing.T, s Station, x, y, z float64) geom.Vec {
	t.Helper()
	v, ok := s.Project(geom.Vec3{X: x, Y: y, Z: z})
	if !ok {
		t.Fatalf("(%g, %g, %g) is not in front of the eye", x, y, z)
	}
	return v
}

// drawnHeight is the drawn height of an upright of the given height that
// stands straight ahead.
func drawnHeight(t *testing.T, s Station, ahead, height float64) float64 {
	t.Helper()
	return mustProject(t, s, 0, ahead, 0).Sub(mustProject(t, s, 0, ahead, height)).Len()
}

// onGround is the point of the ground, Z = 0, that is seen in v.
func onGround(s Station, v geom.Vec) geom.Vec3 {
	r := s.Ray(v)
	return s.Eye.Add(r.Scale(-s.Eye.Z / r.Z))
}

// solve returns the x between lo and hi at which the rising f is y.
func solve(lo, hi, y float64, f func(float64) float64) float64 {
	for range 200 {
		if m := (lo + hi) / 2; f(m) < y {
			lo = m
		} else {
			hi = m
		}
	}
	return (lo + hi) / 2
}

// tradeFacts computes the numbers of lengths, angles and depths with this
// package. The published source stands beside each.
var tradeFacts = map[string]func(t *testing.T, f *fact) []float64{
	// Leonardo da Vinci, Notebooks, ed. Richter, par. 100.
	"F01": func(t *testing.T, f *fact) (got []float64) {
		var g struct{ D, Z any }
		f.given(t, &g)
		for _, z := range g.Z.([]any) {
			got = append(got, drawnHeight(t, level(g.D.(float64), .3), z.(float64), 1))
		}
		return got
	},
	// Leonardo da Vinci, Notebooks, ed. Richter, par. 106.
	"F02": func(t *testing.T, f *fact) (got []float64) {
		var g struct{ Z [][2]float64 }
		f.given(t, &g)
		for _, z := range g.Z {
			s := level(300, 1.5)
			got = append(got, drawnHeight(t, s, z[0], 2)/drawnHeight(t, s, z[1], 2))
		}
		return got
	},
	// Against Leonardo da Vinci, Notebooks, ed. Richter, par. 99, with the
	// editor's footnote: two thirds, not a half.
	"F03": func(t *testing.T, f *fact) []float64 {
		var g struct{ Z [3]float64 }
		f.given(t, &g)
		s := level(300, 1.5)
		return []float64{drawnHeight(t, s, g.Z[2], 1) / drawnHeight(t, s, g.Z[1], 1)}
	},
	// Storey 1910, Rule 10, p. 36.
	"F04": func(t *testing.T, f *fact) (got []float64) {
		var g struct{ N []float64 }
		f.given(t, &g)
		s := level(300, 1.6)
		for _, n := range g.N {
			got = append(got, drawnHeight(t, s, n*s.Eye.Z, 2)/drawnHeight(t, s, s.Eye.Z, 2))
		}
		return got
	},
	// Storey 1910, III, p. 18.
	"F05": func(t *testing.T, f *fact) (got []float64) {
		var g struct {
			Angle []float64 `json:"angle_deg"`
		}
		f.given(t, &g)
		ends := []geom.Vec{{X: -.5}, {X: .5}}
		for _, a := range g.Angle {
			got = append(got, solve(.1, 10, -a/2, func(d float64) float64 {
				return -Station{Distance: d}.ConeAngle(ends).Degrees()
			}))
		}
		return got
	},
	// Lehrbuch der Perspective fuer bildende Kuenstler, TIB 865579199, image 116.
	"F06": func(t *testing.T, f *fact) []float64 {
		var g struct{ Ratio float64 }
		f.given(t, &g)
		s := Station{Distance: g.Ratio}
		return []float64{2 * s.ConeAngle([]geom.Vec{{Y: -.5}, {Y: .5}}).Degrees()}
	},
	// Storey 1910, Rule 6, p. 30; ISO 10209:2012, 3.16.
	"F07": func(t *testing.T, f *fact) []float64 {
		var g struct{ D float64 }
		f.given(t, &g)
		s := level(g.D, 1)
		l, r := s.DistancePoints()
		v1, v2 := s.Vanishing(geom.Vec3{X: 1, Y: 1}), s.Vanishing(geom.Vec3{X: -1, Y: 1})
		if math.Abs(v1.X-r.X) > f.Rel || math.Abs(v2.X-l.X) > f.Rel {
			t.Errorf("distance points %v %v, level diagonals meet in %v %v", l, r, v2, v1)
		}
		return []float64{v1.X, v2.X}
	},
	// Storey 1910, XXXIII, p. 77-78.
	"F08": func(t *testing.T, f *fact) (got []float64) {
		var g struct {
			Base, D float64
			N       []float64
		}
		f.given(t, &g)
		for _, n := range g.N {
			got = append(got, depthCut(t, level(g.D, 1.3), g.Base/n, n))
		}
		return got
	},
	// Storey 1910, XXXIV, p. 79, and XXXVIII, p. 85-86.
	"F09": func(t *testing.T, f *fact) (got []float64) {
		var g struct{ Base, N []float64 }
		f.given(t, &g)
		for i, n := range g.N {
			got = append(got, depthCut(t, level(30, 5.5), g.Base[i], n))
		}
		return got
	},
	// Storey 1910, LXII, p. 113.
	"F10": func(t *testing.T, f *fact) (got []float64) {
		var g struct{ D, Angles any }
		f.given(t, &g)
		for _, a := range g.Angles.([]any) {
			s := level(g.D.(float64), 1)
			b := Box{Yaw: geom.Degrees(a.(float64))}
			v, _ := s.Vanishing(b.Direction(Width)).Vec()
			w, _ := s.Vanishing(b.Direction(Depth)).Vec()
			// The sight lines to both points stand at right angles.
			if c := s.Ray(v).Dot(s.Ray(w)); math.Abs(c) > 1e-12 {
				t.Errorf("sight lines to the points: cosine %g", c)
			}
			got = append(got, v.Sub(s.Principal).Len()*w.Sub(s.Principal).Len())
		}
		return got
	},
	// Storey 1910, LVII, p. 106, and LXII, p. 113.
	"F11": func(t *testing.T, f *fact) []float64 {
		var g struct{ D float64 }
		f.given(t, &g)
		s, b := level(g.D, 1), Box{Yaw: geom.Degrees(30)}
		var radius, beyond []float64
		for _, k := range [2]Set{Width, Depth} {
			v := s.Vanishing(b.Direction(k))
			m, _, ok := s.MeasuringPoints(k, v)
			if !ok {
				t.Fatal("no measuring point")
			}
			at, _ := v.Vec()
			if at.X*m.X > 0 {
				t.Errorf("%v: the measuring point lies on its point's side", k)
			}
			radius = append(radius, m.Sub(at).Len())
			beyond = append(beyond, m.Sub(s.Principal).Len())
		}
		return append(radius, beyond...)
	},
	// Storey 1910, LXII, p. 113.
	"F12": func(t *testing.T, f *fact) []float64 {
		var g struct{ D float64 }
		f.given(t, &g)
		v, _ := level(g.D, 1).Vanishing(Box{Yaw: geom.Degrees(10)}.Direction(Width)).Vec()
		return []float64{v.Len()}
	},
	// Storey 1910, Rule 8, p. 32; XVIII, p. 53.
	"F13": func(t *testing.T, f *fact) []float64 {
		var g struct{ R, I float64 }
		f.given(t, &g)
		// Any level direction will do: the eye is R from its point V.
		var rise float64
		for _, turn := range []float64{0, 25, -50} {
			a := geom.Degrees(turn)
			s := level(g.R*math.Cos(float64(a)), 1)
			dir := Box{Yaw: a}.Direction(Depth)
			v, _ := s.Vanishing(dir).Vec()
			w, _ := s.Vanishing(dir.Add(geom.Vec3{Z: math.Tan(float64(geom.Degrees(g.I)))})).Vec()
			if math.Abs(w.X-v.X) > 1e-9 {
				t.Errorf("turned %g: not straight above", turn)
			}
			if r := v.Y - w.Y; turn != 0 && math.Abs(r-rise) > 1e-9 {
				t.Errorf("turned %g: rises %g, straight ahead %g", turn, r, rise)
			}
			rise = v.Y - w.Y
		}
		// The diagonal of an upright square seen square-on rises so, too.
		s := level(g.R, 1)
		d := geom.Through(mustProject(t, s, 1, 3, 0), mustProject(t, s, 1, 5, 2))
		v, _ := geom.Meet(d, geom.Line{A: 1}).Vec()
		if math.Abs(-v.Y-rise) > 1e-9 {
			t.Errorf("drawn diagonal meets %g above S", -v.Y)
		}
		return []float64{rise}
	},
	// Storey 1910, CXXII, p. 191-192: the middle of the base is found by its
	// drawn diagonals.
	"F14": func(t *testing.T, f *fact) []float64 {
		var g struct{ Side float64 }
		f.given(t, &g)
		s, near := level(300, 60), 500.0
		b := Box{Base: geom.Vec3{X: 100, Y: near + g.Side/2}, Size: [3]float64{g.Side, g.Side, 1}}
		p, _ := s.Picture(b)
		m := geom.Meet(geom.Through(p.Corners[0], p.Corners[3]), geom.Through(p.Corners[1], p.Corners[2]))
		v, _ := m.Vec()
		return []float64{onGround(s, v).Y - near}
	},
}

// depthCut draws the fact of Storey's XXXIII and XXXIV: base is measured along
// the picture's foot from where a line to the principal point starts; a line
// to the point at one n-th of the distance cuts off a depth on it, which is
// read back from the drawing.
func depthCut(t *testing.T, s Station, base, n float64) float64 {
	t.Helper()
	foot := s.Distance // the picture plane stands where the scale is 1
	start := mustProject(t, s, 2, foot, 0)
	end := mustProject(t, s, 2+base, foot, 0)
	l, _ := s.DistancePoints()
	part := geom.Vec{X: l.X / n, Y: l.Y}
	v, ok := geom.Meet(geom.Through(start, s.Principal), geom.Through(end, part)).Vec()
	if !ok {
		t.Fatal("the lines do not meet")
	}
	return onGround(s, v).Y - foot
}

func factByID(t *testing.T, id string) *fact {
	t.Helper()
	fs := readChecks(t).Facts
	for i := range fs {
		if fs[i].ID == id {
			return &fs[i]
		}
	}
	t.Fatalf("no fact %s", id)
	return nil
}

func TestFacts(t *testing.T) {
	f := readChecks(t)
	for i := range f.Facts {
		f := &f.Facts[i]
		t.Run(f.ID, func(t *testing.T) {
			if f.Source == "" {
				t.Error("no source")
			}
			test := tradeFacts[f.ID]
			if test == nil {
				test = pointFacts[f.ID]
			}
			if test == nil {
				t.Fatalf("nobody computes %s: %s", f.ID, f.What)
			}
			got := test(t, f)
			if len(got) != len(f.Expect) {
				t.Fatalf("%v, want %v", got, f.Expect)
			}
			for i, want := range f.Expect {
				// Zero has no relative error: then the tolerance is absolute.
				scale := math.Abs(want)
				if want == 0 {
					scale = 1
				}
				if !(math.Abs(got[i]-want) <= f.Rel*scale) {
					t.Errorf("%s: %.12g, want %.12g (%s)", f.What, got[i], want, f.Source)
				}
			}
		})
	}
}
