package sheet

import (
	"fmt"
	"strconv"
	"time"
)

// Practice is what a DaysChart shows: how many sheets were handed in on each
// day from From to To. Days are dates at midnight of one zone.
type Practice struct {
	From, To time.Time
	Days     []DayCount
}

// DayCount is one day's number of attempts.
type DayCount struct {
	Day      time.Time
	Attempts int
}

// DaysChart draws the attempts by day as plain bars. Days outside the span
// and days without attempts draw nothing.
func DaysChart(p Practice) string {
	const plot, height, head = 80., 116., 12.
	most, sum, active := 0, 0, 0
	for _, d := range p.Days {
		if p.holds(d) {
			most = max(most, d.Attempts)
			sum += d.Attempts
			active++
		}
	}
	desc := fmt.Sprintf("%s on %s, from %s to %s.", count(sum, "sheet", "sheets"),
		count(active, "day", "days"), dayName(p.From), dayName(p.To))
	w := chart("days-chart", "Sheets by day", desc, height)
	span := days{p.From, p.To}
	top := max(4, (most+3)/4*4)
	base := head + plot
	place := func(n int) float64 { return base - plot*float64(n)/float64(top) }
	for _, n := range []int{0, top / 2, top} {
		w.c.Line(chartLeft, place(n), chartWidth-chartRight, place(n), `class="chart-grid"`, chartGrid)
		w.c.Text(chartLeft-6, place(n)+4, strconv.Itoa(n), `class="chart-text" font-size="12"`, chartInk+anchor(End))
	}
	whole := p.To.Sub(p.From).Hours()/24 + 1
	thick := min(16, max(2, .72*(chartWidth-chartLeft-chartRight-12)/max(1, whole)))
	for _, d := range p.Days {
		if !p.holds(d) {
			continue
		}
		w.c.Group(`class="day-bar" fill="` + colourInk + `"`)
		w.c.Title(dayName(d.Day) + ": " + count(d.Attempts, "sheet", "sheets"))
		w.c.Roundrect(span.x(d.Day)-thick/2, place(d.Attempts), thick, base-place(d.Attempts), 1, 1)
		w.c.Gend()
	}
	w.axis(span, height-5)
	return w.close()
}

// holds reports whether d is drawn.
func (p Practice) holds(d DayCount) bool {
	return d.Attempts > 0 && !d.Day.Before(p.From) && !d.Day.After(p.To)
}
