package sheet

import (
	"fmt"
	"math"
	"time"

	"boxwright/internal/geom"
)

// ErrorTrend is what an ErrorChart shows: one view's errors over time, a
// series for each set. Days are dates at midnight of one zone.
type ErrorTrend struct {
	Name     string // of the view, such as "two-point"
	From, To time.Time
	Series   []ErrorSeries
}

// ErrorSeries is the errors of one set, or of a whole drill with the Hue
// NoSet, day by day in order.
type ErrorSeries struct {
	Name string // "Width"
	Set  Hue
	Days []DayError
}

// DayError is one day's error in degrees with its spread. Low and High bound
// the spread and may equal Error.
type DayError struct {
	Day              time.Time
	Error, Low, High float64
}

// The error chart's rows.
const (
	rowHead = 22
	rowPlot = 72
	rowGap  = 12
)

// ErrorChart draws the errors over time, one row a set on a common scale that
// gives small errors more room, place growing as log(1 + degrees). Days with
// numbers that are not finite are left out; a series without days says so.
func ErrorChart(t ErrorTrend) string {
	height := float64(len(t.Series))*(rowHead+rowPlot+rowGap) + 18
	w := chart("error-chart", "Error over time, "+t.Name, t.words(), height)
	span := days{t.From, t.To}
	top := t.top()
	for i, s := range t.Series {
		y := float64(i) * (rowHead + rowPlot + rowGap)
		w.c.Group(attr("class", "chart-row "+hues[s.Set].class))
		w.errorRow(s, span, y, top)
		w.c.Gend()
	}
	w.axis(span, height-5)
	return w.close()
}

// words says the chart in text: every set's first and last day.
func (t ErrorTrend) words() string {
	var all string
	if len(t.Series) == 0 {
		all = "Nothing yet."
	}
	for _, s := range t.Series {
		d := s.sound()
		if all != "" {
			all += " "
		}
		switch n := len(d); n {
		case 0:
			all += s.Name + ": nothing yet."
		case 1:
			all += fmt.Sprintf("%s: %.1f° on %s.", s.Name, d[0].Error, dayName(d[0].Day))
		default:
			all += fmt.Sprintf("%s: from %.1f° on %s to %.1f° on %s.", s.Name,
				d[0].Error, dayName(d[0].Day), d[n-1].Error, dayName(d[n-1].Day))
		}
	}
	return all
}

// sound returns the days whose numbers are finite and in order.
func (s ErrorSeries) sound() []DayError {
	out := make([]DayError, 0, len(s.Days))
	for _, d := range s.Days {
		if d.Error >= 0 && d.Error <= 180 && d.Low >= 0 && d.Low <= d.Error && d.High >= d.Error && d.High <= 180 {
			out = append(out, d)
		}
	}
	return out
}

// top returns the end of the common scale: a power of two that holds all.
func (t ErrorTrend) top() float64 {
	top := 4.
	for _, s := range t.Series {
		for _, d := range s.sound() {
			for d.High > top {
				top *= 2
			}
		}
	}
	return top
}

func (w *writer) errorRow(s ErrorSeries, span days, y, top float64) {
	base := y + rowHead + rowPlot
	place := func(deg float64) float64 { return base - rowPlot*math.Log1p(deg)/math.Log1p(top) }
	colour := attr("color", hues[s.Set].colour)
	w.key(s.Set, chartLeft, y+11, colour)
	w.c.Text(chartLeft+30, y+15, s.Name, `class="chart-name" font-size="13" font-weight="700" fill="`+colourInk+`"`)
	for d := 0.; d <= top; d = max(1, 2*d) {
		w.c.Line(chartLeft, place(d), chartWidth-chartRight, place(d), `class="chart-grid"`, chartGrid)
		if d == 0 || place(d/2)-place(d) > chartText || d == 1 {
			w.c.Text(chartLeft-6, place(d)+4, degrees(d), `class="chart-text" font-size="12"`, chartInk+anchor(End))
		}
	}
	data := s.sound()
	if len(data) == 0 {
		w.c.Text(chartLeft+8, base-rowPlot/2+4, "nothing yet", `class="chart-text" font-size="12"`, chartInk)
		return
	}
	w.spread(data, span, place, colour)
	if len(data) > 1 {
		var p path
		for i, d := range data {
			v := geom.Vec{X: span.x(d.Day), Y: place(d.Error)}
			if i == 0 {
				p.move(v)
			} else {
				p.line(v)
			}
		}
		a := `class="chart-line" fill="none" stroke="currentColor" stroke-width="1.5"` + colour
		if dash := hues[s.Set].dash; dash != nil {
			a += dashAttr(dash, 2)
		}
		w.c.Path(p.String(), a)
	}
	for _, d := range data {
		w.glyph(s.Set, geom.Vec{X: span.x(d.Day), Y: place(d.Error)}, 3, `class="chart-dot" fill="currentColor"`+colour)
	}
}

// spread draws the band of several days, the bar of a single one.
func (w *writer) spread(data []DayError, span days, place func(float64) float64, colour string) {
	if len(data) == 1 {
		x := span.x(data[0].Day)
		w.c.Line(x, place(data[0].Low), x, place(data[0].High),
			`class="chart-bar" stroke="currentColor" stroke-width="2" opacity=".6"`+colour)
		return
	}
	var band []geom.Vec
	for _, d := range data {
		band = append(band, geom.Vec{X: span.x(d.Day), Y: place(d.High)})
	}
	for i := len(data) - 1; i >= 0; i-- {
		band = append(band, geom.Vec{X: span.x(data[i].Day), Y: place(data[i].Low)})
	}
	w.c.Path(polygon(band), `class="chart-band" fill="currentColor" opacity=".18"`+colour)
}

// key writes the sample of a set's line and dot before its name.
func (w *writer) key(h Hue, x, y float64, colour string) {
	a := `class="chart-key" stroke="currentColor" stroke-width="2"` + colour
	if dash := hues[h].dash; dash != nil {
		a += dashAttr(dash, 2)
	}
	w.c.Line(x, y, x+22, y, a)
}
