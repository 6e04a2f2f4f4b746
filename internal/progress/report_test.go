package progress

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"boxwright/internal/drill"
)

func drawn(at time.Time, view drill.View, pointer string, score int, sets ...Set) Drawing {
	d := Drawing{At: at, Kind: drill.Finish, View: view, Level: 3, Pointer: pointer, Score: score, Sets: sets}
	sumSq := 0.0
	for _, k := range sets {
		d.Lines += k.Lines
		sumSq += k.RMS * k.RMS * float64(k.Lines)
	}
	if d.Lines > 0 {
		rms := math.Sqrt(sumSq / float64(d.Lines))
		d.RMS = &rms
	}
	return d
}

func width(lines int, rms, signed float64) Set {
	return Set{Name: "width", Lines: lines, RMS: rms, SumSigned: signed}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-12*(1+math.Abs(want))) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func TestNothingYet(t *testing.T) {
	r := Of(nil, time.UTC, time.Unix(0, 0))
	if r.Drawings != 0 || len(r.Days) != 0 || len(r.Skills) != 0 {
		t.Errorf("%+v", r)
	}
	// A sheet without a line counts as practice and measures nothing.
	r = Of([]Drawing{drawn(time.Unix(0, 0), drill.Two, "pen", 0)}, time.UTC, time.Unix(0, 0))
	s := r.Skills[0]
	if r.Drawings != 1 || len(r.Days) != 1 || s.Drawings != 1 || s.All.Drawings != 0 || s.All.Overall != nil || len(s.All.Points) != 0 || len(s.Sets) != 0 {
		t.Errorf("%+v", r)
	}
}

// TestDaysAreTheLearners: the same moments are other days in other zones,
// also across a change to summer time.
func TestDaysAreTheLearners(t *testing.T) {
	late := time.Date(2031, 3, 29, 23, 30, 0, 0, time.UTC)
	list := []Drawing{
		drawn(late.Add(time.Hour), drill.Two, "pen", 80, width(3, 1, 0)),
		drawn(late, drill.Two, "pen", 50, width(3, 1, 0)),
		drawn(late.Add(24*time.Hour), drill.Two, "pen", 60, width(3, 1, 0)),
	}
	east := time.FixedZone("lighthouse time", 2*3600)
	for _, c := range []struct {
		loc   *time.Location
		dates []string
		n     []int
		score []float64
	}{
		{time.UTC, []string{"2031-03-29", "2031-03-30"}, []int{1, 2}, []float64{50, 70}},
		{east, []string{"2031-03-30", "2031-03-31"}, []int{2, 1}, []float64{65, 60}},
	} {
		r := Of(list, c.loc, late)
		if len(r.Days) != len(c.dates) {
			t.Fatalf("%s: %+v", c.loc, r.Days)
		}
		for i, d := range r.Days {
			if d.Date.Format(time.DateOnly) != c.dates[i] || d.Drawings != c.n[i] || d.Lines != 3*c.n[i] {
				t.Errorf("%s: day %d: %+v", c.loc, i, d)
			}
			near(t, "score", d.Score, c.score[i])
		}
		if got := r.Skills[0].Days; got != 2 {
			t.Errorf("%s: %d days of the skill", c.loc, got)
		}
	}
}

// TestRecentIsByCalendar: the recent span holds RecentDays calendar days,
// today included, whatever the hour.
func TestRecentIsByCalendar(t *testing.T) {
	now := time.Date(2031, 5, 20, 0, 5, 0, 0, time.UTC)
	in := time.Date(2031, 5, 20-RecentDays+1, 0, 0, 0, 0, time.UTC)
	list := []Drawing{}
	for range 2 {
		list = append(list, drawn(in, drill.Two, "pen", 50, width(4, 1, 0)), drawn(in.Add(-time.Second), drill.Two, "pen", 50, width(4, 3, 0)))
	}
	s := Of(list, time.UTC, now).Skills[0].All
	if s.Recent == nil || s.Recent.Drawings != 2 || s.Overall.Drawings != 4 {
		t.Fatalf("recent %+v, overall %+v", s.Recent, s.Overall)
	}
	near(t, "recent", s.Recent.Error, 1)
	near(t, "overall", s.Overall.Error, math.Sqrt(5))
}

// TestFigures: the figures of a small history, worked by hand.
func TestFigures(t *testing.T) {
	day := time.Date(2031, 5, 1, 12, 0, 0, 0, time.UTC)
	early := 1.5
	list := []Drawing{
		drawn(day, drill.Two, "pen", 50, width(3, 2, 3), Set{Name: "height", Lines: 1, RMS: 1, SumSigned: 1}),
		drawn(day.Add(time.Hour), drill.Two, "pen", 70, width(1, 4, -4)),
		drawn(day.AddDate(0, 0, 1), drill.Two, "pen", 60, width(4, 1, 2), Set{Box: 1, Name: "width", Lines: 2, RMS: 2, SumSigned: 0, Early: &early}),
		drawn(day, drill.One, "pen", 60, width(4, 1, 2)),
	}
	r := Of(list, time.UTC, day.AddDate(0, 0, 2))
	if len(r.Skills) != 2 || r.Skills[0].View != drill.Two || r.Skills[1].View != drill.One {
		t.Fatalf("skills: %+v", r.Skills)
	}
	s := r.Skills[0]
	if len(s.Sets) != 2 || s.Sets[0].Set != "width" || s.Sets[1].Set != "height" || s.All.Set != "" {
		t.Fatalf("sets: %+v", s.Sets)
	}
	w := s.Sets[0]
	if w.Drawings != 3 || w.Lines != 10 || len(w.Points) != 2 {
		t.Errorf("width: %+v", w)
	}
	near(t, "first day", w.Points[0].Error, math.Sqrt((3*4+16)/4.0))
	near(t, "second day, both boxes", w.Points[1].Error, math.Sqrt((4*1+2*4)/6.0))
	near(t, "overall", w.Overall.Error, math.Sqrt(40/10.0))
	near(t, "signed", w.Signed.Value, (3-4+2)/10.0)
	if w.Early != nil {
		t.Errorf("one sheet is enough to say how early: %+v", w.Early)
	}
	for _, p := range w.Points {
		if p.Low != nil && !(*p.Low < p.Error && p.Error < *p.High) {
			t.Errorf("%+v: the interval %v to %v is not around the error", p, *p.Low, *p.High)
		}
	}
	if h := s.Sets[1]; h.Overall != nil || h.Points[0].Low != nil || h.Signed != nil {
		t.Errorf("a single line tells something: %+v", h)
	}
}

// TestPointersApart: drawings with another pointer do not enter.
func TestPointersApart(t *testing.T) {
	now := time.Date(2031, 5, 20, 12, 0, 0, 0, time.UTC)
	var list []Drawing
	for i := range 6 { // long ago, with a mouse
		list = append(list, drawn(now.AddDate(0, -3, i), drill.Two, "mouse", 50, width(6, 4, 0)))
	}
	for i := range 3 {
		list = append(list, drawn(now.AddDate(0, 0, -i), drill.Two, "pen", 80, width(6, 1, 0)))
	}
	list = append(list, drawn(now, drill.Two, "ruler", 100, width(6, 0.1, 0)))
	s := Of(list, time.UTC, now).Skills[0]
	if s.Pointer != "pen" || s.Others != 7 || s.Drawings != 3 {
		t.Fatalf("%+v", s)
	}
	near(t, "error", s.All.Overall.Error, 1)
	// Without anything lately the most used one counts.
	s = Of(list, time.UTC, now.AddDate(1, 0, 0)).Skills[0]
	if s.Pointer != "mouse" || s.Others != 4 || s.All.Recent != nil || s.All.Signed != nil {
		t.Errorf("a year later: %+v", s)
	}
}

// TestPerfectLines: errors of exactly zero give figures, not NaN.
func TestPerfectLines(t *testing.T) {
	now := time.Date(2031, 5, 20, 12, 0, 0, 0, time.UTC)
	var list []Drawing
	for i := range 4 {
		list = append(list, drawn(now.AddDate(0, 0, -i), drill.Three, "ruler", 100, width(6, 0, 0)))
	}
	o := Of(list, time.UTC, now).Skills[0].All.Overall
	if o == nil || o.Error != 0 || o.Low != 0 || o.High != 0 {
		t.Errorf("%+v", o)
	}
}

// TestOrderDoesNotMatter, and scaling every error scales every figure.
func TestOrderAndScale(t *testing.T) {
	h := hand{sd: 2, shared: 0.3, sheetSD: 0.25, days: 8, sheets: 3, leastLines: 3, most: 9}
	first := time.Date(2031, 5, 1, 12, 0, 0, 0, time.UTC)
	r := rand.New(rand.NewPCG(3, 4))
	list, _, _ := h.drawings(r, first)
	now := first.AddDate(0, 0, 9)
	want := Of(list, time.UTC, now)
	shuffled := append([]Drawing(nil), list...)
	r.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	if got := Of(shuffled, time.UTC, now); !reflect.DeepEqual(got, want) {
		t.Errorf("another order:\n%+v\n%+v", got, want)
	}
	twice := make([]Drawing, len(list))
	for i, d := range list {
		rms := 2 * *d.RMS
		k := d.Sets[0]
		k.RMS, k.SumSigned = 2*k.RMS, 2*k.SumSigned
		d.RMS, d.Sets = &rms, []Set{k}
		twice[i] = d
	}
	got := Of(twice, time.UTC, now)
	a, b := want.Skills[0].Sets[0], got.Skills[0].Sets[0]
	near(t, "error", b.Overall.Error, 2*a.Overall.Error)
	near(t, "low", b.Overall.Low, 2*a.Overall.Low)
	near(t, "high", b.Overall.High, 2*a.Overall.High)
	near(t, "signed low", b.Signed.Low, 2*a.Signed.Low)
	for i := range a.Points {
		near(t, "day", *b.Points[i].High, 2**a.Points[i].High)
	}
}

// TestMoreLinesTellMore: the interval narrows as sheets of one kind add up.
func TestMoreLinesTellMore(t *testing.T) {
	now := time.Date(2031, 5, 20, 12, 0, 0, 0, time.UTC)
	last := math.Inf(1)
	for n := 2; n <= 64; n *= 2 {
		var list []Drawing
		for i := range n {
			list = append(list, drawn(now.Add(time.Duration(i)*time.Second), drill.Two, "pen", 80, width(6, 1+0.2*float64(i%2), 0)))
		}
		e := Of(list, time.UTC, now).Skills[0].All.Recent
		if ratio := e.High / e.Low; !(ratio < last) {
			t.Errorf("%d sheets: %.3f times from low to high, after %.3f", n, ratio, last)
		} else {
			last = ratio
		}
	}
	if last > 1.25 {
		t.Errorf("64 sheets leave a factor of %.3f", last)
	}
}
