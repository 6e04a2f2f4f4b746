package grade

import (
	"math"

	"boxwright/internal/geom"
)

// The matcher's constants: lengths in mm on a sheet 297 mm long, costs in
// squared standard deviations.
const (
	shortest    = 7.5 // strokes shorter than this are no edge ...
	shortShare  = 0.6 // ... unless an asked edge is hardly longer
	sdOffset    = 6   // of a stroke's middle across its edge
	sdOffsetMin = 2.5
	gate        = 60 // a dearer pair is out of the question
	costNone    = 16

	rescueOffset = 8 // second chance for edges that stayed empty
	rescueNone   = 14

	spill       = 5 // mm beyond an edge's end that cost nothing ...
	spillShare  = 0.12
	costLight   = 3
	sdEnd       = 5    // of where a line ends, along it ...
	costPiece   = 3    // ... unless the stroke is a piece of a line
	costGiven   = 4    // nobody need draw a given edge again
	throughs    = 0.22 // how far a construction line runs past its edge
	throughsMM  = 8
	throughsLit = 0.08 // the same of a light one
	coveredBy   = 0.6  // share of the edge that others must cover then
)

var (
	sdAngle     = geom.Degrees(6)
	sdAngleMin  = geom.Degrees(4.5)
	rescueAngle = geom.Degrees(9)
)

// matching is the work of giving traces to a plan's edges.
type matching struct {
	plan  *plan
	t     []trace
	at    []segment // the edges where this drawing puts them
	edge  []int     // result per trace: index of the edge, or -1
	short []int     // strokes too short for any edge
	off   float64   // sd of offset, mm
	angle float64   // sd of angle, rad at 80 mm
	slack []float64 // mm that an edge's middle may be off for free
	asg   assignment
}

// match gives each trace to an edge, or to none.
func match(p *plan, t []trace) *matching {
	m := &matching{plan: p, t: t, at: make([]segment, len(p.edges)), slack: make([]float64, len(p.edges))}
	for i, e := range p.edges {
		m.at[i] = e.segment
	}
	m.off, m.angle = sdOffset*p.unit, float64(sdAngle)
	m.chain()
	m.dropShort()
	m.edge = make([]int, len(m.t))
	m.assign(costNone, nil)
	for range 2 {
		if !m.adjust() {
			break
		}
		before := append([]int(nil), m.edge...)
		m.assign(costNone, nil)
		if equal(before, m.edge) {
			break
		}
	}
	m.rescue()
	m.dropConstruction()
	return m
}

// dropShort leaves out the lines that are too short for any edge.
func (m *matching) dropShort() {
	least := shortest * m.plan.unit
	for _, e := range m.plan.edges[:m.plan.asked] {
		least = min(least, shortShare*e.len)
	}
	long := make([]trace, 0, len(m.t))
	for i := range m.t {
		if m.t[i].Length >= least {
			long = append(long, m.t[i])
			continue
		}
		for _, t := range m.t[i].pieces() {
			m.short = append(m.short, t.stroke)
		}
	}
	m.t = long
}

func equal(a, b []int) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// assign solves the assignment of the traces that use wants (nil: all) to the
// edges as they stand.
func (m *matching) assign(none float64, use func(trace, edge int) bool) {
	n := len(m.at)
	m.asg.edges, m.asg.none = n, none
	m.asg.cost = resize(m.asg.cost, len(m.t)*n)
	for i := range m.t {
		for j := range n {
			c := math.Inf(1)
			if use == nil || use(i, j) {
				c = m.cost(&m.t[i], j)
			}
			m.asg.cost[i*n+j] = c
		}
	}
	m.asg.solve(len(m.t))
	for i, e := range m.asg.edge {
		if e == n {
			e = -1
		}
		m.edge[i] = e
	}
}

// cost is the price of taking t for the edge s: offset and angle in standard
// deviations, length beyond the edge, and how little the two overlap.
func (m *matching) cost(t *trace, e int) float64 {
	s := &m.at[e]
	off := max(0, math.Abs(s.dir.Cross(t.Mid.Sub(s.mid)))-m.slack[e]) / m.off
	c := off * off
	if c > gate {
		return math.Inf(1)
	}
	cos, sin := math.Abs(s.dir.Dot(t.Dir)), math.Abs(s.dir.Cross(t.Dir))
	a := math.Atan2(sin, cos) / (m.angle * m.law(t.Length))
	if c += a * a; c > gate {
		return math.Inf(1)
	}
	le := max(s.len, m.plan.unit)
	lo, hi := s.reach(t)
	free := spillShare*le + spill*m.plan.unit
	c += 6 * (max(0, -lo-free) + max(0, hi-s.len-free)) / le
	over := max(0, min(hi, s.len)-max(lo, 0))
	lack := max(0, 1-over/min(t.Length, le))
	c += 7 * lack * lack
	lack = max(0, 1-over/le)
	c += 2*lack*lack + costLight*t.light
	ends := (lo*lo + (hi-s.len)*(hi-s.len)) / (sdEnd * sdEnd * m.plan.unit * m.plan.unit)
	c += min(costPiece, ends)
	if e >= m.plan.asked {
		c += costGiven
	}
	if c > gate {
		return math.Inf(1)
	}
	return c
}

// rescue gives strokes that found no edge a second, wider chance at the asked
// edges that stayed empty.
func (m *matching) rescue() {
	empty := make([]bool, len(m.at))
	spare := 0
	for i := range m.plan.asked {
		empty[i] = true
	}
	for _, e := range m.edge {
		if e >= 0 {
			empty[e] = false
		} else {
			spare++
		}
	}
	any := false
	for _, e := range empty {
		any = any || e
	}
	if spare == 0 || !any {
		return
	}
	before := append([]int(nil), m.edge...)
	m.off, m.angle = rescueOffset*m.plan.unit, float64(rescueAngle)
	m.assign(rescueNone, func(t, e int) bool { return before[t] < 0 && empty[e] })
	for i, e := range before {
		if e >= 0 {
			m.edge[i] = e
		}
	}
}

// dropConstruction takes strokes from an edge that run well past it while
// others cover it.
func (m *matching) dropConstruction() {
	for e := range m.at {
		for i := range m.t {
			if m.edge[i] == e && m.through(i) && m.covered(e, i) > coveredBy {
				m.edge[i] = -1
			}
		}
	}
}

// through reports whether trace i runs past its edge as construction lines do.
func (m *matching) through(i int) bool {
	s, t := &m.at[m.edge[i]], &m.t[i]
	lo, hi := s.reach(t)
	past := max(-lo, hi-s.len)
	return past > max(throughs*s.len, throughsMM*m.plan.unit) ||
		past > max(throughsLit*s.len, spill*m.plan.unit) && t.light > 0.5
}

// covered returns the share of edge e that its traces other than skip and
// other than construction lines cover.
func (m *matching) covered(e, skip int) float64 {
	const parts = 32
	var hit [parts]bool
	s := &m.at[e]
	if !(s.len > 0) {
		return 0
	}
	n := 0
	for i := range m.t {
		if i == skip || m.edge[i] != e || m.through(i) {
			continue
		}
		lo, hi := s.reach(&m.t[i])
		for k := range hit {
			x := (float64(k) + 0.5) / parts * s.len
			if !hit[k] && x >= lo && x <= hi {
				hit[k] = true
				n++
			}
		}
	}
	return float64(n) / parts
}

// law is the length law on a sheet of any size: the hand is taken to grow
// with the sheet.
func (m *matching) law(length float64) float64 { return LengthLaw(length / m.plan.unit) }
