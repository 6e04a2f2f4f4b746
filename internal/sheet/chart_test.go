package sheet

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"boxwright/internal/geom"
)

// march returns a day of the course at the lighthouse.
func march(n int) time.Time { return time.Date(2026, 3, n, 0, 0, 0, 0, time.UTC) }

// course is four weeks of practice.
func course() ErrorTrend {
	t := ErrorTrend{Name: "two-point", From: march(1), To: march(28)}
	for k, name := range []string{"Width", "Depth", "Height"} {
		s := ErrorSeries{Name: name, Set: Hue(k + 1)}
		for d := 1 + k; d <= 28; d += 3 + k {
			e := 5 / (1 + .1*float64(d))
			s.Days = append(s.Days, DayError{march(d), e, .6 * e, 1.5 * e})
		}
		t.Series = append(t.Series, s)
	}
	return t
}

func practice() Practice {
	p := Practice{From: march(1), To: march(28)}
	for d := 1; d <= 28; d++ {
		if d%4 != 0 {
			p.Days = append(p.Days, DayCount{march(d), d % 7})
		}
	}
	return p
}

func strips() []Strip {
	d := geom.Degrees
	return []Strip{
		{"Width", HueOf(0), d(1.6), []StripDot{{d(-.4), false}, {d(2.6), true}, {d(3.4), true}}},
		{"Depth", HueOf(1), d(1.6), []StripDot{{d(.5), false}, {d(.6), false}, {d(.7), false}, {d(.8), false}}},
		{"Height", HueOf(2), d(1.6), []StripDot{{d(-12), true}}},
		{"Pairs", NoSet, 0, nil},
	}
}

func TestChartsAreWellFormed(t *testing.T) {
	bad := course()
	bad.Series[0].Days = append(bad.Series[0].Days, DayError{march(9), math.NaN(), 0, 1}, DayError{march(9), 3, 4, 2}, DayError{march(9), 1, 0, math.Inf(1)})
	all := []string{
		ErrorChart(course()), ErrorChart(bad), ErrorChart(ErrorTrend{}),
		ErrorChart(ErrorTrend{Name: "one-point", From: march(3), To: march(3), Series: []ErrorSeries{{Name: "Width", Set: 1, Days: []DayError{{march(3), 2, 1, 3}}}}}),
		DaysChart(practice()), DaysChart(Practice{}), DaysChart(Practice{From: march(2), To: march(2), Days: []DayCount{{march(2), 300}}}),
	}
	for _, s := range strips() {
		all = append(all, DotStrip(s))
	}
	for i, s := range all {
		e := elements(t, s)
		if get(e[0], "role") != "img" || e[1].Name.Local != "title" || e[2].Name.Local != "desc" {
			t.Errorf("chart %d has no title and description first", i)
		}
	}
	if ErrorChart(bad) != ErrorChart(course()) {
		t.Error("days without sound numbers change the chart")
	}
}

// dotsOf returns the places of all elements of a class; those that are paths
// by their first corner.
func dotsOf(t *testing.T, s, class string) (out []geom.Vec) {
	t.Helper()
	f := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, e := range elements(t, s) {
		if !strings.HasPrefix(get(e, "class"), class) {
			continue
		}
		if d := get(e, "d"); d != "" {
			x, y, _ := strings.Cut(d[1:strings.Index(d, "L")], " ")
			out = append(out, geom.Vec{X: f(x), Y: f(y)})
			continue
		}
		out = append(out, geom.Vec{X: f(get(e, "cx")), Y: f(get(e, "cy"))})
	}
	return out
}

// In the error chart a smaller error lies lower and a later day further
// right, and everything lies inside.
func TestErrorChartPlacesDays(t *testing.T) {
	c := course()
	c.Series = c.Series[:1]
	got := dotsOf(t, ErrorChart(c), "chart-dot")
	if len(got) != len(c.Series[0].Days) {
		t.Fatalf("%d dots for %d days", len(got), len(c.Series[0].Days))
	}
	for i, p := range got {
		if p.X < chartLeft || p.X > chartWidth-chartRight || p.Y < rowHead || p.Y > rowHead+rowPlot {
			t.Errorf("dot %v lies outside", p)
		}
		if i > 0 && (p.X <= got[i-1].X || p.Y <= got[i-1].Y) {
			t.Errorf("dot %v after %v, errors fall", p, got[i-1])
		}
	}
}

// A strip's dots lie where their errors say, do not touch, and the scale
// grows with them.
func TestDotStripPlacesErrors(t *testing.T) {
	s := strips()
	p := dotsOf(t, DotStrip(s[0]), "strip-dot")
	for i, want := range []float64{66 - .4*58/4, 66 + 2.6*58/4, 66 + 3.4*58/4} {
		if math.Abs(p[i].X-want) > .01 {
			t.Errorf("dot %d at %g, want %g", i, p[i].X, want)
		}
	}
	for i, q := range dotsOf(t, DotStrip(s[1]), "strip-dot")[:3] {
		for _, o := range dotsOf(t, DotStrip(s[1]), "strip-dot")[:i] {
			if q.Sub(o).Len() < 6 {
				t.Errorf("dots %v and %v touch", q, o)
			}
		}
	}
	if got := s[2].scale(); got != 15 {
		t.Errorf("scale for 12° is %g", got)
	}
	for deg, want := range map[float64]float64{4: 4, 4.01: 8, 90: 90} {
		one := Strip{Dots: []StripDot{{Error: geom.Degrees(deg)}}}
		if got := one.scale(); math.Abs(got-want) > 0 {
			t.Errorf("scale for %g° is %g, want %g", deg, got, want)
		}
	}
}

// The bars' heights are in proportion to the counts.
func TestDaysChartBars(t *testing.T) {
	p := Practice{From: march(1), To: march(9), Days: []DayCount{{march(2), 1}, {march(5), 4}, {march(8), 0}, {march(20), 9}}}
	var h []float64
	for _, e := range elements(t, DaysChart(p)) {
		if e.Name.Local == "rect" {
			v, err := strconv.ParseFloat(get(e, "height"), 64)
			if err != nil {
				t.Fatal(err)
			}
			h = append(h, v)
		}
	}
	if len(h) != 2 || math.Abs(h[1]-4*h[0]) > .01 {
		t.Errorf("bars %v, want two, one to four", h)
	}
}
