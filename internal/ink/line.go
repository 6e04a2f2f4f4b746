package ink

import (
	"math"

	"boxwright/internal/geom"
)

// Line is the straight line that a stroke means, with its uncertainty and
// with what the stroke does besides being straight. All lengths are in mm.
type Line struct {
	Mid    geom.Vec // centroid of the fitted part
	Dir    geom.Vec // unit vector, in the direction of travel
	Length float64  // of the fitted part, without hooks

	// Start and End are where the pen went down and came up, measured along
	// Dir from Mid; a hook that runs backwards is left out of them.
	Start, End float64

	// Device is the standard deviation of the direction that the input device
	// alone explains; Hand that of the directions which the same intention
	// could have given, judged by the stroke's own unsteadiness. Offset is the
	// standard deviation of the line's place across itself.
	Device, Hand geom.Angle
	Offset       float64

	// Bow is the sagitta, positive when the middle lies to the clockwise side
	// of the travel (to the right on the sheet when drawn upward); Curve is
	// the S-curve part, Wobble the rms of the rest, Crooked the rms of all
	// three about the straight line.
	Bow, Curve, Wobble, Crooked float64

	Samples  int     // distinct samples that were used
	Pressure float64 // mean; -1 when the stroke has none
	Exact    bool    // two distinct samples: a segment, no hand in it
}

// From returns the fitted part's first end in the direction of travel.
func (l Line) From() geom.Vec { return l.Mid.Sub(l.Dir.Scale(l.Length / 2)) }

// To returns the fitted part's last end.
func (l Line) To() geom.Vec { return l.Mid.Add(l.Dir.Scale(l.Length / 2)) }

// BowReal reports whether the bow stands out of the line's own wobble; else
// the line is at most wobbly.
func (l Line) BowReal() bool { return math.Abs(l.Bow) > 2*math.Hypot(2*l.Wobble, 0.05) }

// Noise is the standard deviation, in mm, of one position report of a
// pointer. Measured values for pen, mouse and touch; a two-tap, ruler or
// keyboard end is set down by pixels, about as exactly as by a mouse.
func (p Pointer) Noise() float64 {
	switch p {
	case Pen:
		return 0.08
	case Touch:
		return 0.30
	}
	return 0.15
}

// deviceLaw is what real devices add to the plain error propagation of a
// line fit: their reports are correlated.
const deviceLaw = 1.3

// Uncertainty returns the standard deviations of a line's direction, as the
// device p alone and as the hand explains it, and of its place across itself,
// from its Length, Samples, Curve and Wobble.
func (l Line) Uncertainty(p Pointer) (device, hand geom.Angle, offset float64) {
	sig, n := p.Noise(), float64(l.Samples)
	dev := deviceLaw * math.Sqrt(12/n) * sig / l.Length
	// co3 of the Legendre fit and the wobble, as slopes over the length.
	c3, wob := l.Curve/l.Length, 3*l.Wobble/l.Length
	q := 0.6 * l.Wobble
	return geom.Angle(dev),
		geom.Angle(math.Sqrt(float64(c3*c3) + float64(wob*wob) + float64(dev*dev))),
		math.Sqrt(float64(q*q) + float64(sig*sig)/n)
}
