// Package progress says what a learner's drawings amount to over time, and
// how sure that is. It is pure: drawings, zone and time go in, plain figures
// come out. It knows no records and no streaks: the best of many drawings
// only shows that there were many.
package progress

import (
	"time"

	"boxwright/internal/drill"
)

// Drawing is one handed-in sheet with its measured errors, degrees
// throughout.
type Drawing struct {
	ID      string
	At      time.Time
	Kind    drill.Kind
	View    drill.View
	Level   int
	Pointer string // what it was drawn with
	Score   int
	Lines   int      // graded lines
	RMS     *float64 // over these lines; nil: none was drawn
	Sets    []Set
}

// Set is what the lines of one set of one box of a drawing amount to. A
// drill without sets has none, or one without a name.
type Set struct {
	Box       int
	Name      string
	Lines     int
	RMS       float64
	SumSigned float64  // sum of the lines' signed errors, + clockwise
	Early     *float64 // how much too early (+) or too late (-) the set meets; nil: not determined
}

// RecentDays is how many calendar days, today included, count as recent.
const RecentDays = 28

// calendar turns moments into the learner's calendar days.
type calendar struct {
	loc   *time.Location
	since time.Time // the first recent day
}

func newCalendar(loc *time.Location, now time.Time) calendar {
	c := calendar{loc: loc}
	c.since = c.day(now).AddDate(0, 0, 1-RecentDays)
	return c
}

// day returns the calendar day of t as midnight UTC of that date, so that
// days compare and count alike whatever summer time does.
func (c calendar) day(t time.Time) time.Time {
	y, m, d := t.In(c.loc).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

func (c calendar) recent(t time.Time) bool { return !c.day(t).Before(c.since) }
