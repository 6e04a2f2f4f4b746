package page

import (
	"math"
	"strconv"

	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/sheet"
)

// Strip is the small strip of dots beside a set: each line's error, the
// band shaded. Its numbers are in the units of its own view box, stripWidth
// by stripHeight.
type Strip struct {
	Label        string // the same in words
	BandX, BandW string
	Dots         []Dot
	Low, High    string // the ends of its scale
}

// Dot is one line's error in a Strip.
type Dot struct {
	X, Y    string
	Outside bool
}

const (
	stripWidth  = 132.0
	stripHeight = 44.0
	stripMiddle = stripWidth / 2
	stripReach  = 54.0 // from the middle to the end of the scale
	// unknownHand is the scatter that stands in for a hand without history,
	// degrees at 80 mm.
	unknownHand = 1.5
)

// stripScales are the half widths that a strip's scale may have, degrees.
var stripScales = [...]float64{4, 8, 15, 30, 90}

// newStrip draws the errors of some lines. The scale is the smallest of
// stripScales that holds them all and the band.
func newStrip(l []grade.Line, hand *geom.Angle) Strip {
	band := 2 * unknownHand
	if hand != nil {
		band = 2 * math.Abs(hand.Degrees())
	}
	widest := band
	for _, e := range l {
		widest = max(widest, math.Abs(e.Error.Degrees()))
	}
	scale := stripScales[len(stripScales)-1]
	for _, s := range stripScales {
		if widest <= s {
			scale = s
			break
		}
	}
	at := func(deg float64) float64 { return deg / scale * stripReach }
	half := min(at(band), stripMiddle)
	s := Strip{
		BandX: coordinate(stripMiddle - half), BandW: coordinate(2 * half),
		Low: minus + fixed(scale, 0) + "°", High: "+" + fixed(scale, 0) + "°",
	}
	words := make([]string, len(l))
	for i, e := range l {
		words[i] = sheet.Signed(e.Error)
		s.Dots = append(s.Dots, Dot{
			X: coordinate(stripMiddle + at(e.Error.Degrees())),
			// Three heights keep dots of nearly equal errors apart.
			Y:       coordinate(7 + float64(i%3)*8),
			Outside: e.Outside,
		})
	}
	s.Label = "Errors: " + list(words) + ". Band: ±" + fixed(band, 1) + "°."
	if len(l) == 0 {
		s.Label = "No line drawn."
	}
	return s
}

// coordinate prints a view box coordinate.
func coordinate(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
