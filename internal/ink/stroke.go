// Package ink knows what a pen leaves behind: strokes as the pen's samples,
// their validation, cleaning and the straight line that best fits one, with
// its uncertainty. It never changes its input.
package ink

// Role says what a stroke is meant as.
type Role string

// The roles.
const (
	RoleEdge         Role = "edge"
	RoleConstruction Role = "construction"
)

// Pointer is the kind of input an attempt, or a stroke, was drawn with.
type Pointer string

// The pointers. Ruler, TwoTap and Keyboard lines are straight by construction
// and say nothing about the hand.
const (
	Pen      Pointer = "pen"
	Touch    Pointer = "touch"
	Mouse    Pointer = "mouse"
	Keyboard Pointer = "keyboard"
	TwoTap   Pointer = "twotap"
	Ruler    Pointer = "ruler"
)

// FreeHand reports whether lines drawn with p carry the hand's own noise.
func (p Pointer) FreeHand() bool { return p == Pen || p == Touch || p == Mouse }

// Input describes the device of an attempt.
type Input struct {
	Pointer Pointer
	PxPerMM float64 // screen pixels per sheet millimetre; 0: not told
}

// Stroke is the pen's samples as columns. X and Y are millimetres on the
// sheet and of equal length, at least 2; T is milliseconds since the sheet
// was shown and P the pressure from 0 to 1; both may be nil.
type Stroke struct {
	Role Role
	By   Pointer // "": as the attempt's Input says
	X, Y []float64
	T, P []float64
}

// Limits of one attempt. They are part of the public contract.
const (
	MaxStrokes = 512
	MinSamples = 2
	MaxSamples = 4096
	// MaxReach is how many sheet widths a sample may lie off the sheet.
	MaxReach = 3
)
