package grade

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// Camera is the arrangement that a free drawing implies, with standard
// errors. What the drawing does not determine is nil: across a two-point
// view the place of the principal point along the horizon, of a one-point
// view the viewing distance.
type Camera struct {
	X, Y     *Figure // principal point, mm on the sheet
	Distance *Figure // viewing distance, mm
	Cone     *Figure // half angle of the cone that just holds the box, in degrees
}

// Figure is a measured number with its standard error.
type Figure struct{ Value, SE float64 }

// outcome is what follows from where three sets meet, in one row of numbers.
type outcome [outTotal]float64

// The parts of an outcome. Angles are rad, sizes natural logarithms of the
// ratio to the width.
const (
	outTilt = iota
	outX
	outY
	outDistance // logarithm
	outCone
	outDepth
	outHeight
	outTotal
)

// scene is what an outcome is made of.
type scene struct {
	sets    [3]pencil
	drawnUp pencil  // the uprights as they were drawn, when taken for parallel
	doubt   float64 // how much that counts
	prior   outlook
	corners [8]geom.Vec
	met     [8]bool
	framed  bool
	sd      [3]float64 // of the right angles between the sets
	near    *view      // where to look for the view; nil: anywhere
	fixed   bool       // the view is near itself
	shape   shape      // where to look for the box's shape, then the shape
}

// vista is an outcome with the standard deviation of each part; known says
// which parts there are.
type vista struct {
	outcome
	sd    outcome
	known [outTotal]bool
}

// How certain a number must be to be told, as a standard deviation.
const (
	tellPoint  = 0.5 // of what was taken for likely before
	tellLength = 0.3 // of a logarithm
)

// hiddenTilt is how much the chance counts that uprights which look parallel
// converge by a standard deviation after all.
const hiddenTilt = 0.35

var (
	tellTilt  = geom.Degrees(10)
	tellCone  = geom.Degrees(10)
	rightness = geom.Degrees(0.2)
)

// look works out the horizon, the camera and the box's proportions, with
// their uncertainties, and writes those that the drawing determines into the
// grade.
func (f *freeDrawing) look() *vista {
	s, ok := f.scene()
	if !ok {
		return nil
	}
	v := s.vista(f.cornerNoise())
	o := s.prior.sd
	tell := [outTotal]float64{
		outTilt: float64(tellTilt), outX: tellPoint * o.x, outY: tellPoint * o.y,
		outDistance: tellLength, outCone: float64(tellCone), outDepth: tellLength, outHeight: tellLength,
	}
	for i := range v.known {
		v.known[i] = v.known[i] && v.sd[i] < tell[i] && finite(v.outcome[i])
	}
	v.known[outCone] = v.known[outCone] && v.known[outDistance]
	f.tellVista(v)
	return v
}

// tellVista writes what is known into the grade.
func (f *freeDrawing) tellVista(v *vista) {
	figure := func(i int, k float64) *Figure {
		if !v.known[i] {
			return nil
		}
		return &Figure{k * v.outcome[i], k * v.sd[i]}
	}
	if v.known[outTilt] {
		f.g.HorizonError, f.g.HorizonErrorSE = angle(v.outcome[outTilt]), angle(v.sd[outTilt])
	}
	c := Camera{X: figure(outX, 1), Y: figure(outY, 1), Cone: figure(outCone, 180/math.Pi)}
	if v.known[outDistance] {
		d := math.Exp(v.outcome[outDistance])
		c.Distance = &Figure{d, d * v.sd[outDistance]}
	}
	if c != (Camera{}) {
		f.g.Camera = &c
	}
	if v.known[outDepth] && v.known[outHeight] {
		f.g.Proportions = &[3]float64{1, math.Exp(v.outcome[outDepth]), math.Exp(v.outcome[outHeight])}
		f.g.ProportionsSE = &[3]float64{0, f.g.Proportions[1] * v.sd[outDepth], f.g.Proportions[2] * v.sd[outHeight]}
	}
}

// scene gathers what the drawing says; ok is false unless all three sets have
// a direction.
func (f *freeDrawing) scene() (s scene, ok bool) {
	s.prior = usualOutlook(f.x.Sheet.Width, f.x.Sheet.Height)
	for k := range f.named {
		m := &f.named[k]
		if !m.sure {
			return s, false
		}
		s.sets[k] = m.fitted
	}
	// Uprights that are not told from parallels are taken for parallels; by
	// what they converge nevertheless the numbers are the less certain.
	up := &s.sets[perspective.Height]
	if z := up.clearness(); twoSided(z, f.noise.dof) > 0.05 {
		s.drawnUp = *up
		s.doubt = min(1, z*z/4)
		*up = up.flattened()
	}
	if s.framed = f.framed; s.framed {
		copy(s.corners[:], f.cornerAt)
		copy(s.met[:], f.cornerMet)
	}
	s.sd = s.squareness()
	s.shape = anyShape
	return s, true
}

// flattened returns the parallels that fit the lines of p best.
func (p *pencil) flattened() pencil {
	q := *p
	q.set(p.beta-p.kappa*p.cbk/p.ckk, 0)
	q.cbb -= p.cbk * p.cbk / p.ckk
	q.cbk, q.ckk = 0, 0
	return q
}

// spreads returns the two independent ways in which a pencil may be off by
// one standard deviation, as steps of beta and kappa.
func (p *pencil) spreads() [2][2]float64 {
	b := math.Sqrt(p.cbb)
	if !(b > 0) {
		return [2][2]float64{}
	}
	return [2][2]float64{{b, p.cbk / b}, {0, math.Sqrt(max(0, p.ckk-p.cbk*p.cbk/p.cbb))}}
}

// moved returns the pencil with a step of beta and kappa taken.
func (p *pencil) moved(d [2]float64) pencil {
	q := *p
	q.set(p.beta+d[0], p.kappa+d[1])
	return q
}

// squareness estimates how far from right the angles between the sets' sight
// lines may come out by chance alone.
func (s *scene) squareness() (sd [3]float64) {
	v := s.prior.mean
	for n, ij := range pairs {
		sum := float64(rightness * rightness)
		for e := range 2 {
			p, q := &s.sets[ij[e]], &s.sets[ij[1-e]]
			other := v.toward(q.point(1 / parallelMM))
			here := v.toward(p.point(1 / parallelMM))
			for _, step := range p.spreads() {
				m := p.moved(step)
				there := v.toward(m.point(1 / parallelMM))
				if here.Dot(there) < 0 {
					there = there.Scale(-1)
				}
				c := there.Sub(here).Dot(other)
				sum += c * c
			}
		}
		sd[n] = math.Sqrt(sum)
	}
	return sd
}

// outcome works everything out from one set of numbers.
func (s *scene) outcome() (o outcome, known [outTotal]bool) {
	var at [3]geom.Point
	for k := range at {
		at[k] = s.sets[k].point(1 / parallelMM)
	}
	h := geom.Join(at[perspective.Width], at[perspective.Depth])
	if n := math.Hypot(h.A, h.B); n > 0.5 {
		o[outTilt], known[outTilt] = float64(geom.Angle(math.Atan2(-h.A, h.B)).Fold()), true
	}
	v := s.view(&squares{at, s.sd})
	o[outX], o[outY], o[outDistance] = v.x, v.y, v.logF
	known[outX], known[outY], known[outDistance] = true, true, true
	if !s.framed {
		return o, known
	}
	p := geom.Vec{X: v.x, Y: v.y}
	for _, c := range s.corners {
		o[outCone] = max(o[outCone], math.Atan(c.Sub(p).Len()/math.Exp(v.logF)))
	}
	known[outCone] = true
	if size, ok := s.shape.see(v, &s.corners, &s.met, &at); ok {
		o[outDepth], o[outHeight] = math.Log(size[1]/size[0]), math.Log(size[2]/size[0])
		known[outDepth], known[outHeight] = true, true
	}
	return o, known
}

func (s *scene) view(q *squares) view {
	if s.fixed {
		return *s.near
	}
	if s.near == nil {
		return q.see(&s.prior)
	}
	v, _ := q.refine(*s.near, &s.prior)
	return v
}

// vista adds the uncertainties: the outcome is worked out anew with every
// number that it is made of off by one standard deviation, the sets' points,
// what was taken for likely, and the corners, which are off by sd mm.
func (s *scene) vista(sd float64) *vista {
	v := new(vista)
	v.outcome, v.known = s.outcome()
	s.near = &view{v.outcome[outX], v.outcome[outY], v.outcome[outDistance]}
	var sum outcome
	add := func(t *scene, weight float64) {
		o, known := t.outcome()
		for i := range o {
			d := o[i] - v.outcome[i]
			if i == outTilt {
				d = math.Remainder(d, math.Pi)
			}
			v.known[i] = v.known[i] && known[i]
			sum[i] += weight * d * d
		}
	}
	for k := range s.sets {
		for _, step := range s.sets[k].spreads() {
			if step == [2]float64{} {
				continue
			}
			for _, sign := range [2]float64{-1, 1} {
				t := *s
				t.sets[k] = s.sets[k].moved([2]float64{sign * step[0], sign * step[1]})
				add(&t, 0.5)
			}
		}
	}
	if s.doubt > 0 {
		t := *s
		t.sets[perspective.Height] = s.drawnUp
		add(&t, s.doubt)
		for _, sign := range [2]float64{-1, 1} {
			t.sets[perspective.Height] = s.sets[perspective.Height].moved([2]float64{0, sign * math.Sqrt(s.drawnUp.ckk)})
			add(&t, 0.5*hiddenTilt)
		}
	}
	for i := range 3 {
		t := *s
		*t.prior.mean.part(i) += *s.prior.sd.part(i)
		add(&t, 1)
	}
	if s.framed {
		for i := range s.corners {
			for _, d := range [2]geom.Vec{{X: sd}, {Y: sd}} {
				t := *s
				t.fixed = true
				t.corners[i] = t.corners[i].Add(d)
				add(&t, 1)
			}
		}
	}
	for i := range sum {
		v.sd[i] = math.Sqrt(sum[i])
	}
	return v
}

// cornerNoise is how far, in mm, the place where lines meet is off a corner.
func (f *freeDrawing) cornerNoise() float64 {
	var sum, n float64
	for i := range f.drawn {
		d := &f.drawn[i]
		e := f.noise.sd * LengthLaw(d.length) * d.length / 2
		sum += e * e
		n++
	}
	return math.Sqrt(sum / max(n, 1) / 2)
}
