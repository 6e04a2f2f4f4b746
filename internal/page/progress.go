package page

import (
	"strconv"
	"time"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// History is what the progress page is made from. Times are in the learner's
// time zone, pictures are SVG and may be empty.
type History struct {
	Sheets    int // handed in altogether
	Days      []Practised
	DaysChart string
	Skills    []Skill
	Recent    []Recent
}

// Practised is one day on which sheets were handed in.
type Practised struct {
	Date   time.Time
	Sheets int
}

// Skill is one drill in one view with its record over time.
type Skill struct {
	Kind  drill.Kind
	View  drill.View
	Chart string
	Sets  []SetRecord
}

// SetRecord is the error of one set over time. Overall is nil where nothing
// can be said yet.
type SetRecord struct {
	Set     string // "width", "depth", "height"; "": lines of no set
	Sheets  int
	Lines   int
	Overall *Spread
	Days    []SetDay // oldest first
}

// SetDay is one day of a SetRecord.
type SetDay struct {
	Date   time.Time
	Sheets int
	Error  Spread
}

// Spread is an error with the range it was found in.
type Spread struct{ Error, Low, High geom.Angle }

// Recent is one handed-in sheet.
type Recent struct {
	Attempt string
	Handed  time.Time
	Kind    drill.Kind
	View    drill.View
	Level   int
	Score   int
	Picture string
}

// Progress is the progress page.
type Progress struct {
	Empty     bool
	Summary   string
	DaysChart string
	Days      []DayRow // latest first
	Skills    []SkillPart
	Recent    []RecentCard
}

// DayRow is one practised day in words.
type DayRow struct{ Date, Sheets string }

// SkillPart is one skill's part of the page.
type SkillPart struct {
	Key, Name string
	Chart     string
	Sets      []RecordRow
	Days      []RecordDay // the table behind the chart, latest first
}

// RecordRow is one set's summary.
type RecordRow struct{ Class, Set, Sheets, Lines, Error, Range string }

// RecordDay is one line of the table behind a chart.
type RecordDay struct{ Date, Set, Sheets, Error, Range string }

// RecentCard is one of the last sheets.
type RecentCard struct{ Address, Name, Date, Score, Picture string }

// untold stands where nothing can be said.
const untold = "can't tell yet"

// NewProgress makes the progress page.
func NewProgress(h History) Progress {
	m := Progress{Empty: h.Sheets == 0, DaysChart: h.DaysChart}
	m.Summary = count(h.Sheets, "sheet", "sheets") + " handed in, on " + count(len(h.Days), "day", "days") + "."
	for i := len(h.Days) - 1; i >= 0; i-- {
		m.Days = append(m.Days, DayRow{day(h.Days[i].Date), strconv.Itoa(h.Days[i].Sheets)})
	}
	for _, s := range h.Skills {
		m.Skills = append(m.Skills, skillPart(s))
	}
	for _, r := range h.Recent {
		m.Recent = append(m.Recent, RecentCard{
			Address: "/attempts/" + r.Attempt,
			Name:    skillName(r.Kind, r.View) + ", level " + strconv.Itoa(r.Level),
			Date:    day(r.Handed),
			Score:   strconv.Itoa(r.Score) + " / 100",
			Picture: r.Picture,
		})
	}
	return m
}

// skillPart makes one skill's part.
func skillPart(s Skill) SkillPart {
	p := SkillPart{
		Key:   string(s.Kind) + "-" + string(s.View),
		Name:  skillName(s.Kind, s.View),
		Chart: s.Chart,
	}
	for _, r := range s.Sets {
		row := RecordRow{
			Set: "Lines", Sheets: strconv.Itoa(r.Sheets), Lines: strconv.Itoa(r.Lines),
			Error: untold, Range: "–",
		}
		if r.Set != "" {
			row.Class, row.Set = "set-"+r.Set, capital(r.Set)
		}
		if r.Overall != nil {
			row.Error, row.Range = degrees(r.Overall.Error), r.Overall.span()
		}
		p.Sets = append(p.Sets, row)
		for i := len(r.Days) - 1; i >= 0; i-- {
			d := r.Days[i]
			p.Days = append(p.Days, RecordDay{day(d.Date), row.Set, strconv.Itoa(d.Sheets), degrees(d.Error.Error), d.Error.span()})
		}
	}
	return p
}

// span prints the range: "0.8° to 2.1°".
func (s Spread) span() string {
	if s.Low == s.High {
		return "–"
	}
	return degrees(s.Low) + " to " + degrees(s.High)
}
