package drill

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// scene is a box seen from a station, with what is measured of it.
type scene struct {
	station     perspective.Station
	box         perspective.Box
	proportions [3]float64
	picture     perspective.Picture
	measures    perspective.Measures
}

// Tries: a plan is given up after planTries placements, the dice after
// maxTries. Then a placement known to be sound is taken: see fallback.
const (
	planTries = 48
	maxTries  = 1200
)

// compose finds a sound box for the view and level.
func compose(v View, level int, r *dice) scene {
	var p plan
	var b band
	var s scene
	for try := range maxTries {
		if try%planTries == 0 {
			p = drawPlan(v, level, r)
			b = bandOf(v, level, &p)
		}
		if s.draw(v, &p, &b, r) && s.admitted(v, &p, &b) {
			return s
		}
	}
	return fallback(v, level, p.mirror)
}

// draw places one box. ok is false when it cannot be drawn at all.
func (s *scene) draw(v View, p *plan, b *band, r *dice) (ok bool) {
	s.proportions = proportions(p.form, r)
	hull := r.span(b.hull)
	centre := geom.Vec{
		X: A4.Width/2 + r.in(-32, 32),
		Y: A4.Height/2 + r.in(-14, 14),
	}
	if (p.form == tower || p.oblique) && p.stand != across && v != Three {
		// High, and well off the eye level: it fills the sheet's other end.
		centre.Y = A4.Height - 12 - hull/2 - r.in(0, 12)
		if p.stand == over {
			centre.Y = A4.Height - centre.Y
		}
	}
	s.station = perspective.Station{Distance: math.Round(r.span(b.distance))}
	s.box = perspective.Box{}
	switch v {
	case One:
		s.placeOne(p, r, &centre, hull)
	case Two:
		s.box.Yaw = b.yaw(r)
		s.placeTwo(p, r, &centre, hull)
	case Three:
		s.box.Yaw = b.yaw(r)
		s.placeThree(p, b, r, &centre, hull)
	}
	if p.mirror {
		s.station.Principal.X = A4.Width - s.station.Principal.X
		centre.X = A4.Width - centre.X
		s.box.Yaw = -s.box.Yaw
	}
	s.station.Principal.X = math.Round(2*s.station.Principal.X) / 2
	s.station.Principal.Y = math.Round(2*s.station.Principal.Y) / 2
	return s.fit(centre, hull)
}

// yaw draws the box's turn: width or depth, either may be the set nearer to
// the picture plane.
func (b *band) yaw(r *dice) geom.Angle {
	turn := r.span(b.turn)
	if r.chance(.5) {
		turn = 90 - turn
	}
	return tenths(turn)
}

func tenths(deg float64) geom.Angle { return geom.Degrees(math.Round(10*deg) / 10) }

func (s *scene) placeOne(p *plan, r *dice, centre *geom.Vec, hull float64) {
	y := centre.Y - float64(p.below(One, r)*hull)
	x := centre.X
	switch {
	case p.aside:
		x = -r.in(2, 70)
		centre.X = A4.Width/2 - r.in(0, 70)
	case p.stand == across: // to the side of the box, or no side is seen
		x -= float64(r.in(.6, 1.1) * hull)
	case p.form == cube:
		x -= float64(r.in(-.2, .2) * hull)
	default:
		x -= float64(r.in(0, .9) * hull)
	}
	s.station.Principal = geom.Vec{X: x, Y: y}
}

func (s *scene) placeTwo(p *plan, r *dice, centre *geom.Vec, hull float64) {
	y := centre.Y - float64(p.below(Two, r)*hull)
	x := A4.Width/2 + r.in(-30, 30)
	if p.close {
		sin := math.Sin(2 * float64(s.box.Yaw))
		cot := 1 / math.Tan(float64(s.box.Yaw))
		// The points lie d cot(yaw) to the right and d tan(yaw) to the left.
		x = A4.Width/2 + float64(s.station.Distance*(1/sin-cot)) + r.in(-4, 4)
		centre.X = x + r.in(-15, 15)
	}
	s.station.Principal = geom.Vec{X: x, Y: y}
}

func (s *scene) placeThree(p *plan, b *band, r *dice, centre *geom.Vec, hull float64) {
	up := p.stand == over
	if p.stand == across {
		up = r.chance(.6)
	}
	pitch := r.span(b.pitch)
	if !up {
		pitch = -pitch
	}
	s.station.Pitch = tenths(pitch)
	drop := float64(s.station.Distance * math.Tan(float64(s.station.Pitch))) // horizon below the principal point
	y := centre.Y + float64(r.in(-.4, .4)*hull)
	switch {
	case p.stand == across:
		y = centre.Y + float64(r.in(-.25, .25)*hull) - drop
	case b.ownHorizon && up:
		y = A4.Height - r.in(-25, 45) - drop
	case b.ownHorizon:
		y = r.in(-25, 45) - drop
	}
	s.station.Principal = geom.Vec{X: centre.X + float64(r.in(-.25, .25)*hull), Y: y}
}

// fit scales and shifts the box until its picture has its middle in centre
// and its extent is hull, both nearly.
func (s *scene) fit(centre geom.Vec, hull float64) (ok bool) {
	size := hull / s.station.Distance / 1.6
	at := centre
	for range 3 {
		for k := range s.box.Size {
			s.box.Size[k] = size * s.proportions[k]
		}
		s.box.Base = s.station.Ray(at).Sub(geom.Vec3{Z: s.box.Size[2] / 2})
		if s.picture, ok = s.station.Picture(s.box); !ok {
			return false
		}
		lo, hi := s.picture.Bounds()
		at = at.Add(centre.Sub(geom.Mid(lo, hi)))
		size *= hull / max(hi.X-lo.X, hi.Y-lo.Y)
	}
	return true
}

// admitted reports whether the scene keeps every condition of its band and is
// what the plan asked for.
func (s *scene) admitted(v View, p *plan, b *band) bool {
	if !s.stands(p) || !s.reaches(b) || !s.horizonInSight(v, b) || s.leaning() > b.lean {
		return false
	}
	m, l := &s.measures, &b.limits
	*m = s.station.Outline(&s.picture, A4.Width, A4.Height)
	if m.Faults(l) != 0 {
		return false
	}
	*m = s.station.Measure(&s.picture, A4.Width, A4.Height)
	return m.Faults(l) == 0 && m.AnyVertex >= l.Vertex && b.hull.holds(m.Hull) &&
		(!b.ownHorizon || s.tellsPoints(v))
}

// Where no point is shown, the given edges must meet the horizon, and the two
// given uprights each other, at angles that a careful hand can extend.
var (
	minSteepness   = geom.Degrees(6)
	minConvergence = geom.Degrees(3)
)

// tellsPoints reports whether the givens of the highest levels fix the points
// well enough to be found by drawing.
func (s *scene) tellsPoints(v View) bool {
	if v == One {
		return true // a receding edge is 12 degrees off the level front edge
	}
	near := s.nearUpright()
	if s.steepness(s.steepEnd(near)) < minSteepness {
		return false
	}
	return v == Two || s.convergence(near, s.otherUpright(near)) >= minConvergence
}

// stands reports whether the box lies to the eye level as planned.
func (s *scene) stands(p *plan) bool {
	c := s.box.Clearance(s.station.Eye)
	switch p.stand {
	case under:
		return c[5] > perspective.EdgeOn
	case over:
		return c[4] > perspective.EdgeOn
	}
	return c[4] < 0 && c[5] < 0
}

// leaning returns how far the near upright leans on the sheet.
func (s *scene) leaning() geom.Angle {
	e, _ := perspective.EdgeAt(s.nearUpright(), perspective.Height)
	return geom.Degrees(90) - slope(s.picture.Segment(e))
}

// nearbyReach is how far beside the sheet a nearby point may lie.
const nearbyReach = 148

// reaches reports whether the points of the level sets lie where b wants them.
func (s *scene) reaches(b *band) bool {
	for _, q := range s.picture.Points[:2] {
		v, ok := q.Vec()
		if !ok {
			continue
		}
		off := max(-v.X, v.X-A4.Width, -v.Y, v.Y-A4.Height)
		switch b.reach {
		case onSheet:
			if off > -5 {
				return false
			}
		case nearby:
			if off > nearbyReach {
				return false
			}
		case offSheet:
			if off < 1 {
				return false
			}
		}
	}
	return true
}

// horizonInSight keeps the horizon on the sheet while the line of sight is
// level; a tilted one may put it off the sheet, but not far where it is all
// that is shown.
func (s *scene) horizonInSight(v View, b *band) bool {
	y := -s.station.Horizon().C
	if v != Three {
		return y >= 8 && y <= A4.Height-8
	}
	return !b.ownHorizon || y >= -horizonOff && y <= A4.Height+horizonOff
}

// horizonOff is how far above or below the sheet the horizon may lie where it
// is all that is shown.
const horizonOff = 40
