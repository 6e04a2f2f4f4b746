package drill

import "math"

// stand says where the eye level runs.
type stand uint8

const (
	under  stand = iota // the whole box below the eye level
	over                // the whole box above it
	across              // the eye level runs through the box
)

// form is a class of proportions.
type form uint8

const (
	cube form = iota
	slab
	tower
	block
)

// plan is what is settled before a box is placed.
type plan struct {
	stand  stand
	form   form
	mirror bool
	close  bool // two-point: both points on the sheet
	aside  bool // one-point: the point beside the sheet
	// oblique, in two-point: one side almost square to the line of sight.
	oblique bool
}

// drawPlan settles the discrete part: boxes below, above and across the eye
// level, cubes, slabs, towers and blocks, mirrored as often as not.
func drawPlan(v View, level int, r *dice) plan {
	g := group(level)
	p := plan{
		stand: under, form: block,
		mirror:  r.chance(.5),
		close:   v == Two && g == 0 && r.chance([]float64{.6, .45, .3}[min(level, 3)-1]),
		aside:   v == One && r.chance([4]float64{0, .25, 1, .5}[g]),
		oblique: v == Two && r.chance([4]float64{0, .3, 0, .4}[g]),
	}
	switch d := r.float(); {
	case d < .20 && !(v == Three && g == 0), // a calm tilted view has no room for it
		d < .40 && p.close: // and nothing else high has room where the eye is near
		p.stand = across
	case d < .56:
		p.stand = over
	}
	switch d := r.float(); {
	case d < .31:
		p.form = cube
	case d < .51:
		p.form = slab
	case d < .77:
		p.form = tower
	}
	switch {
	case p.stand == across && p.form == slab: // both its level faces would be too thin
		p.form = tower
		if v == Three {
			p.form = cube
		}
	case p.stand == across && p.form == tower && v == Three:
		p.form = block // its uprights would be all but parallel
	case p.oblique && p.form == tower && p.stand != across:
		p.form = block
	case p.close && p.stand != across:
		p.form = slab // no higher box stays inside the cone
	}
	return p
}

// proportions draws width, depth and height of a form, in steps of a
// twentieth so that they can be told in plain numbers.
func proportions(f form, r *dice) [3]float64 {
	step := func(lo, hi float64) float64 { return math.Round(r.in(lo, hi)*20) / 20 }
	switch f {
	case slab:
		return [3]float64{step(.8, 1.4), step(.8, 1.4), step(.25, .6)}
	case tower:
		return [3]float64{step(.8, 1.2), step(.8, 1.4), step(1.4, 2.2)}
	case block:
		long, short := step(1.3, 2), step(.7, 1.1)
		if r.chance(.5) {
			long, short = short, long
		}
		return [3]float64{long, short, step(.7, 1.2)}
	}
	return [3]float64{1, 1, 1}
}

// below returns how far the box's middle lies below the horizon, in hulls: far
// enough for its level face to be seen, near enough for the cone.
func (p *plan) below(v View, r *dice) float64 {
	reach := [4]span{cube: {.5, 1}, slab: {.35, .9}, tower: {.9, 1.25}, block: {.45, .95}}[p.form]
	switch {
	case p.close:
		reach = span{.33, .6}
	case p.oblique:
		reach = span{reach.lo + .2, reach.hi + .25}
	case v == One && p.form == cube:
		reach = span{.7, 1}
	}
	switch p.stand {
	case under:
		return r.span(reach)
	case over:
		return -r.span(reach)
	}
	return r.in(-.25, .25)
}
