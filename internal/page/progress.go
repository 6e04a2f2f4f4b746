package page

import (
	"strconv"
	"time"

	"boxwright/internal/drill"
	"boxwright/internal/progress"
	"boxwright/internal/sheet"
)

// Progress is the progress page.
type Progress struct {
	Empty     bool
	Summary   string
	DaysChart string   // SVG
	Days      []DayRow // the table behind it, latest first
	Skills    []SkillPart
	Recent    []RecentCard
}

// DayRow is one practised day in words.
type DayRow struct{ Date, Sheets string }

// SkillPart is one skill's part of the page.
type SkillPart struct {
	Key, Name string
	Note      string // what was counted
	Chart     string // SVG; "": no day to show
	Sets      []SetRecord
	Days      []SetDay // the table behind the chart, latest first
}

// SetRecord is one set's summary: its error lately and in all, each with the
// range that holds it.
type SetRecord struct {
	Class, Set, Sheets, Lines string
	Lately, LatelyRange       string
	All, AllRange             string
}

// SetDay is one line of the table behind a chart.
type SetDay struct{ Date, Set, Sheets, Lines, Error, Range string }

// Recent is one handed-in sheet; Handed is in the learner's time zone.
type Recent struct {
	Attempt string
	Handed  time.Time
	Kind    drill.Kind
	View    drill.View
	Level   int
	Score   int
	Picture string // SVG
}

// RecentCard is one of the last sheets.
type RecentCard struct{ Address, Name, Date, Score, Picture string }

// untold stands where nothing can be said.
const untold = "can't tell yet"

// lately names the span of a record's first figures.
var lately = "Last " + strconv.Itoa(progress.RecentDays) + " days"

// chartDays is how many days the chart of the days goes back at most.
const chartDays = 91

// NewProgress makes the progress page of a report and the last sheets, the
// latest first. today is the learner's date.
func NewProgress(r progress.Report, last []Recent, today time.Time) Progress {
	m := Progress{Empty: r.Drawings == 0}
	m.Summary = count(r.Drawings, "sheet", "sheets") + " handed in, on " + count(len(r.Days), "day", "days") + "."
	today = date(today)
	if len(r.Days) > 0 {
		m.DaysChart = daysChart(r.Days, today)
	}
	for i := len(r.Days) - 1; i >= 0; i-- {
		d := r.Days[i]
		m.Days = append(m.Days, DayRow{day(d.Date), strconv.Itoa(d.Drawings)})
	}
	for _, s := range r.Skills {
		m.Skills = append(m.Skills, skillPart(s))
	}
	for _, c := range last {
		m.Recent = append(m.Recent, RecentCard{
			Address: "/attempts/" + c.Attempt,
			Name:    skillName(c.Kind, c.View) + ", level " + strconv.Itoa(c.Level),
			Date:    day(c.Handed),
			Score:   strconv.Itoa(c.Score) + " / 100",
			Picture: c.Picture,
		})
	}
	return m
}

// date is t's day as midnight UTC, as package progress has its days.
func date(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// daysChart draws the days from the first one, or chartDays ago, to today.
func daysChart(days []progress.Day, today time.Time) string {
	p := sheet.Practice{From: days[0].Date, To: today}
	if earliest := today.AddDate(0, 0, 1-chartDays); p.From.Before(earliest) {
		p.From = earliest
	}
	if p.To.Before(days[len(days)-1].Date) {
		p.To = days[len(days)-1].Date
	}
	for _, d := range days {
		p.Days = append(p.Days, sheet.DayCount{Day: d.Date, Attempts: d.Drawings})
	}
	return sheet.DaysChart(p)
}

// skillPart makes one skill's part. A drill without sets shows all its lines
// as one series.
func skillPart(s progress.Skill) SkillPart {
	p := SkillPart{
		Key:  string(s.Kind) + "-" + string(s.View),
		Name: skillName(s.Kind, s.View),
		Note: skillNote(s),
	}
	series := s.Sets
	if len(series) == 0 {
		series = []progress.Series{s.All}
	}
	for _, r := range series {
		p.Sets = append(p.Sets, setRecord(r))
		for i := len(r.Points) - 1; i >= 0; i-- {
			p.Days = append(p.Days, setDay(r.Set, r.Points[i]))
		}
	}
	p.Chart = errorChart(p.Name, series)
	return p
}

// skillNote says what was counted: sheets drawn with one pointer only.
func skillNote(s progress.Skill) string {
	n := count(s.Drawings, "sheet", "sheets")
	if s.Pointer != "" {
		n += " drawn " + pointerWords(s.Pointer)
	}
	if s.Others > 0 {
		n += "; " + strconv.Itoa(s.Others) + " drawn otherwise are not counted here"
	}
	return n + "."
}

// pointerWords says with what a sheet was drawn.
func pointerWords(p string) string {
	switch p {
	case "touch":
		return "with the finger"
	case "keyboard":
		return "with keys"
	case "twotap":
		return "by two taps"
	}
	return "with the " + p
}

func setRecord(s progress.Series) SetRecord {
	r := SetRecord{Set: setName(s.Set), Sheets: strconv.Itoa(s.Drawings), Lines: strconv.Itoa(s.Lines)}
	if s.Set != "" {
		r.Class = "set-" + s.Set
	}
	r.Lately, r.LatelyRange = estimate(s.Recent)
	r.All, r.AllRange = estimate(s.Overall)
	return r
}

// setName names a series in a table.
func setName(set string) string {
	if set == "" {
		return "Lines"
	}
	return capital(set)
}

// estimate prints an error and the range that holds it.
func estimate(e *progress.Estimate) (value, span string) {
	if e == nil {
		return untold, ""
	}
	return fixed(e.Error, 1) + "°", between(e.Low, e.High)
}

// between prints a range: "1.2° to 3.9°".
func between(low, high float64) string { return fixed(low, 1) + "° to " + fixed(high, 1) + "°" }

func setDay(set string, p progress.Point) SetDay {
	d := SetDay{
		Date: day(p.Date), Set: setName(set),
		Sheets: strconv.Itoa(p.Drawings), Lines: strconv.Itoa(p.Lines),
		Error: fixed(p.Error, 1) + "°", Range: untold,
	}
	if p.Low != nil && p.High != nil {
		d.Range = between(*p.Low, *p.High)
	}
	return d
}

// errorChart draws the series from their first day to their last; "" when
// there is no day.
func errorChart(name string, series []progress.Series) string {
	t := sheet.ErrorTrend{Name: name}
	for _, s := range series {
		c := sheet.ErrorSeries{Name: setName(s.Set), Set: hue(s.Set)}
		for _, p := range s.Points {
			e := sheet.DayError{Day: p.Date, Error: p.Error, Low: p.Error, High: p.Error}
			if p.Low != nil && p.High != nil {
				e.Low, e.High = *p.Low, *p.High
			}
			c.Days = append(c.Days, e)
			if t.From.IsZero() || p.Date.Before(t.From) {
				t.From = p.Date
			}
			if p.Date.After(t.To) {
				t.To = p.Date
			}
		}
		t.Series = append(t.Series, c)
	}
	if t.From.IsZero() {
		return ""
	}
	return sheet.ErrorChart(t)
}
