package sheet

import (
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// The plan and the side view of the turntable: scale, size, letters.
const (
	planScale  = 5   // mm of the world to one mm of the plan
	planSide   = 150 // mm, of the square that is drawn on
	planEye    = 12  // mm, from the station point to the square's edge
	planLetter = 7.5 // mm, for these drawings are shown small
	planRing   = 2.4 // mm, radius of a vanishing point's ring
	planReach  = 700 // mm of the world, from the eye beyond everything
)

// planView is one of the two drawings in the making: its world axes, where
// the station point lies on it.
type planView struct {
	d       Drawing
	eye     geom.Vec
	x, y    geom.Vec3 // the world's directions to the right and down
	station perspective.Station
	paper   rect
}

func newPlan(v *Turned, eye geom.Vec, x, y geom.Vec3) *planView {
	p := &planView{d: newDrawing(drill.Size{Width: planSide, Height: planSide}, "sheet plan"),
		eye: eye, x: x, y: y, station: v.Station, paper: rect{Max: geom.Vec{X: planSide, Y: planSide}}}
	p.d.add(layerPaper, Group{Style: PaperEdge, Where: Anywhere, Marks: []Mark{p.paper.area()}})
	return p
}

// at returns where a place of the world, given from the eye, is drawn.
func (p *planView) at(q geom.Vec3) geom.Vec {
	return p.eye.Add(geom.Vec{X: q.Dot(p.x), Y: q.Dot(p.y)}.Scale(1. / planScale))
}

// line draws the part that fits of a line between two places given from the
// eye.
func (p *planView) line(s Style, h Hue, from, to geom.Vec3) {
	if in, ok := p.paper.clip(geom.Segment{A: p.at(from), B: p.at(to)}); ok {
		p.d.add(layerGiven, Group{Style: s, Set: h, Where: Anywhere, Marks: []Mark{Segments{in}}})
	}
}

// ray draws the line from the eye along dir to the place where it meets the
// picture plane, and its vanishing point there; an arrow where that lies
// outside. A direction parallel to the picture plane runs on both ways.
func (p *planView) ray(h Hue, dir geom.Vec3) {
	_, _, forward := p.station.Axes()
	c := dir.Dot(forward)
	if !p.station.Vanishing(dir).Finite() {
		p.line(TurnRay, h, dir.Scale(-planReach), dir.Scale(planReach))
		return
	}
	to := dir.Scale(p.station.Distance / c)
	p.line(TurnRay, h, geom.Vec3{}, to)
	at := p.at(to)
	if p.paper.grow(-planRing, -planRing).holds(at) {
		p.d.add(layerTrue, Group{Style: Vanishing, Set: h, Where: Anywhere, Marks: []Mark{Dot{at, planRing}}})
		p.d.add(layerTrue, Group{Style: VanishingDot, Set: h, Where: Anywhere, Marks: []Mark{Dot{at, planRing / 2.5}}})
		return
	}
	way, ok := at.Sub(p.eye).Unit()
	_, far, inside := p.paper.grow(-1, -1).span(p.eye, way, 0, 2*planSide)
	if ok && inside {
		p.d.add(layerTrue, Group{Style: ArrowHead, Set: h, Where: Anywhere, Marks: []Mark{Arrow{p.eye.Add(way.Scale(far)), way, 4}}})
	}
}

// square marks the right angle at the station point between the rays along a
// and b, where both meet the picture plane (Storey 1910, LXII, p. 113).
func (p *planView) square(a, b geom.Vec3) {
	const side = 26 // mm of the world
	_, _, forward := p.station.Axes()
	if !p.station.Vanishing(a).Finite() || !p.station.Vanishing(b).Finite() {
		return
	}
	a = a.Scale(math.Copysign(side, a.Dot(forward)))
	b = b.Scale(math.Copysign(side, b.Dot(forward)))
	p.line(Cone, NoSet, a, a.Add(b))
	p.line(Cone, NoSet, b, a.Add(b))
}

// label writes words centred at c, moved inside as far as need be.
func (p *planView) label(words string, c geom.Vec) {
	lines := []string{words}
	w, h := measure(lines, planLetter)
	b := (&placer{frame: p.paper}).inside(box(c, w, h))
	p.d.add(layerNotes, Group{Style: PlanLabel, Where: Anywhere, Marks: []Mark{setIn(b, lines, planLetter, Middle)}})
}

// sight draws the line of sight and the station point.
func (p *planView) sight() {
	_, _, forward := p.station.Axes()
	p.line(PlanSight, NoSet, geom.Vec3{}, forward.Scale(planReach))
	p.d.add(layerTrue, Group{Style: PlanDot, Where: Anywhere, Marks: []Mark{Dot{p.eye, 1.8}}})
}

// fromEye returns the corners of the box, seen from the eye.
func (v *Turned) fromEye() [8]geom.Vec3 {
	c := v.Box.Corners()
	for i := range c {
		c[i] = c[i].Sub(v.Station.Eye)
	}
	return c
}

// plan draws eye, picture plane and box from above, the line of sight
// straight up. The plan lies at eye level: there the picture plane stands
// d/cos(pitch) from the eye, and lines from the station point parallel to the
// level sets meet it in their vanishing points (common practice).
func (v *Turned) plan() Drawing {
	right, _, forward := v.Station.Axes()
	level, _ := geom.Vec{X: forward.X, Y: forward.Y}.Unit()
	ahead := geom.Vec3{X: level.X, Y: level.Y}
	p := newPlan(v, geom.Vec{X: planSide / 2, Y: planSide - planEye}, right, ahead.Scale(-1))
	p.d.Title = "Plan"
	p.d.Desc = "From above: station point, line of sight, picture plane and box. A line from the station point parallel to a level set meets the picture plane in that set's vanishing point."

	plane := ahead.Scale(v.Station.Distance / math.Cos(float64(v.Station.Pitch)))
	p.line(Horizon, NoSet, plane.Add(right.Scale(-planReach)), plane.Add(right.Scale(planReach)))
	p.line(PlanPlane, NoSet, plane.Add(right.Scale(-turnSheet.Width/2)), plane.Add(right.Scale(turnSheet.Width/2)))
	// Looking up or down, the cone leaves eye level and the plan would show it
	// narrower than what it holds.
	if v.Up == 0 {
		sin, cos := math.Sincos(float64(ConeWide))
		for _, side := range [2]float64{-1, 1} {
			p.line(Cone, NoSet, geom.Vec3{}, ahead.Scale(planReach*cos).Add(right.Scale(side*planReach*sin)))
		}
	}
	p.sight()
	for _, k := range [2]perspective.Set{perspective.Width, perspective.Depth} {
		p.ray(HueOf(k), v.Box.Direction(k))
	}
	p.square(v.Box.Direction(perspective.Width), v.Box.Direction(perspective.Depth))
	c := v.fromEye()
	for _, e := range perspective.Edges {
		if e.Set != perspective.Height && e.Corners[0] < 4 {
			p.line(TurnEdge, HueOf(e.Set), c[e.Corners[0]], c[e.Corners[1]])
		}
	}
	p.label("station point", p.eye.Add(geom.Vec{X: 34, Y: 4}))
	p.label("picture plane", geom.Vec{X: planSide, Y: p.at(plane).Y - 5.5})
	return p.d
}

// side draws the same from the right: the upright plane through the line of
// sight. A level line from the eye meets the picture plane at the horizon, an
// upright one in the third point (common practice).
func (v *Turned) side() Drawing {
	_, up, forward := v.Station.Axes()
	level, _ := geom.Vec{X: forward.X, Y: forward.Y}.Unit()
	ahead, upright := geom.Vec3{X: level.X, Y: level.Y}, geom.Vec3{Z: 1}
	// Eye and box lie equally far above and below the middle.
	y := planSide/2 - v.Station.Eye.Z/2/planScale
	p := newPlan(v, geom.Vec{X: planEye, Y: y}, ahead, upright.Scale(-1))
	p.d.Title = "Side view"
	p.d.Desc = "From the side: station point, line of sight, picture plane and box. A level line from the station point meets the picture plane at the horizon, an upright one in the vanishing point of height."

	plane := forward.Scale(v.Station.Distance)
	p.line(Horizon, NoSet, ahead.Scale(-planReach), ahead.Scale(planReach))
	p.line(Cone, NoSet, plane.Add(up.Scale(-planReach)), plane.Add(up.Scale(planReach)))
	p.line(PlanPlane, NoSet, plane.Add(up.Scale(-turnSheet.Height/2)), plane.Add(up.Scale(turnSheet.Height/2)))
	sin, cos := math.Sincos(float64(ConeWide))
	for _, side := range [2]float64{-1, 1} {
		p.line(Cone, NoSet, geom.Vec3{}, forward.Scale(planReach*cos).Add(up.Scale(side*planReach*sin)))
	}
	p.sight()
	p.ray(HueOf(perspective.Height), upright)
	c := v.fromEye()
	for _, e := range perspective.Edges {
		if e.Set == perspective.Height {
			p.line(TurnEdge, HueOf(e.Set), c[e.Corners[0]], c[e.Corners[1]])
		} else {
			p.line(GivenLine, NoSet, c[e.Corners[0]], c[e.Corners[1]])
		}
	}
	p.label("eye level", geom.Vec{X: planSide, Y: p.eye.Y - 5.5})
	top := p.at(plane.Add(up.Scale(turnSheet.Height / 2)))
	p.label("picture plane", top.Add(geom.Vec{X: 16, Y: -6}))
	return p.d
}
