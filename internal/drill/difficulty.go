package drill

import (
	"math"

	"boxwright/internal/geom"
)

// Weights of the features of Difficulty, in ln units: a judgement from the
// geometry, to be refitted from what learners draw.
const (
	weightFar    = 0.30 // per ln(1 + distance of a point / box size)
	weightOff    = 0.20 // points off the sheet, where no pen can be put
	weightSmall  = 0.32 // per -ln(length of an edge / 80 mm): the slope of a hand's direction error at 80 mm
	weightFlat   = 0.15 // per ln of a set's foreshortening
	weightGivens = 0.40 // from all corners given to none
	weightHidden = 0.30 // points not shown
)

// Difficulty returns how hard x is, as the natural logarithm of the error to
// be expected of the same hand, against a big box whose points are near. It
// grows with the distance of the points in box sizes, with short edges and
// foreshortening, with fewer givens, and when the points are not shown. x is a
// whole exercise as New makes it; one without a box or dots has difficulty 0.
func Difficulty(x *Exercise) float64 {
	if x.Kind == Join {
		return joinDifficulty(x)
	}
	if len(x.Corners) == 0 || len(x.Edges) != 12 {
		return 0
	}
	lo, hi := x.Corners[0], x.Corners[0]
	for _, c := range x.Corners {
		lo = geom.Vec{X: min(lo.X, c.X), Y: min(lo.Y, c.Y)}
		hi = geom.Vec{X: max(hi.X, c.X), Y: max(hi.Y, c.Y)}
	}
	size := max(hi.X-lo.X, hi.Y-lo.Y)
	var d, finite, far, off, hidden float64
	for _, p := range x.Points {
		if v, ok := p.At.Vec(); ok {
			finite++
			far += math.Log(1 + v.Sub(geom.Mid(lo, hi)).Len()/size)
			if v.X < 0 || v.X > x.Sheet.Width || v.Y < 0 || v.Y > x.Sheet.Height {
				off++
			}
			if !p.Shown {
				hidden++
			}
		}
	}
	if finite > 0 {
		d += (weightFar*far + weightOff*off + weightHidden*hidden) / finite
	}
	var short float64
	var sum [3]float64
	for _, e := range x.Edges {
		l := x.Segment(e).Len()
		short -= math.Log(l/80) / float64(len(x.Edges))
		sum[e.Set] += l
	}
	d += weightSmall * short
	d += weightFlat * math.Log(max(sum[0], sum[1], sum[2])/min(sum[0], sum[1], sum[2]))
	missing := 0
	for _, g := range x.CornersGiven() {
		if !g {
			missing++
		}
	}
	return d + weightGivens*float64(missing)/float64(len(x.Corners))
}

// joinDifficulty weighs the lines' whole length: a long line is the harder to
// keep straight, and every further line crowds the sheet.
func joinDifficulty(x *Exercise) float64 {
	if len(x.Targets) == 0 {
		return 0
	}
	var long float64
	for _, t := range x.Targets {
		long += t.B.Sub(t.A).Len() / maxJoin
	}
	return weightSmall * math.Log(long)
}
