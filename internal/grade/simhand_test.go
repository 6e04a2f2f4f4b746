package grade

import (
	"math"
	"math/rand/v2"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// simHand is a simulated hand. Lengths are mm, chances 0 to 1.
type simHand struct {
	name                              string
	s80                               float64 // scatter of direction at 80 mm, deg
	tails                             float64 // chance of a blunder, 5 times the scatter
	wobble, tremor, bow               float64 // mm, mm, % of the length
	hook, past, pastSD                float64 // chance; ends past the corner
	speed                             float64 // mm/s
	split, restate, miss, stray, cons float64
	start                             float64 // sd of where a line starts about its corner
	chain                             float64 // how far lines start from where earlier ones ended
	pointer                           ink.Pointer
}

// simHands are of many kinds, also of some that the published drawings lack:
// short strokes hatched together, and a slow tremor with a finger.
var simHands = []simHand{
	{name: "clean", s80: .45, wobble: .1, tremor: .03, bow: .3, hook: .1, pastSD: .4, speed: 150, stray: .1, start: .5, pointer: ink.Pen},
	{name: "trained", s80: 1.2, wobble: .15, tremor: .04, bow: .7, hook: .3, past: .7, pastSD: 1, speed: 220, split: .05, restate: .1, stray: .05, cons: 1, start: 1, chain: .3, pointer: ink.Touch},
	{name: "average", s80: 2.2, wobble: .25, tremor: .06, bow: .8, hook: .4, past: .3, pastSD: 1.6, speed: 120, split: .1, restate: .15, miss: .03, stray: .1, cons: 1.5, start: 1.5, chain: .5, pointer: ink.Pen},
	{name: "beginner", s80: 4, wobble: .45, tremor: .1, bow: 1.4, hook: .3, pastSD: 2.4, speed: 45, split: .12, restate: .15, miss: .08, stray: .25, cons: 1.5, start: 2, chain: .4, pointer: ink.Mouse},
	{name: "tremble", s80: 2.5, wobble: .35, tremor: .4, bow: .9, hook: .4, pastSD: 1.2, speed: 35, split: .2, restate: .1, miss: .05, stray: .1, start: 1.5, pointer: ink.Touch},
	{name: "quick", s80: 2.2, wobble: .12, tremor: .03, bow: 1.8, hook: .9, past: 2.2, pastSD: 2.6, speed: 600, restate: .15, cons: 2, start: 2, chain: .5, pointer: ink.Pen},
	{name: "restater", s80: 2.2, wobble: .2, tremor: .05, bow: .8, hook: .5, past: 1, pastSD: 1.9, speed: 210, split: .2, restate: .9, cons: 3, start: 1.5, chain: .3, pointer: ink.Pen},
	{name: "blunder", s80: 2.3, tails: .15, wobble: .3, tremor: .07, bow: 1.4, hook: .3, past: 1, pastSD: 2.4, speed: 105, split: .15, restate: .1, miss: .05, stray: .1, cons: 2, start: 2, chain: .5, pointer: ink.Pen},
	{name: "hatcher", s80: 2.5, wobble: .2, tremor: .05, bow: .8, hook: .2, pastSD: 2, speed: 150, split: .8, restate: .3, cons: 1, start: 2, chain: .3, pointer: ink.Pen},
	{name: "finger", s80: 3, wobble: .5, tremor: .5, bow: 1.5, hook: .3, past: 1, pastSD: 3, speed: 60, split: .1, restate: .2, miss: .05, stray: .2, cons: .5, start: 3, chain: .7, pointer: ink.Touch},
}

// simFault is a fault in one set of a drawing: the fan turned by turn, its
// inverse distance changed by early (1/mm).
type simFault struct {
	set         perspective.Set
	turn, early float64
}

// simDrawing is a drawing with what it means: the edge of each stroke, or "".
type simDrawing struct {
	a    *Attempt
	edge []string
}

// draw draws x.
func (h simHand) draw(r *rand.Rand, x *drill.Exercise, fault *simFault) simDrawing {
	d := simDrawing{a: &Attempt{ID: "sim", Exercise: x.ID, Input: ink.Input{Pointer: h.pointer}}}
	at := map[int]geom.Vec{} // where corners were drawn
	for _, c := range r.Perm(len(x.Edges)) {
		e := x.Edges[c]
		if e.Given || r.Float64() < h.miss {
			continue
		}
		p, _ := x.Point(e.Box, e.Set)
		h.edge(r, &d, x, e, p.At, fault, at)
	}
	for range int(h.cons*2*r.Float64() + .5) {
		h.construct(r, &d, x)
	}
	for range 2 {
		if r.Float64() < h.stray {
			m := geom.Vec{X: 20 + 257*r.Float64(), Y: 20 + 170*r.Float64()}
			q := m.Add(geom.Direction(geom.Angle(7 * r.Float64())).Scale(1 + 7*r.Float64()))
			h.stroke(r, &d, m, q, "", 1)
		}
	}
	return d
}

// edge draws one edge, in pieces, more than once, or both.
func (h simHand) edge(r *rand.Rand, d *simDrawing, x *drill.Exercise, e drill.Edge, v geom.Point, fault *simFault, at map[int]geom.Vec) {
	i, j := e.Corners[0], e.Corners[1]
	if r.IntN(2) == 0 {
		i, j = j, i
	}
	a, b := x.Corners[i], x.Corners[j]
	if w, ok := at[i]; ok {
		a = a.Add(w.Sub(a).Scale(h.chain))
	}
	n := 1
	if r.Float64() < h.restate {
		n += 1 + r.IntN(2)
	}
	for range n {
		s := a.Add(geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64()}.Scale(h.start * .7))
		l := b.Sub(a).Len()
		m := geom.Mid(a, b)
		u, _ := aim(x, e, m, v, fault).Unit()
		if u.Dot(b.Sub(a)) < 0 {
			u = u.Scale(-1)
		}
		sd := h.s80
		if r.Float64() < h.tails {
			sd *= 5
		}
		u = geom.Direction(u.Angle() + geom.Degrees(sd*LengthLaw(l)*r.NormFloat64()))
		t := s.Add(u.Scale(l*(1+.02*r.NormFloat64()) + h.past + h.pastSD*r.NormFloat64()))
		at[j] = t
		h.pieces(r, d, s.Sub(u.Scale(h.past)), t, e.ID)
	}
}

// aim returns the direction from m that the hand means for an edge.
func aim(x *drill.Exercise, e drill.Edge, m geom.Vec, v geom.Point, fault *simFault) geom.Vec {
	if fault == nil || fault.set != e.Set {
		return v.From(m)
	}
	var mid geom.Vec
	n := 0.0
	for _, o := range x.Edges {
		if o.Set == e.Set && o.Box == e.Box {
			mid, n = mid.Add(geom.Mid(x.Corners[o.Corners[0]], x.Corners[o.Corners[1]])), n+1
		}
	}
	p := toward(mid.Scale(1/n), v)
	p.set(p.beta+fault.turn, p.kappa+fault.early)
	q := p.m.Sub(m)
	return p.u.Add(q.Scale(p.kappa))
}

// pieces draws a line from a to b as one stroke or several.
func (h simHand) pieces(r *rand.Rand, d *simDrawing, a, b geom.Vec, edge string) {
	n := 1
	if r.Float64() < h.split && b.Sub(a).Len() > 25 {
		n = 2 + r.IntN(2)
	}
	for k := range n {
		s := a.Add(b.Sub(a).Scale(float64(k) / float64(n)))
		t := a.Add(b.Sub(a).Scale(float64(k+1) / float64(n)))
		if n > 1 {
			s = s.Add(geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64()}.Scale(.6))
		}
		h.stroke(r, d, s, t, edge, 1)
	}
}

// construct draws a construction line: an edge's line run through toward its
// point, past the edge, or the horizon.
func (h simHand) construct(r *rand.Rand, d *simDrawing, x *drill.Exercise) {
	e := x.Edges[r.IntN(len(x.Edges))]
	a, b := x.Corners[e.Corners[0]], x.Corners[e.Corners[1]]
	p, _ := x.Point(e.Box, e.Set)
	u, _ := p.At.From(a).Unit()
	if p.At.Finite() && p.At.From(b).Len() > p.At.From(a).Len() {
		a = b
	}
	turn := geom.Degrees(.7 * h.s80 * r.NormFloat64())
	u = geom.Direction(u.Angle() + turn)
	l := b.Sub(x.Corners[e.Corners[0]]).Len()*(1+.5*r.Float64()) + 40*r.Float64() + 10
	h.stroke(r, d, a.Sub(u.Scale(8*r.Float64())), a.Add(u.Scale(l)), "", .3+.3*r.Float64())
}

// stroke samples one stroke: slow ends, bow, S-curve, tremor, hooks, reports
// of a real device.
func (h simHand) stroke(r *rand.Rand, d *simDrawing, a, b geom.Vec, edge string, press float64) {
	if edge != "" && r.IntN(10) < 3 {
		a, b = b, a
	}
	l := b.Sub(a).Len()
	u, ok := b.Sub(a).Unit()
	if !ok {
		return
	}
	n := max(4, int(l/h.speed*120*1.3)+4)
	bow, curve := h.bow/100*l*r.NormFloat64(), .3*h.wobble*r.NormFloat64()
	f1, f2, ph := 1+2*r.Float64(), 8+4*r.Float64(), 6*r.Float64()
	s := ink.Stroke{Role: ink.RoleEdge}
	base := .4 + .3*r.Float64()
	put := func(p geom.Vec, t, pr float64) {
		sig := h.pointer.Noise() * .7
		s.X = append(s.X, math.Round((p.X+sig*r.NormFloat64())*100)/100)
		s.Y = append(s.Y, math.Round((p.Y+sig*r.NormFloat64())*100)/100)
		s.T = append(s.T, t)
		s.P = append(s.P, min(1, max(0, pr)))
	}
	if r.Float64() < h.hook { // the pen lands while still turning in
		o := u.Perp().Scale((r.Float64() - .5) * 3).Sub(u.Scale((r.Float64() - .4) * 3))
		for k := range 3 {
			put(a.Add(o.Scale(1-float64(k)/3)), float64(k)*8, .2*base)
		}
	}
	for k := range n {
		q := float64(k) / float64(n-1)
		q = q + .12*math.Sin(2*math.Pi*q)/-2*.8 // slow at both ends
		x := 2*q - 1
		off := bow*(1-x*x) + curve*(2.5*x*x*x-1.5*x) +
			h.wobble*.6*math.Sin(2*math.Pi*f1*q+ph) + h.tremor*math.Sin(2*math.Pi*f2*q*l/h.speed+ph)
		put(a.Add(u.Scale(q*l)).Add(u.Perp().Scale(off)), float64(k+3)*8, base*press*(.6+.6*math.Sin(math.Pi*q)))
	}
	if r.Float64() < h.hook {
		o := u.Perp().Scale((r.Float64() - .5) * 4).Add(u.Scale((r.Float64() - .6) * 4))
		for k := range 3 {
			put(b.Add(o.Scale(float64(k+1)/3)), float64(n+3+k)*8, .2*base)
		}
	}
	d.a.Strokes = append(d.a.Strokes, s)
	d.edge = append(d.edge, edge)
}
