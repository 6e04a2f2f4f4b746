package api

import "boxwright/internal/grade"

// EncodeGrade writes a grade document. What does not apply is left out, what
// applies but is not known is null. Angles keep 1e-9 of a degree, all other
// numbers every bit, so that DecodeGrade gives back the same grade.
func EncodeGrade(g *grade.Grade) []byte {
	w := writer{make([]byte, 0, 1024+512*len(g.Lines)+512*len(g.Sets)+256*len(g.Findings))}
	w.open('{')
	w.key("version")
	w.integer(Version)
	w.key("attempt")
	w.text(g.Attempt)
	w.key("exercise")
	w.text(g.Exercise)
	w.key("score")
	w.integer(g.Score)
	w.key("rms_error_deg")
	w.optionalAngle(g.RMS, gradeAngles)
	w.key("hand_deg")
	w.optionalAngle(g.Hand, gradeAngles)
	w.key("lines")
	w.open('[')
	for i := range g.Lines {
		w.gradedLine(&g.Lines[i])
	}
	w.close(']')
	w.key("sets")
	w.open('[')
	for i := range g.Sets {
		w.gradedSet(&g.Sets[i])
	}
	w.close(']')
	w.gradeRest(g)
	w.close('}')
	return w.b
}

// gradeRest writes what belongs to the drawing as a whole.
func (w *writer) gradeRest(g *grade.Grade) {
	if g.CornerGap != nil {
		w.key("corners")
		w.open('{')
		w.key("rms_gap_mm")
		w.number(*g.CornerGap)
		w.close('}')
	}
	if g.Proportions != nil {
		w.key("proportions")
		w.numbers(g.Proportions[:]...)
	}
	if g.ProportionsSE != nil {
		w.key("proportions_se")
		w.numbers(g.ProportionsSE[:]...)
	}
	if g.HorizonError != nil {
		w.key("horizon_error_deg")
		w.angle(*g.HorizonError, gradeAngles)
	}
	if g.HorizonErrorSE != nil {
		w.key("horizon_error_se_deg")
		w.angle(*g.HorizonErrorSE, gradeAngles)
	}
	if g.Camera != nil {
		w.key("camera")
		w.camera(g.Camera)
	}
	w.found(g)
	w.key("missing")
	w.texts(g.Missing)
	w.key("unmatched")
	w.integers(g.Unmatched)
	w.key("findings")
	w.open('[')
	for i := range g.Findings {
		w.finding(&g.Findings[i])
	}
	w.close(']')
	w.key("scatter")
	w.open('{')
	w.key("sum_sq_deg2")
	w.number(g.Scatter.SumSq)
	w.key("dof")
	w.number(g.Scatter.DOF)
	w.close('}')
}

// gradedLine writes a line. A construction line is no edge: what is measured
// against one is left out.
func (w *writer) gradedLine(l *grade.Line) {
	w.open('{')
	w.key("strokes")
	w.integers(l.Strokes)
	if l.Edge != "" {
		w.key("edge")
		w.text(l.Edge)
	}
	if l.HasSet {
		w.key("set")
		w.text(l.Set.String())
		w.key("box")
		w.integer(l.Box)
	}
	w.key("role")
	w.text(string(l.Role))
	w.key("from")
	w.vec(l.From)
	w.key("to")
	w.vec(l.To)
	w.key("length_mm")
	w.number(l.Length)
	w.key("bow_mm")
	w.number(l.Bow)
	w.key("wobble_mm")
	w.number(l.Wobble)
	if l.Edge != "" {
		w.measured(l)
	}
	w.close('}')
}

// measured writes what a line's edge says of it.
func (w *writer) measured(l *grade.Line) {
	w.key("error_deg")
	w.folded(l.Error)
	w.key("error_se_deg")
	w.angle(l.ErrorSE, gradeAngles)
	w.key("miss_mm")
	w.optional(l.Miss)
	w.key("start_gap_mm")
	w.number(l.StartGap)
	w.key("end_gap_mm")
	w.number(l.EndGap)
	w.key("score")
	w.number(l.Score)
	w.key("excess")
	w.number(l.Excess)
	w.key("outside")
	w.boolean(l.Outside)
}

func (w *writer) gradedSet(s *grade.SetGrade) {
	w.open('{')
	w.key("box")
	w.integer(s.Box)
	w.key("set")
	w.text(s.Set.String())
	w.key("lines")
	w.integer(s.Lines)
	w.key("rms_error_deg")
	w.angle(s.RMS, gradeAngles)
	w.key("bias_deg")
	w.angle(s.Bias, gradeAngles)
	w.key("scatter_deg")
	w.angle(s.Scatter, gradeAngles)
	w.key("turn_deg")
	w.optionalAngle(s.Turn, gradeAngles)
	w.key("turn_se_deg")
	w.optionalAngle(s.TurnSE, gradeAngles)
	w.key("early_deg")
	w.optionalAngle(s.Early, gradeAngles)
	w.key("early_se_deg")
	w.optionalAngle(s.EarlySE, gradeAngles)
	w.key("fitted_point")
	if s.Fitted != nil {
		w.point(*s.Fitted)
	} else {
		w.null()
	}
	w.key("fitted_point_cov")
	if s.FittedCov != nil {
		w.numbers(s.FittedCov[:]...)
	} else {
		w.null()
	}
	if p := s.Pool; p != nil {
		w.key("pool")
		w.open('{')
		w.key("early")
		w.number(p.Early)
		w.key("var")
		w.number(p.Var)
		w.key("lever")
		w.number(p.Lever)
		w.key("sum_sq")
		w.number(p.SumSq)
		w.key("dof")
		w.number(p.DOF)
		w.close('}')
	}
	w.close('}')
}

func (w *writer) finding(f *grade.Finding) {
	w.open('{')
	w.key("code")
	w.text(f.Code)
	if f.HasSet {
		w.key("set")
		w.text(f.Set.String())
		w.key("box")
		w.integer(f.Box)
	}
	w.key("text")
	w.text(f.Text)
	if f.P != 0 {
		w.key("p")
		w.number(f.P)
	}
	w.close('}')
}
