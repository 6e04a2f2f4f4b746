package grade

import (
	"math"

	"boxwright/internal/geom"
)

// LengthLaw returns how much wider the hand scatters on a line of the given
// length in mm than on one of 80 mm, where it is 1: sqrt(0.36 + 0.64*80/L),
// with L held between 8 and 400 mm. Fitted to simulated trained hands.
func LengthLaw(length float64) float64 {
	if !(length >= 8) {
		length = 8
	}
	return math.Sqrt(0.36 + 0.64*80/min(length, 400))
}

// Excess returns an error as what it would be on a line of 80 mm, in degrees,
// for an expected edge of the given length.
func Excess(e geom.Angle, length float64) float64 {
	return math.Abs(e.Degrees()) / LengthLaw(length)
}

// LineScore returns the score of one line, in (0, 100]: 100 for a perfect
// one, 50 at 3 degrees of Excess, falling strictly and never reaching 0.
func LineScore(excess float64) float64 { return 100 * 3 / (3 + excess) }

// bandEdges are the upper ends of all bands but the last, in degrees of
// Excess.
var bandEdges = [...]float64{0.5, 1.2, 2.4, 4.5, 9}

// Band returns the band of an Excess, 0 (finest) to 5.
func Band(excess float64) int {
	for i, e := range bandEdges {
		if excess < e {
			return i
		}
	}
	return len(bandEdges)
}

// usualHand is the scatter at 80 mm that stands for a hand with no history.
var usualHand = geom.Degrees(1.5)

// outside reports whether an error lies outside what the device and the hand
// explain: beyond twice their joint standard deviation.
func outside(e, device geom.Angle, length float64, h Hand) bool {
	s := usualHand
	if h.known() {
		s = h.SD
	}
	return math.Abs(float64(e)) > 2*math.Hypot(float64(device), float64(s)*LengthLaw(length))
}

// known reports whether there is a history that makes sense.
func (h Hand) known() bool { return h.DOF > 0 && h.SD > 0 && h.SD < math.Pi }
