package sheet

import (
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// Turn is one position of the turntable: how far the eye has gone around the
// box and how far it looks up, in whole degrees, so that the positions at
// which a set begins to converge can be reached exactly.
type Turn struct {
	Around int // to the right around the box; 0: square to its front face
	Up     int // of the line of sight above level, negative: looking down
	Form   Form
}

// Form is the shape of the box on the turntable.
type Form string

// The forms.
const (
	CubeForm  Form = "cube"
	SlabForm  Form = "slab"
	TowerForm Form = "tower"
)

// Forms lists the forms in the order in which pages offer them.
var Forms = []Form{CubeForm, SlabForm, TowerForm}

// MaxAround and MaxUp bound a Turn on both sides.
const (
	MaxAround = 180
	MaxUp     = 60
)

// Sound reports whether t is a position of the turntable.
func (t Turn) Sound() bool {
	_, known := formSizes[t.Form]
	return known && t.Around >= -MaxAround && t.Around <= MaxAround && t.Up >= -MaxUp && t.Up <= MaxUp
}

// formSizes are width, depth and height. The turntable's world is measured in
// the sheet's millimetres: the picture plane is the sheet where it stands.
var formSizes = map[Form][3]float64{
	CubeForm: {130, 130, 130}, SlabForm: {180, 130, 50}, TowerForm: {85, 95, 170},
}

// The turntable's arrangement, mm. The eye goes around the box at a constant
// distance from what it looks at, which is a place beside the box and above
// its middle: so a box that is met square-on shows more than one face. From
// every position the box lies in the 60 degree cone of vision, and both that
// cone's circle and the nearer points lie on the sheet.
const (
	turnDistance = 150 // viewing distance
	turnAway     = 450 // from the eye to what it looks at
	turnBeside   = 40  // from the box to the line of sight
	turnAbove    = 110 // from the box's middle to the line of sight at its side
)

// turnSheet is the turntable's sheet, A4 landscape.
var turnSheet = drill.Size{Width: 297, Height: 210}

// ConeWide and ConeCalm are the half angles of the two cones of vision shown:
// 60 degrees, beyond which corners look stretched (Storey 1910, p. 18, gives
// it as the widest), and that of 37 degrees, a picture seen from one and a half
// times its width (Lehrbuch der Perspective fuer bildende Kuenstler, TIB
// 865579199, image 116).
var (
	ConeWide = geom.Degrees(30)
	ConeCalm = geom.Angle(math.Atan(1. / 3))
)

// Scene returns the station and the box of t, lengths of the world in
// millimetres, the box's middle at the origin. Its width edges run along X.
func (t Turn) Scene() (perspective.Station, perspective.Box) {
	size := formSizes[t.Form]
	s := perspective.Station{
		Yaw: geom.Degrees(float64(t.Around)), Pitch: geom.Degrees(float64(t.Up)),
		Principal: geom.Vec{X: turnSheet.Width / 2, Y: turnSheet.Height / 2}, Distance: turnDistance,
	}
	right, _, forward := s.Axes()
	s.Eye = right.Scale(turnBeside).Add(geom.Vec3{Z: turnAbove}).Sub(forward.Scale(turnAway))
	return s, perspective.Box{Base: geom.Vec3{Z: -size[2] / 2}, Size: size}
}

// Turned is a position of the turntable, projected and drawn.
type Turned struct {
	Turn
	Station perspective.Station
	Box     perspective.Box
	Seen    perspective.Picture
	Cone    geom.Angle // full angle of the cone of vision that just holds the box
	Picture Drawing
	Plan    Drawing
	Side    Drawing
}

// Turntable projects and draws the position t, which must be sound.
func Turntable(t Turn) Turned {
	s, b := t.Scene()
	seen, _ := s.Picture(b) // the eye stays in front of every corner
	v := Turned{Turn: t, Station: s, Box: b, Seen: seen, Cone: 2 * s.ConeAngle(seen.Corners[:])}
	v.Picture, v.Plan, v.Side = v.picture(), v.plan(), v.side()
	return v
}

// exercise puts what the eye sees as an exercise with everything given.
func (v *Turned) exercise() *drill.Exercise {
	x := &drill.Exercise{Sheet: turnSheet, View: drill.One, Corners: v.Seen.Corners[:],
		Horizon: &drill.Horizon{Line: v.Station.Horizon(), Shown: true}}
	for i, e := range perspective.Edges {
		x.Edges = append(x.Edges, drill.Edge{Set: e.Set, Corners: e.Corners, Given: true, Hidden: v.Seen.Hidden[i]})
	}
	level := 0
	for _, k := range perspective.Sets {
		p := v.Seen.Points[k]
		x.Points = append(x.Points, drill.Point{Set: k, At: p, Shown: true})
		if k != perspective.Height && p.Finite() {
			level++
		}
	}
	if level == 2 {
		x.View = drill.Two // their points are a left and a right one
	}
	return x
}

// picture draws the sheet and the board: the box, the eye level, the sets
// running to their points, the cone of vision.
func (v *Turned) picture() Drawing {
	d := newDrawing(turnSheet, "sheet turn")
	x := v.exercise()
	d.Title, d.Desc = "Picture", describe(x)
	l := newLayout(&d, x)
	l.cones(v.Station)
	l.horizon()
	for _, p := range x.Points {
		l.runOn(v.Seen, p.Set)
	}
	for _, p := range x.Points {
		l.point(p)
	}
	l.horizonLabel()
	l.coneLabels(v.Station)
	for _, p := range x.Points {
		for _, hidden := range [2]bool{true, false} {
			g := Group{Style: TurnEdge, Set: HueOf(p.Set), Where: Anywhere, Marks: []Mark{setEdges(v.Seen, p.Set, hidden)}}
			if hidden {
				g.Style = TurnHidden
			}
			d.add(layerTrue, g)
		}
	}
	return d
}

// setEdges returns the hidden or the visible edges of a set.
func setEdges(p perspective.Picture, k perspective.Set, hidden bool) Segments {
	var out Segments
	for i, e := range perspective.Edges {
		if e.Set == k && p.Hidden[i] == hidden {
			out = append(out, p.Segment(i))
		}
	}
	return out
}

// runOn draws a set's edges on to their point. On a wide board labels keep off
// them; a narrow one has no room for that.
func (l *layout) runOn(p perspective.Picture, k perspective.Set) {
	at, ok := p.Points[k].Vec()
	if !ok {
		return
	}
	var out Segments
	for i, e := range perspective.Edges {
		if e.Set != k {
			continue
		}
		s := p.Segment(i)
		if at.Sub(s.A).Len() < at.Sub(s.B).Len() {
			s.B = s.A
		}
		out = append(out, geom.Segment{A: s.B, B: at})
	}
	l.stepLines(Group{Style: TurnRay, Set: HueOf(k)}, out)
	for i, m := range media {
		for _, s := range out {
			if in, ok := frame(turnSheet, m.where).clip(s); ok && m.where == Wide {
				l.places[i].lines = append(l.places[i].lines, in)
			}
		}
	}
}

// cones draws the two circles of vision round the principal point.
func (l *layout) cones(s perspective.Station) {
	for _, a := range [2]geom.Angle{ConeWide, ConeCalm} {
		l.d.add(layerBoard, Group{Style: Cone, Where: Anywhere, Marks: []Mark{Dot{s.Principal, coneRadius(s, a)}}})
	}
	l.d.add(layerBoard, Group{Style: PlanDot, Where: Anywhere, Marks: []Mark{Dot{s.Principal, 1}}})
}

// coneRadius is the radius of a cone of vision on the sheet.
func coneRadius(s perspective.Station, half geom.Angle) float64 {
	return s.Distance * math.Tan(float64(half))
}

// coneLabels writes the circles' names beside them: the wide one's below, the
// calm one's above, or farther along the circle where a point lies there.
func (l *layout) coneLabels(s perspective.Station) {
	for i, a := range [2]geom.Angle{ConeWide, ConeCalm} {
		wraps := [2][][]string{{{"60° cone of vision"}}, {{"37°"}}}[i]
		for j, m := range media {
			w, h := measure(wraps[0], m.letter)
			var wanted []rect
			for _, turn := range []float64{0, 40, -40, 140, -140, 180, 75, -75} {
				if i == 1 {
					turn += 180
				}
				d := geom.Direction(geom.Degrees(90 + turn)) // 90 is down
				// Just outside the circle, whatever the direction.
				gap := 1 + math.Abs(d.X)*w/2 + math.Abs(d.Y)*h/2
				wanted = append(wanted, box(s.Principal.Add(d.Scale(coneRadius(s, a)+gap)), w, h))
			}
			l.label(j, ConeLabel, NoSet, wanted, wraps, s.Principal)
		}
	}
}
