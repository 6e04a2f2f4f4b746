package api

import (
	"time"

	"boxwright/internal/drill"
)

// Progress is what a learner is told of their practice. Errors are degrees;
// nil stands for what is not known.
type Progress struct {
	Attempts int // all there are, also those too old for Trend
	Skills   []Skill
	Trend    []TrendPoint // oldest first
	Days     []Day        // oldest first, only days with practice
}

// Skill is one drill in one view, counted over the sheets that were drawn with
// the pointer used most lately.
type Skill struct {
	Drill            drill.Kind
	View             drill.View
	Level            int // the level practised last
	Sheets           int
	Last             time.Time
	Error, Low, High *float64 // the error to be expected now and its band
	Sets             []SkillSet
}

// SkillSet is what is told of one set over the drawings of a skill: how many
// lines there are, their lately root mean square error, and how much too
// early (+) or too late (-) the set lately met.
type SkillSet struct {
	Set        string
	Lines      int
	RMS, Early *float64
}

// TrendPoint is one attempt.
type TrendPoint struct {
	Attempt string
	At      time.Time
	Drill   drill.Kind
	View    drill.View
	Level   int
	Score   int
	RMS     *float64
	Sets    []SetError
}

// SetError is how the lines of one set ran. Bias is what its whole pencil
// shares, Scatter the rest; Turn and Early are signed as in a grade.
type SetError struct {
	Set                string
	Lines              int
	RMS, Bias, Scatter *float64
	Turn, Early        *float64
}

// Day is one day of practice in the learner's own time zone.
type Day struct {
	Date   string // 2006-01-02
	Sheets int
	Lines  int
	Score  float64 // mean
}

// EncodeProgress writes a progress document.
func EncodeProgress(p Progress) []byte {
	w := writer{make([]byte, 0, 1024+512*(len(p.Trend)+len(p.Skills)))}
	w.open('{')
	w.key("version")
	w.integer(Version)
	w.key("attempts")
	w.integer(p.Attempts)
	w.key("skills")
	w.open('[')
	for i := range p.Skills {
		w.skill(&p.Skills[i])
	}
	w.close(']')
	w.key("trend")
	w.open('[')
	for i := range p.Trend {
		w.trendPoint(&p.Trend[i])
	}
	w.close(']')
	w.key("days")
	w.open('[')
	for _, d := range p.Days {
		w.day(d)
	}
	w.close(']')
	w.close('}')
	return w.b
}

func (w *writer) skill(s *Skill) {
	w.open('{')
	w.key("drill")
	w.text(string(s.Drill))
	w.key("view")
	w.text(string(s.View))
	w.key("level")
	w.integer(s.Level)
	w.key("sheets")
	w.integer(s.Sheets)
	w.key("last_at")
	w.time(s.Last)
	w.key("error_deg")
	w.optional(s.Error)
	w.key("error_low_deg")
	w.optional(s.Low)
	w.key("error_high_deg")
	w.optional(s.High)
	w.key("sets")
	w.open('[')
	for _, k := range s.Sets {
		w.open('{')
		w.key("set")
		w.text(k.Set)
		w.key("lines")
		w.integer(k.Lines)
		w.key("rms_error_deg")
		w.optional(k.RMS)
		w.key("early_deg")
		w.optional(k.Early)
		w.close('}')
	}
	w.close(']')
	w.close('}')
}

func (w *writer) trendPoint(t *TrendPoint) {
	w.open('{')
	w.key("attempt")
	w.text(t.Attempt)
	w.key("at")
	w.time(t.At)
	w.key("drill")
	w.text(string(t.Drill))
	w.key("view")
	w.text(string(t.View))
	w.key("level")
	w.integer(t.Level)
	w.key("score")
	w.integer(t.Score)
	w.key("rms_error_deg")
	w.optional(t.RMS)
	w.setErrors(t.Sets)
	w.close('}')
}

func (w *writer) setErrors(sets []SetError) {
	w.key("sets")
	w.open('[')
	for _, s := range sets {
		w.open('{')
		w.key("set")
		w.text(s.Set)
		w.key("lines")
		w.integer(s.Lines)
		for _, e := range [...]struct {
			name string
			v    *float64
		}{{"rms_error_deg", s.RMS}, {"bias_deg", s.Bias}, {"scatter_deg", s.Scatter}, {"turn_deg", s.Turn}, {"early_deg", s.Early}} {
			w.key(e.name)
			w.optional(e.v)
		}
		w.close('}')
	}
	w.close(']')
}

func (w *writer) day(d Day) {
	w.open('{')
	w.key("date")
	w.text(d.Date)
	w.key("sheets")
	w.integer(d.Sheets)
	w.key("lines")
	w.integer(d.Lines)
	w.key("score")
	w.number(d.Score)
	w.close('}')
}
