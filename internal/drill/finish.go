package drill

import (
	"strconv"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// finish makes x a box of which some edges are given and all others asked.
func finish(x *Exercise, r *dice) {
	s := compose(x.View, x.Level, r)
	write(x, &s, r)
}

// write puts the scene on x's sheet and chooses what is given.
func write(x *Exercise, s *scene, r *dice) {
	st := s.station
	x.Viewing = &Viewing{Principal: st.Principal, Distance: st.Distance, Yaw: st.Yaw, Pitch: st.Pitch}
	x.Horizon = &Horizon{Line: st.Horizon(), Shown: true}
	x.Corners = append(make([]geom.Vec, 0, 8), s.picture.Corners[:]...)
	shown := group(x.Level) < 3
	x.Points = make([]Point, 3)
	for k, v := range s.picture.Points {
		set := perspective.Sets[k]
		x.Points[k] = Point{ID: pointIDs[k], Set: set, At: v, Shown: shown || !v.Finite()}
	}
	x.Edges = make([]Edge, 12)
	for i, e := range perspective.Edges {
		x.Edges[i] = Edge{ID: edgeIDs[i], Set: e.Set, Corners: e.Corners, Hidden: s.picture.Hidden[i]}
	}
	least := min(s.proportions[0], s.proportions[1], s.proportions[2])
	b := Box{Corners: [8]int{0, 1, 2, 3, 4, 5, 6, 7}, Cube: s.proportions == [3]float64{1, 1, 1}}
	for k, p := range s.proportions {
		b.Proportions[k] = p / least
	}
	x.Boxes = []Box{b}
	if x.View == One {
		giveOne(x, s, r)
	} else {
		giveTwoThree(x, s, r)
	}
	x.Asked.Edges = make([]string, 0, 12)
	for _, e := range x.Edges {
		if !e.Given {
			x.Asked.Edges = append(x.Asked.Edges, e.ID)
		}
	}
}

var (
	pointIDs = [3]string{"p-width", "p-depth", "p-height"}
	edgeIDs  = numbered("e", 12)
)

func numbered(prefix string, n int) []string {
	s := make([]string, n)
	for i := range s {
		s[i] = prefix + strconv.Itoa(i)
	}
	return s
}

// Corner bits: bit k of a corner's index says on which side of set k it lies.
const (
	widthBit  = 1 << perspective.Width
	depthBit  = 1 << perspective.Depth
	heightBit = 1 << perspective.Height
)

// give draws the edge of set k at corner c for the learner.
func give(x *Exercise, c int, k perspective.Set) {
	e, _ := perspective.EdgeAt(c, k)
	x.Edges[e].Given = true
}

// giveTwoThree chooses the givens of a box of which no face is square to the
// line of sight. Near upright: the upright edge between both visible sides. At
// every level the givens fix all corners; with the points shown, one corner of
// each neighbouring upright is enough. A mark is always the end of an edge
// from the given upright, so that lying on that edge's line tells which corner
// it is: a lone dot for the far corner could be its top or its bottom.
func giveTwoThree(x *Exercise, s *scene, r *dice) {
	near := s.nearUpright()
	switch group(x.Level) {
	case 0:
		c, ok := s.picture.NearCorner()
		if !ok { // across the eye level: either end of the near upright
			c = near | r.below(2)*heightBit
		}
		for _, k := range perspective.Sets {
			give(x, c, k)
		}
	case 1:
		give(x, near, perspective.Height)
		end := near | r.below(2)*heightBit
		x.Marks = []int{end ^ widthBit, end ^ depthBit, 0}
		x.Marks[2] = x.Marks[r.below(2)] ^ heightBit
	case 2:
		give(x, near, perspective.Height)
		end := near | r.below(2)*heightBit
		x.Marks = []int{end ^ widthBit, end ^ depthBit}
	case 3:
		// No points: the edges extended to the horizon give them, and two
		// uprights that converge give the third.
		c := s.steepEnd(near)
		for _, k := range perspective.Sets {
			give(x, c, k)
		}
		if x.View == Three {
			give(x, s.otherUpright(near), perspective.Height)
		}
	}
}

// nearUpright returns the bottom corner of the upright between the two
// visible sides.
func (s *scene) nearUpright() int {
	c := 0
	for _, k := range [2]perspective.Set{perspective.Width, perspective.Depth} {
		if s.picture.Visible[2*int(k)+1] {
			c |= 1 << k
		}
	}
	return c
}

// steepness returns the least angle between the horizon and the edges of the
// level sets at corner c.
func (s *scene) steepness(c int) geom.Angle {
	least := geom.Degrees(90)
	for _, k := range [2]perspective.Set{perspective.Width, perspective.Depth} {
		if s.picture.Points[k].Finite() {
			e, _ := perspective.EdgeAt(c, k)
			least = min(least, slope(s.picture.Segment(e)))
		}
	}
	return least
}

// slope returns the angle between g and the horizon, in [0°, 90°].
func slope(g geom.Segment) geom.Angle {
	return lineAngle(g.B.Sub(g.A), geom.Vec{X: 1})
}

// steepEnd returns the end of the near upright whose edges cut the horizon
// more clearly.
func (s *scene) steepEnd(near int) int {
	if s.steepness(near^heightBit) > s.steepness(near) {
		return near ^ heightBit
	}
	return near
}

// otherUpright returns the bottom corner of the visible upright that
// converges most with the near one.
func (s *scene) otherUpright(near int) int {
	best, most := near^widthBit, geom.Angle(-1)
	for _, c := range [2]int{near ^ widthBit, near ^ depthBit} {
		if a := s.convergence(near, c); a > most {
			best, most = c, a
		}
	}
	return best
}

// convergence returns the angle between the uprights at corners a and b.
func (s *scene) convergence(a, b int) geom.Angle {
	e, _ := perspective.EdgeAt(a, perspective.Height)
	f, _ := perspective.EdgeAt(b, perspective.Height)
	g, h := s.picture.Segment(e), s.picture.Segment(f)
	return lineAngle(g.B.Sub(g.A), h.B.Sub(h.A))
}

// giveOne chooses the givens of a box whose front face is square to the line
// of sight. Level and upright edges are drawn level and upright, so a front
// upright, one mark for the width and one for the depth fix all. As in
// giveTwoThree a mark ends an edge from the given upright, on the side of the
// box that is seen.
func giveOne(x *Exercise, s *scene, r *dice) {
	side, seen := 0, false
	for i := range 2 {
		if s.picture.Visible[i] {
			side, seen = i, true
		}
	}
	if !seen {
		side = r.below(2)
	}
	switch g := group(x.Level); g {
	case 0, 3:
		for _, c := range [2]int{0, widthBit | heightBit} {
			give(x, c, perspective.Width)
			give(x, c, perspective.Height)
		}
		give(x, s.recedingCorner(g == 3), perspective.Depth)
	case 1, 2:
		give(x, side, perspective.Height)
		x.Marks = append(make([]int, 0, 3),
			side^widthBit|r.below(2)*heightBit, side|depthBit|s.seenLevel(seen, r))
		if g == 1 {
			x.Marks = append(x.Marks, x.Marks[r.below(2)]^heightBit)
		}
	}
}

// seenLevel returns the height bit of a visible corner at the back: either
// where the side is seen, else that of the visible level face.
func (s *scene) seenLevel(side bool, r *dice) int {
	switch {
	case !side && s.picture.Visible[5]:
		return heightBit
	case !side:
		return 0
	}
	return r.below(2) * heightBit
}

// recedingCorner returns the front corner of the longest visible receding
// edge, or of the steepest one.
func (s *scene) recedingCorner(steep bool) int {
	best, most := 0, -1.0
	for _, c := range [4]int{0, widthBit, heightBit, widthBit | heightBit} {
		e, _ := perspective.EdgeAt(c, perspective.Depth)
		if s.picture.Hidden[e] {
			continue
		}
		g := s.picture.Segment(e)
		v := g.Len()
		if steep {
			v = float64(slope(g))
		}
		if v > most {
			best, most = c, v
		}
	}
	return best
}
