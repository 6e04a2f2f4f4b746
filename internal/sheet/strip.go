package sheet

import (
	"fmt"
	"math"
	"strings"

	"boxwright/internal/geom"
)

// Strip is what a DotStrip shows: the signed errors of one set's lines.
type Strip struct {
	Name string // "Width"
	Set  Hue
	Band geom.Angle // half width of the shaded band; 0: none
	Dots []StripDot
}

// StripDot is one line's error.
type StripDot struct {
	Error   geom.Angle
	Outside bool // outside the band of its own length
}

// stripScales are the ends that a strip's scale may have, degrees.
var stripScales = [...]float64{4, 8, 15, 30, 90}

// DotStrip draws each line's error as a dot on a scale from minus to plus,
// the band shaded. The scale ends at four degrees or at the next larger of
// stripScales that holds every dot. Dots that would touch are stacked, those
// outside their band are ringed red.
func DotStrip(s Strip) string {
	const width, height, base, end, r = 132., 46., 30., 58., 3.2
	scale := s.scale()
	place := func(a geom.Angle) float64 {
		return width/2 + end*max(-1, min(1, a.Degrees()/scale))
	}
	w := newWriter()
	w.open("strip "+hues[s.Set].class, rect{Max: geom.Vec{X: width, Y: height}})
	w.title("Errors, "+s.Name, s.words())
	if s.Band > 0 {
		lo, hi := place(-s.Band), place(s.Band)
		w.c.Rect(lo, 2, hi-lo, base, `class="strip-band" fill="#17233B" opacity=".13"`)
	}
	w.c.Line(width/2-end, base+2, width/2+end, base+2, `class="strip-axis"`, chartGrid)
	w.c.Line(width/2, 2, width/2, base+4, `class="strip-zero"`, `stroke="#8B887C" stroke-width="1"`)
	colour := attr("color", hues[s.Set].colour)
	for i, at := range stack(s.Dots, place, base-r, r) {
		a := `class="strip-dot" fill="currentColor"` + colour
		if s.Dots[i].Outside {
			a = `class="strip-dot outside" fill="currentColor" stroke="` + colourRed + `" stroke-width="1.5"` + colour
		}
		w.glyph(s.Set, at, r, a)
	}
	text := `class="chart-text" font-size="10.5"`
	w.c.Text(1, height-3, "−"+degrees(scale), text, chartInk)
	w.c.Text(width/2, height-3, "0", text, chartInk+anchor(Middle))
	w.c.Text(width-1, height-3, "+"+degrees(scale), text, chartInk+anchor(End))
	return w.close()
}

func (s Strip) scale() float64 {
	var far float64
	for _, d := range s.Dots {
		far = max(far, math.Abs(d.Error.Degrees()))
	}
	for _, e := range stripScales {
		if far <= e {
			return e
		}
	}
	return stripScales[len(stripScales)-1]
}

func (s Strip) words() string {
	if len(s.Dots) == 0 {
		return "No line drawn."
	}
	all := make([]string, len(s.Dots))
	for i, d := range s.Dots {
		all[i] = Signed(d.Error)
	}
	text := strings.Join(all, ", ") + "."
	if s.Band > 0 {
		text += fmt.Sprintf(" Band ±%.1f°.", s.Band.Degrees())
	}
	return text
}

// stack gives every dot the lowest of three rows where it touches no earlier
// one; when all are taken, the lowest.
func stack(dots []StripDot, place func(geom.Angle) float64, floor, r float64) []geom.Vec {
	out := make([]geom.Vec, 0, len(dots))
	for _, d := range dots {
		x := place(d.Error)
		row := 0
		for free := false; !free && row < 3; {
			free = true
			for _, o := range out {
				if math.Abs(o.X-x) < 2*r+1 && math.Abs(o.Y-(floor-float64(row)*(2*r+1.6))) < 1 {
					free = false
					row++
					break
				}
			}
		}
		out = append(out, geom.Vec{X: x, Y: floor - float64(row%3)*(2*r+1.6)})
	}
	return out
}
