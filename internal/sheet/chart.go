package sheet

import (
	"math"
	"strconv"
	"time"

	"boxwright/internal/geom"
)

// The charts' unit is a CSS pixel on a phone: they are chartWidth wide and
// grow with their place.
const (
	chartWidth = 360
	chartLeft  = 38 // room for the axis' numbers
	chartRight = 10
	chartText  = 12
)

// The charts' colours on a light page; style sheets win over them by class.
const (
	chartInk  = `fill="` + colourQuiet + `"`
	chartGrid = `stroke="#CFCBBE" stroke-width="1"`
)

// days is the days that a chart covers, first and last included.
type days struct{ from, to time.Time }

// x returns the place of a day on the chart; a single day lies in the middle.
func (s days) x(day time.Time) float64 {
	const width = chartWidth - chartLeft - chartRight
	whole := s.to.Sub(s.from).Hours()
	if whole <= 0 {
		return chartLeft + width/2
	}
	// A little air at either end keeps whole dots inside.
	const air = 6
	return chartLeft + air + (width-2*air)*min(1, max(0, day.Sub(s.from).Hours()/whole))
}

// axis writes the days' names below a chart: the ends and, when there is
// room, the middle.
func (w *writer) axis(s days, y float64) {
	text := func(x float64, t time.Time, a Align) {
		w.c.Text(x, y, dayName(t), `class="chart-text" font-size="12"`, chartInk+anchor(a))
	}
	n := int(math.Round(s.to.Sub(s.from).Hours() / 24))
	switch {
	case n <= 0:
		text(s.x(s.from), s.from, Middle)
	case n < 2:
		text(s.x(s.from), s.from, Start)
		text(s.x(s.to), s.to, End)
	default:
		text(s.x(s.from)-6, s.from, Start)
		mid := s.from.AddDate(0, 0, n/2)
		text(s.x(mid), mid, Middle)
		text(s.x(s.to)+6, s.to, End)
	}
}

func dayName(t time.Time) string { return t.Format("2 Jan") }

// chart opens a chart of the given height.
func chart(class, title, desc string, height float64) *writer {
	w := newWriter()
	w.open("chart "+class, rect{Max: geom.Vec{X: chartWidth, Y: height}})
	w.title(title, desc)
	return w
}

// glyph writes the dot of a set: a disc for width and for no set, a lozenge
// for depth, a triangle for height.
func (w *writer) glyph(h Hue, at geom.Vec, r float64, attrs string) {
	switch h {
	case 2:
		k := 1.3 * r
		w.c.Path(polygon([]geom.Vec{{X: at.X, Y: at.Y - k}, {X: at.X + k, Y: at.Y}, {X: at.X, Y: at.Y + k}, {X: at.X - k, Y: at.Y}}), attrs)
	case 3:
		k := 1.25 * r
		w.c.Path(polygon([]geom.Vec{{X: at.X, Y: at.Y - k}, {X: at.X + k, Y: at.Y + .8*k}, {X: at.X - k, Y: at.Y + .8*k}}), attrs)
	default:
		w.c.Circle(at.X, at.Y, r, attrs)
	}
}

// degrees writes a number of degrees for an axis: no more decimals than it
// has.
func degrees(d float64) string { return strconv.FormatFloat(d, 'f', -1, 64) + "°" }
