package drill

import (
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// reach says where a level wants the finite vanishing points of the level sets.
type reach uint8

const (
	anywhere reach = iota
	onSheet        // all of them on the sheet
	nearby         // on the sheet or less than half its width beside it
	offSheet       // none on the sheet
)

// band is what a level asks of a box: from calm, near and big to far, small
// and foreshortened.
type band struct {
	distance span    // viewing distance, mm
	turn     float64 // least angle of the level sets to the picture plane, deg
	pitch    span    // three-point: of the line of sight up or down, deg
	hull     span    // extent on the sheet, mm: a third to two thirds of its shorter side
	reach    reach
	limits   perspective.Limits
	// ownHorizon: the horizon is all that is shown, so it must be in sight and
	// the given edges must cut it clearly.
	ownHorizon bool
}

// Calm is the half angle of a calm picture: the trade's 37 degrees in full
// (Storey 1910, p. 18: the distance is 1.5 times the object's extent).
var calm = geom.Degrees(18.4)

// minDrawn is the least viewing distance, except where both points must lie
// on the sheet.
const minDistance, maxDistance = 220, 420

// group returns 0 to 3 for the levels 1-3, 4-6, 7-8 and 9-10, which are given
// in the same way.
func group(level int) int {
	switch {
	case level <= 3:
		return 0
	case level <= 6:
		return 1
	case level <= 8:
		return 2
	}
	return 3
}

// bandOf returns the band of a view's level. close asks for the two-point
// arrangement with both points on the sheet and a small box.
func bandOf(v View, level int, close bool) band {
	g := group(level)
	t := float64(level-MinLevel) / (MaxLevel - MinLevel)
	b := band{limits: perspective.Sound, ownHorizon: g == 3}
	b.limits.Spread = geom.Degrees([4]float64{6, 5, 4, 4}[g])
	b.limits.Edge = [4]float64{24, 20, 16, 15}[g]
	b.limits.Face = [4]float64{12, 10, 8, 8}[g]
	b.turn = [4]float64{33, 25, 18, 15}[g]
	b.hull = span{96 - 26*t, 132 - 36*t}
	switch v {
	case One:
		b.distance = [4]span{{220, 270}, {220, 300}, {320, 420}, {240, 420}}[g]
		b.reach = [4]reach{onSheet, onSheet, offSheet, anywhere}[g]
		b.limits.Edge = [4]float64{18, 16, 15, 15}[g]
		b.limits.Face = [4]float64{10, 9, 8, 8}[g]
	case Two:
		b.distance = [4]span{{220, 250}, {230, 320}, {270, 400}, {290, 420}}[g]
		b.reach = [4]reach{nearby, anywhere, offSheet, anywhere}[g]
		if g == 0 {
			b.turn = 40
		}
		if close {
			b.distance = span{118, 140}
			b.hull = span{70, 88}
			b.turn = 37
			b.reach = onSheet
			b.limits.Edge, b.limits.Face = 18, 10
		}
	case Three:
		b.distance = [4]span{{290, 360}, {260, 360}, {260, 400}, {250, 360}}[g]
		b.pitch = [4]span{{32, 44}, {26, 50}, {19, 54}, {15, 24}}[g]
		b.reach = [4]reach{anywhere, anywhere, offSheet, anywhere}[g]
		if g == 0 {
			b.limits.Cone = calm
		}
	}
	return b
}
