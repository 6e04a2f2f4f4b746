package progress

import (
	"cmp"
	"slices"
	"time"

	"boxwright/internal/drill"
)

// Report is what there is to say about a learner's drawings.
type Report struct {
	Drawings int
	Days     []Day   // oldest first, only days with drawings
	Skills   []Skill // the one practised last first
}

// Day is one calendar day of the learner's, Date as midnight UTC.
type Day struct {
	Date     time.Time
	Drawings int
	Lines    int
	Score    float64 // mean
}

// Skill is one drill in one view. A line drawn with a pen and one laid with a
// ruler are not the same measurement, so only drawings made with one pointer
// count: the one used most lately. Others says how many were left out.
type Skill struct {
	Kind     drill.Kind
	View     drill.View
	Pointer  string
	Others   int
	Level    int // of the last drawing
	Drawings int
	Days     int
	Last     time.Time
	All      Series   // all graded lines of a drawing together
	Sets     []Series // by set, in the order width, depth, height
}

// Series is the error of one set, or of all lines, over time. What cannot be
// told yet is nil.
type Series struct {
	Set      string // "": all lines
	Drawings int    // with at least one line of the set
	Lines    int
	Overall  *Estimate // over all time
	Recent   *Estimate // over the last RecentDays
	// Signed is the mean signed error of the recent lines, + clockwise, Early
	// how much too early (+) or too late (-) the set met on recent drawings.
	Signed, Early *Mean
	Points        []Point // by day, oldest first
}

// Estimate is a root mean square error with its 90 % interval.
type Estimate struct {
	Error, Low, High float64
	Drawings, Lines  int
}

// Mean is a mean with its 90 % interval.
type Mean struct {
	Value, Low, High float64
	Drawings         int
}

// Point is the root mean square error over one day's lines. Low and High
// bound it at 90 %; both are nil when the day has too few lines to tell.
type Point struct {
	Date            time.Time
	Drawings, Lines int
	Error           float64
	Low, High       *float64
}

// Of makes the report. Drawings may come in any order; days are those of loc.
func Of(drawings []Drawing, loc *time.Location, now time.Time) Report {
	sorted := slices.Clone(drawings)
	slices.SortStableFunc(sorted, func(a, b Drawing) int { return a.At.Compare(b.At) })
	c := newCalendar(loc, now)
	r := Report{Drawings: len(sorted), Days: days(c, sorted)}
	type key struct {
		kind drill.Kind
		view drill.View
	}
	groups := map[key][]Drawing{}
	for _, d := range sorted {
		k := key{d.Kind, d.View}
		groups[k] = append(groups[k], d)
	}
	for _, g := range groups {
		r.Skills = append(r.Skills, skill(c, g))
	}
	slices.SortFunc(r.Skills, func(a, b Skill) int {
		return cmp.Or(b.Last.Compare(a.Last), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.View, b.View))
	})
	return r
}

func days(c calendar, sorted []Drawing) []Day {
	var list []Day
	for _, d := range sorted {
		date := c.day(d.At)
		if len(list) == 0 || !list[len(list)-1].Date.Equal(date) {
			list = append(list, Day{Date: date})
		}
		last := &list[len(list)-1]
		last.Drawings++
		last.Lines += d.Lines
		last.Score += (float64(d.Score) - last.Score) / float64(last.Drawings)
	}
	return list
}

// skill makes the figures of the drawings of one drill and view.
func skill(c calendar, sorted []Drawing) Skill {
	last := sorted[len(sorted)-1]
	s := Skill{Kind: last.Kind, View: last.View, Pointer: usual(c, sorted)}
	same := slices.DeleteFunc(slices.Clone(sorted), func(d Drawing) bool { return d.Pointer != s.Pointer })
	last = same[len(same)-1]
	s.Others, s.Level, s.Last = len(sorted)-len(same), last.Level, last.At
	s.Drawings, s.Days = len(same), len(days(c, same))
	var all []sheet
	sets := map[string][]sheet{}
	for _, d := range same {
		at, recent := c.day(d.At), c.recent(d.At)
		if d.RMS != nil && d.Lines > 0 {
			all = append(all, sheet{day: at, recent: recent, lines: d.Lines, sumSq: sq(*d.RMS) * float64(d.Lines), signed: signed(d)})
		}
		for name, m := range bySet(d) {
			m.day, m.recent = at, recent
			sets[name] = append(sets[name], m)
		}
	}
	s.All = series("", all)
	for name, m := range sets {
		s.Sets = append(s.Sets, series(name, m))
	}
	slices.SortFunc(s.Sets, func(a, b Series) int {
		return cmp.Or(cmp.Compare(rank(a.Set), rank(b.Set)), cmp.Compare(a.Set, b.Set))
	})
	return s
}

// usual returns the pointer most drawings were made with lately, or, with
// none lately, ever; of equals the one used last.
func usual(c calendar, sorted []Drawing) string {
	lately, ever := map[string]int{}, map[string]int{}
	for _, d := range sorted {
		ever[d.Pointer]++
		if c.recent(d.At) {
			lately[d.Pointer]++
		}
	}
	best := sorted[len(sorted)-1].Pointer
	for _, d := range slices.Backward(sorted) {
		if cmp.Or(cmp.Compare(lately[d.Pointer], lately[best]), cmp.Compare(ever[d.Pointer], ever[best])) > 0 {
			best = d.Pointer
		}
	}
	return best
}

// bySet adds the boxes of a drawing up; lines without a set are left to All.
func bySet(d Drawing) map[string]sheet {
	sets := map[string]sheet{}
	for _, k := range d.Sets {
		if k.Name == "" || k.Lines == 0 {
			continue
		}
		m := sets[k.Name]
		if k.Early != nil {
			m.early += *k.Early
			m.earlyN++
		}
		m.lines += k.Lines
		m.sumSq += sq(k.RMS) * float64(k.Lines)
		m.signed += k.SumSigned
		sets[k.Name] = m
	}
	return sets
}

func signed(d Drawing) float64 {
	sum := 0.0
	for _, k := range d.Sets {
		sum += k.SumSigned
	}
	return sum
}

func rank(set string) int {
	if i := slices.Index([]string{"width", "depth", "height"}, set); i >= 0 {
		return i
	}
	return 3
}

func sq(x float64) float64 { return x * x }
