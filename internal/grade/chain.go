package grade

import (
	"math"
	"slices"

	"boxwright/internal/geom"
	"boxwright/internal/ink"
)

// Pieces of one line: how far apart their ends may be, in mm on a sheet 297 mm
// long, and how much they may differ in direction at 80 mm.
const (
	pieceGap  = 3
	pieceFits = 12 // dearest price of the whole for one of the edges
)

var pieceAngle = geom.Degrees(6)

// joint is a place where two traces may be pieces of one line.
type joint struct {
	s, t   int
	se, te int // which end of each: 0 or 1
	cost   float64
}

// chain joins traces laid end to end into the line that they make, where that
// line fits one of the edges; the pieces are kept in parts. So a line costs
// the same in one piece or in several.
func (m *matching) chain() {
	js := m.joints()
	if len(js) == 0 {
		return
	}
	slices.SortStableFunc(js, func(a, b joint) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return 0
	})
	used := make([][2]bool, len(m.t))
	group := make([]int, len(m.t)) // representative of each trace's line
	for i := range group {
		group[i] = i
	}
	whole := slices.Clone(m.t)
	for i := range whole {
		whole[i].parts = []*trace{&m.t[i]}
	}
	for _, j := range js {
		a, b := group[j.s], group[j.t]
		if a == b || used[j.s][j.se] || used[j.t][j.te] {
			continue
		}
		parts := append(slices.Clone(whole[a].parts), whole[b].parts...)
		c := compose(parts)
		if !m.fits(&c) {
			continue
		}
		used[j.s][j.se], used[j.t][j.te] = true, true
		whole[a] = c
		for i := range group {
			if group[i] == b {
				group[i] = a
			}
		}
	}
	var out []trace
	for i := range whole {
		if group[i] == i {
			out = append(out, whole[i])
		}
	}
	m.t = out
}

// joints lists the pairs of trace ends that may belong to one line.
func (m *matching) joints() (js []joint) {
	gap := pieceGap * m.plan.unit
	for i := range m.t {
		s := &m.t[i]
		for k := range i {
			t := &m.t[k]
			if far := (s.Length+t.Length)/2 + gap; math.Abs(s.Mid.X-t.Mid.X) > far || math.Abs(s.Mid.Y-t.Mid.Y) > far {
				continue
			}
			a := math.Abs(tilt(s.Dir, t.Dir)) / (float64(pieceAngle) * m.law(min(s.Length, t.Length)))
			if a > 1 {
				continue
			}
			for se := range 2 {
				for te := range 2 {
					p, q := s.tip(se), t.tip(te)
					d := q.Sub(p).Len()
					// the pieces must lead away from the joint to either side
					if d > gap || s.Mid.Sub(p).Dot(t.Mid.Sub(q)) > 0 {
						continue
					}
					js = append(js, joint{i, k, se, te, a*a + d*d/(gap*gap)})
				}
			}
		}
	}
	return js
}

// tip returns an end of the fitted line, 0 the first.
func (t *trace) tip(end int) geom.Vec {
	if end == 0 {
		return t.From()
	}
	return t.To()
}

// pieces returns the strokes that t is made of.
func (t *trace) pieces() []*trace {
	if t.parts != nil {
		return t.parts
	}
	return []*trace{t}
}

// compose makes one trace of several pieces.
func compose(parts []*trace) trace {
	d := merge(parts, ink.Pen) // of its certainties nothing is used
	c := trace{stroke: d.strokes[0], parts: parts}
	c.Line = ink.Line{Mid: d.mid, Dir: d.dir, Length: d.length}
	for _, p := range parts {
		c.light += p.light / float64(len(parts))
	}
	return c
}

// fits reports whether t lies on one of the edges without running past it.
func (m *matching) fits(t *trace) bool {
	for e := range m.at {
		s := &m.at[e]
		lo, hi := s.reach(t)
		free := spillShare*s.len + spill*m.plan.unit
		if lo > -free && hi < s.len+free && m.cost(t, e) < pieceFits {
			return true
		}
	}
	return false
}
