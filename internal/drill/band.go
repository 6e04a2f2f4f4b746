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
	distance span // viewing distance, mm
	turn     span // angle to the picture plane of the level set nearer to it, deg
	pitch    span // three-point: of the line of sight up or down, deg
	hull     span // extent on the sheet, mm: a third to two thirds of its shorter side
	reach    reach
	limits   perspective.Limits
	lean     geom.Angle // most the near upright may lean; a box seen askew reads as tipped
	// ownHorizon: the horizon is all that is shown, so it must be in sight and
	// the given edges must cut it clearly.
	ownHorizon bool
}

// calm is the half angle of a calm picture: the trade's 37 degrees in full
// (Storey 1910, p. 18: the distance is 1.5 times the object's extent).
var calm = geom.Degrees(18.4)

// A box covers a third to two thirds of the sheet's shorter side, and is seen
// from a distance at which a sheet of its size is held or pinned up (Storey
// 1910, p. 18); nearer only where both points must lie on the sheet, and the
// box is then small.
const (
	minHull, maxHull         = 70, 140
	minDistance, maxDistance = 220, 420
	maxCloseHull             = 88
)

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

// bandOf returns the band of a view's level for what is planned.
func bandOf(v View, level int, p *plan) band {
	g := group(level)
	t := float64(level-MinLevel) / (MaxLevel - MinLevel)
	b := band{limits: perspective.Sound, ownHorizon: g == 3}
	b.limits.Spread = geom.Degrees([4]float64{6, 5, 4, 4}[g])
	b.limits.Edge = [4]float64{24, 20, 16, 15}[g]
	b.limits.Face = [4]float64{12, 10, 8, 8}[g]
	b.lean = geom.Degrees([4]float64{6, 8, 10, 10}[g])
	b.turn = span{[4]float64{33, 25, 18, 15}[g], 45}
	b.hull = span{100 - float64(30*t), 140 - float64(40*t)}
	switch v {
	case One:
		b.one(p, g)
	case Two:
		b.two(p, g)
	case Three:
		b.three(p, g)
	}
	if p.stand == across && v != One {
		// Only two faces can be seen, and no corner of three.
		b.limits.Faces = [4]int{3, 2, 2, 2}
	}
	return b
}

// one suits b to the one-point view. The shortest receding edge and the cone
// leave little room: a cube, as deep as it is wide, must be big, near and
// straight ahead or across the eye level; a tower needs a far eye.
func (b *band) one(p *plan, g int) {
	b.distance = [4]span{{220, 270}, {220, 300}, {}, {240, 340}}[g] // beside the sheet at levels 7 and 8
	b.reach = onSheet
	b.limits.Edge = [4]float64{18, 16, 15, 15}[g]
	b.limits.Face = [4]float64{10, 9, 8, 8}[g]
	switch {
	case p.aside:
		b.distance = span{320, 420}
		b.reach = offSheet
	case p.form == cube:
		b.distance = span{220, 270}
		b.hull = span{84, 110}
		b.limits.Edge, b.limits.Face = 15, 8
	case p.form == tower && p.stand != across:
		b.distance = span{320, 420}
		b.hull = span{90, 130}
		b.limits.Edge, b.limits.Face = 15, 8
	}
}

// two suits b to the two-point view.
func (b *band) two(p *plan, g int) {
	b.distance = [4]span{{220, 250}, {230, 320}, {270, 400}, {290, 420}}[g]
	b.reach = [4]reach{nearby, anywhere, offSheet, anywhere}[g]
	if g == 0 {
		b.turn.lo = 40
	}
	switch {
	case p.close:
		b.distance = span{118, 140}
		b.hull = span{minHull, maxCloseHull}
		b.turn.lo = 37
		b.reach = onSheet
		b.limits.Edge, b.limits.Face = 18, 10
	case p.oblique:
		// A far point, and yet edges that run to it: near, and well off the
		// eye level.
		b.distance = span{220, 290}
		b.hull = span{95, maxHull}
		b.turn = span{15, 24}
		b.limits.Edge, b.limits.Face, b.limits.Spread = 15, 8, perspective.Sound.Spread
	case p.form == tower && p.stand != across:
		// High and off the eye level: only a farther eye holds it in its cone.
		b.hull.hi = min(maxHull, b.hull.hi+12)
		b.limits.Edge, b.limits.Face = [4]float64{18, 16, 15, 15}[g], 8
		if g == 0 {
			b.distance = span{245, 285}
			b.turn.lo = 43
		}
	}
}

// three suits b to the three-point view. Across the eye level the uprights
// converge enough only in a broad box.
func (b *band) three(p *plan, g int) {
	b.distance = [4]span{{240, 300}, {300, 390}, {290, 400}, {250, 360}}[g]
	b.pitch = [4]span{{34, 44}, {24, 48}, {19, 54}, {15, 24}}[g]
	b.reach = [4]reach{anywhere, anywhere, offSheet, anywhere}[g]
	if g == 0 {
		b.limits.Cone = calm
	}
	if p.stand == across {
		b.distance = span{240, 320}
		b.pitch = span{16, 26}
		b.hull = span{96, maxHull}
		b.limits.Spread = perspective.Sound.Spread
	}
}
