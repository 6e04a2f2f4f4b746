package grade

import (
	"math"
	"slices"

	"boxwright/internal/geom"
)

// Prior standard deviations of how a whole drawing sits on the sheet against
// what is expected: moved, turned, scaled.
const (
	priorMove  = 5 // mm on a sheet 297 mm long
	priorScale = 0.06
)

var priorTurn = geom.Degrees(3)

// adjust moves the edges to where this drawing puts the box: a similarity
// that fits the matched traces, shrunk toward no change and robust against
// wrong matches; then it learns how far traces lie from their edges. It
// reports whether there was enough to go by.
func (m *matching) adjust() bool {
	var mid geom.Vec
	for _, e := range m.plan.edges {
		mid = mid.Add(e.mid)
	}
	if len(m.plan.edges) == 0 {
		return false
	}
	mid = mid.Scale(1 / float64(len(m.plan.edges)))
	matched := 0
	for _, e := range m.edge {
		if e >= 0 {
			matched++
		}
	}
	if matched < 4 {
		return false
	}
	var x [4]float64 // move x, y; scale; turn
	for range 3 {
		x = m.similarity(mid, x)
	}
	place := func(p geom.Vec) geom.Vec {
		q := p.Sub(mid)
		return p.Add(geom.Vec{X: x[0], Y: x[1]}).Add(q.Scale(x[2])).Add(q.Perp().Scale(x[3]))
	}
	for i, e := range m.plan.edges {
		if i < m.plan.asked { // what is given stays where it is printed
			m.at[i] = makeSegment(place(e.a), place(e.b), e.to)
		}
	}
	m.fan()
	m.learn()
	return true
}

// similarity takes one reweighted least-squares step from x.
func (m *matching) similarity(mid geom.Vec, x [4]float64) [4]float64 {
	var g [4][4]float64
	var h [4]float64
	u := m.plan.unit
	for i, sd := range [4]float64{priorMove * u, priorMove * u, priorScale, float64(priorTurn)} {
		g[i][i] = 1 / (sd * sd)
	}
	for i, e := range m.edge {
		if e < 0 || e >= m.plan.asked {
			continue
		}
		t, s := &m.t[i], &m.plan.edges[e]
		n := s.dir.Perp()
		for _, p := range [2]geom.Vec{t.From(), t.To()} {
			d := n.Dot(p.Sub(s.a))
			q := p.Sub(mid)
			j := [4]float64{n.X, n.Y, n.Dot(q), n.Dot(q.Perp())}
			row(&g, &h, j, d, x, m.off)
		}
		if t.Length > 0.6*s.len {
			q := s.mid.Sub(mid)
			j := [4]float64{s.dir.X, s.dir.Y, s.dir.Dot(q), s.dir.Dot(q.Perp())}
			row(&g, &h, j, s.dir.Dot(t.Mid.Sub(s.mid)), x, 1.5*m.off)
		}
	}
	return solve4(g, h)
}

// row adds one equation j x = d with standard deviation sd, at the Huber
// weight that its residual at x earns.
func row(g *[4][4]float64, h *[4]float64, j [4]float64, d float64, x [4]float64, sd float64) {
	r := math.Abs(d-(j[0]*x[0]+j[1]*x[1]+j[2]*x[2]+j[3]*x[3])) / sd
	w := 1 / (sd * sd)
	if r > 1.5 {
		w *= 1.5 / r
	}
	for a := range j {
		h[a] += w * j[a] * d
		for b := range j {
			g[a][b] += w * j[a] * j[b]
		}
	}
}

// solve4 solves a positive definite system by elimination.
func solve4(g [4][4]float64, h [4]float64) (x [4]float64) {
	for i := range 4 {
		for r := i + 1; r < 4; r++ {
			k := g[r][i] / g[i][i]
			for c := i; c < 4; c++ {
				g[r][c] -= k * g[i][c]
			}
			h[r] -= k * h[i]
		}
	}
	for i := 3; i >= 0; i-- {
		s := h[i]
		for c := i + 1; c < 4; c++ {
			s -= g[i][c] * x[c]
		}
		x[i] = s / g[i][i]
	}
	return x
}

// learn sets the standard deviations from the matched traces, robustly, with
// floors.
func (m *matching) learn() {
	var off, ang []float64
	for i, e := range m.edge {
		if e < 0 || e >= m.plan.asked {
			continue
		}
		t, s := &m.t[i], &m.at[e]
		off = append(off, math.Abs(s.dir.Cross(t.Mid.Sub(s.mid))))
		a := math.Atan2(math.Abs(s.dir.Cross(t.Dir)), math.Abs(s.dir.Dot(t.Dir)))
		ang = append(ang, a/m.law(t.Length))
	}
	if len(off) == 0 {
		return
	}
	slices.Sort(off)
	slices.Sort(ang)
	u := m.plan.unit
	m.off = min(max(1.4826*off[len(off)/2], sdOffsetMin*u), sdOffset*u)
	m.angle = min(max(1.4826*ang[len(ang)/2], float64(sdAngleMin)), float64(sdAngle))
}
