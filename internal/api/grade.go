package api

import (
	"math"

	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

var (
	gradeShape = shape{
		[]string{"version", "attempt", "exercise", "score", "lines", "sets"},
		[]string{"rms_error_deg", "hand_deg", "corners", "proportions", "proportions_se", "horizon_error_deg", "horizon_error_se_deg", "camera", "answers", "signals", "strays", "depths", "right_angle_error_deg", "missing", "unmatched", "findings", "scatter"},
	}
	gapShape        = shape{[]string{"rms_gap_mm"}, nil}
	scatterShape    = shape{[]string{"sum_sq_deg2", "dof"}, nil}
	gradedLineShape = shape{
		[]string{"strokes", "role", "length_mm"},
		[]string{"edge", "set", "box", "from", "to", "error_deg", "error_se_deg", "miss_mm", "start_gap_mm", "end_gap_mm", "bow_mm", "wobble_mm", "score", "excess", "outside"},
	}
	gradedSetShape = shape{
		[]string{"box", "set", "lines", "rms_error_deg"},
		[]string{"bias_deg", "scatter_deg", "turn_deg", "turn_se_deg", "early_deg", "early_se_deg", "fitted_point", "fitted_point_cov", "pool"},
	}
	poolShape    = shape{[]string{"early", "var", "lever", "sum_sq", "dof"}, nil}
	findingShape = shape{[]string{"code", "text"}, []string{"set", "box", "p"}}
)

// maxGraded bounds the lists of a grade; strokes bound them all.
const maxGraded = 2 * (ink.MaxStrokes + maxEdges)

// DecodeGrade reads a grade document as EncodeGrade writes it.
func DecodeGrade(b []byte) (*grade.Grade, error) {
	r := reader{b: b}
	g := r.grade()
	r.end()
	if r.err != nil {
		return nil, r.err
	}
	return g, nil
}

func (r *reader) grade() *grade.Grade {
	g := new(grade.Grade)
	r.object(gradeShape, func(name string) {
		switch name {
		case "version":
			r.version()
		case "attempt":
			g.Attempt = r.id()
		case "exercise":
			g.Exercise = r.id()
		case "score":
			g.Score = r.integer(0, 100)
		case "rms_error_deg":
			g.RMS = r.optionalAngle()
		case "hand_deg":
			g.Hand = r.optionalAngle()
		case "lines":
			r.array(maxGraded, func(int) { g.Lines = append(g.Lines, r.gradedLine()) })
		case "sets":
			r.array(maxGraded, func(int) { g.Sets = append(g.Sets, r.gradedSet()) })
		case "corners":
			r.object(gapShape, func(string) { v := r.number(); g.CornerGap = &v })
		case "proportions":
			g.Proportions = new([3]float64)
			r.numbers(g.Proportions[:])
		case "horizon_error_deg":
			g.HorizonError = r.optionalAngle()
		case "proportions_se":
			g.ProportionsSE = new([3]float64)
			r.numbers(g.ProportionsSE[:])
		case "horizon_error_se_deg":
			g.HorizonErrorSE = r.optionalAngle()
		case "camera":
			g.Camera = r.camera()
		case "answers":
			r.array(maxGraded, func(int) { g.Answers = append(g.Answers, r.answer()) })
		case "signals":
			g.Signals = r.signals()
		case "strays":
			r.array(maxGraded, func(int) { g.Strays = append(g.Strays, r.strayEdge()) })
		case "depths":
			r.array(maxGraded, func(int) { g.Depths = append(g.Depths, r.depth()) })
		case "right_angle_error_deg":
			g.RightAngle = r.optionalAngle()
		case "missing":
			g.Missing = r.ids(maxGraded)
		case "unmatched":
			g.Unmatched = r.strokeNumbers()
		case "findings":
			r.array(maxGraded, func(int) { g.Findings = append(g.Findings, r.finding()) })
		case "scatter":
			g.Scatter = r.scatter()
		}
	})
	return g
}

func (r *reader) angle() geom.Angle { return geom.Degrees(r.within(-maxAngle, maxAngle)) }

func (r *reader) optionalAngle() *geom.Angle {
	if r.null() {
		return nil
	}
	a := r.angle()
	return &a
}

func (r *reader) strokeNumbers() (v []int) {
	r.array(ink.MaxStrokes, func(int) { v = append(v, r.integer(0, ink.MaxStrokes-1)) })
	return v
}

func (r *reader) scatter() (s grade.Scatter) {
	r.object(scatterShape, func(name string) {
		if name == "dof" {
			s.DOF = r.number()
		} else {
			s.SumSq = r.number()
		}
	})
	return s
}

// place reads a finite point without limits: a fitted line may end anywhere.
func (r *reader) place() geom.Vec {
	var v [2]float64
	r.numbers(v[:])
	return geom.Vec{X: v[0], Y: v[1]}
}

func (r *reader) gradedLine() (l grade.Line) {
	r.object(gradedLineShape, func(name string) {
		switch name {
		case "strokes":
			l.Strokes = r.strokeNumbers()
		case "edge":
			l.Edge = r.id()
		case "set":
			l.Set, l.HasSet = r.set(), true
		case "box":
			l.Box = r.integer(0, math.MaxInt32)
		case "role":
			l.Role = word(r, roles)
		case "from":
			l.From = r.place()
		case "to":
			l.To = r.place()
		case "length_mm":
			l.Length = r.number()
		case "error_deg":
			l.Error = r.angle()
		case "error_se_deg":
			l.ErrorSE = r.angle()
		case "miss_mm":
			if !r.null() {
				v := r.number()
				l.Miss = &v
			}
		case "start_gap_mm":
			l.StartGap = r.number()
		case "end_gap_mm":
			l.EndGap = r.number()
		case "bow_mm":
			l.Bow = r.number()
		case "wobble_mm":
			l.Wobble = r.number()
		case "score":
			l.Score = r.number()
		case "excess":
			l.Excess = r.number()
		case "outside":
			l.Outside = r.boolean()
		}
	})
	return l
}

func (r *reader) gradedSet() (s grade.SetGrade) {
	r.object(gradedSetShape, func(name string) {
		switch name {
		case "box":
			s.Box = r.integer(0, math.MaxInt32)
		case "set":
			s.Set = r.set()
		case "lines":
			s.Lines = r.integer(0, math.MaxInt32)
		case "rms_error_deg":
			s.RMS = r.angle()
		case "bias_deg":
			s.Bias = r.angle()
		case "scatter_deg":
			s.Scatter = r.angle()
		case "turn_deg":
			s.Turn = r.optionalAngle()
		case "turn_se_deg":
			s.TurnSE = r.optionalAngle()
		case "early_deg":
			s.Early = r.optionalAngle()
		case "early_se_deg":
			s.EarlySE = r.optionalAngle()
		case "fitted_point":
			s.Fitted = r.fittedPoint()
		case "fitted_point_cov":
			if !r.null() {
				s.FittedCov = new([3]float64)
				r.numbers(s.FittedCov[:])
			}
		case "pool":
			s.Pool = r.pool()
		}
	})
	return s
}

func (r *reader) pool() *grade.SetPool {
	p := new(grade.SetPool)
	r.object(poolShape, func(name string) {
		v := r.number()
		switch name {
		case "early":
			p.Early = v
		case "var":
			p.Var = v
		case "lever":
			p.Lever = v
		case "sum_sq":
			p.SumSq = v
		case "dof":
			p.DOF = v
		}
	})
	return p
}

// fittedPoint reads a point as it stands: it is in canonical form already,
// and may lie farther away than a true one.
func (r *reader) fittedPoint() *geom.Point {
	if r.null() {
		return nil
	}
	var v [3]float64
	r.numbers(v[:])
	return &geom.Point{X: v[0], Y: v[1], W: v[2]}
}

func (r *reader) finding() (f grade.Finding) {
	r.object(findingShape, func(name string) {
		switch name {
		case "code":
			f.Code = r.id()
		case "set":
			f.Set, f.HasSet = r.set(), true
		case "box":
			f.Box = r.integer(0, math.MaxInt32)
		case "text":
			f.Text = string(r.text())
		case "p":
			f.P = r.number()
		}
	})
	return f
}
