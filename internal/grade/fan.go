package grade

import (
	"math"

	"boxwright/internal/geom"
)

// Prior standard deviations of what a whole set shares: its fan turned, and
// meeting too early or late as an angle over the set.
var (
	priorFan   = geom.Degrees(4)
	priorEarly = geom.Degrees(6)
)

// fan turns the asked edges of each set to where this drawing aims the set:
// shared turn and change of inverse distance, shrunk toward none and robust
// against wrong matches. A line turned about one of its ends moves its middle
// too; slack keeps that much of each edge.
func (m *matching) fan() {
	for i := range m.slack {
		m.slack[i] = 0
	}
	done := make([]bool, m.plan.asked)
	for e := range m.plan.asked {
		if done[e] || !m.plan.edges[e].hasSet {
			continue
		}
		var group []int
		for f := e; f < m.plan.asked; f++ {
			if o := &m.plan.edges[f]; o.hasSet && o.set == m.plan.edges[e].set && o.box == m.plan.edges[e].box {
				group = append(group, f)
				done[f] = true
			}
		}
		m.fanSet(group)
	}
}

// fanSet learns the fan of one set and turns its edges.
func (m *matching) fanSet(group []int) {
	var mid geom.Vec
	for _, e := range group {
		mid = mid.Add(m.at[e].mid)
	}
	p := toward(mid.Scale(1/float64(len(group))), m.plan.edges[group[0]].to)
	jb, jk := make([]float64, len(group)), make([]float64, len(group))
	var lever float64
	for i, e := range group {
		jb[i], jk[i] = strandSlopes(&p, m.at[e].mid, m.at[e].len)
		lever += jk[i] * jk[i]
	}
	lever = math.Sqrt(lever/float64(len(group))) + 1e-9
	var db, dk float64
	for range 4 {
		ibb, ikk := 1/float64(priorFan*priorFan), lever*lever/float64(priorEarly*priorEarly)
		var ibk, gb, gk float64
		for i, e := range group {
			for t := range m.t {
				if m.edge[t] != e {
					continue
				}
				d := tilt(m.at[e].dir, m.t[t].Dir)
				sd := m.angle * m.law(m.t[t].Length)
				w := 1 / (sd * sd)
				if r := math.Abs(d-jb[i]*db-jk[i]*dk) / sd; r > 1 {
					w /= r
				}
				ibb += w * jb[i] * jb[i]
				ibk += w * jb[i] * jk[i]
				ikk += w * jk[i] * jk[i]
				gb += w * jb[i] * d
				gk += w * jk[i] * d
			}
		}
		det := float64(ibb*ikk) - float64(ibk*ibk)
		if !(det > 0) {
			return
		}
		db, dk = (float64(gb*ikk)-float64(gk*ibk))/det, (float64(gk*ibb)-float64(gb*ibk))/det
	}
	for i, e := range group {
		m.turn(e, jb[i]*db+jk[i]*dk)
	}
}

// tilt returns the angle from direction a to the undirected direction b, in
// (-90°, 90°], in rad.
func tilt(a, b geom.Vec) float64 {
	c, s := a.Dot(b), a.Cross(b)
	if c < 0 {
		c, s = -c, -s
	}
	return math.Atan2(s, c)
}

// turn turns edge e by a about its middle.
func (m *matching) turn(e int, a float64) {
	s := &m.at[e]
	sin, cos := math.Sincos(a)
	half := s.dir.Scale(s.len / 2)
	half = half.Scale(cos).Add(half.Perp().Scale(sin))
	*s = makeSegment(s.mid.Sub(half), s.mid.Add(half), m.plan.edges[e].to)
	m.slack[e] = math.Abs(sin) * s.len / 2
}
