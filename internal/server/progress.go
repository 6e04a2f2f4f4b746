package server

import (
	"net/http"
	"time"

	"boxwright/internal/api"
	"boxwright/internal/drill"
	"boxwright/internal/page"
	"boxwright/internal/progress"
	"boxwright/internal/sheet"
	"boxwright/internal/store"
)

// lastSheets is how many small pictures the progress page shows, trendLength
// how many attempts back the API's trend goes.
const (
	lastSheets  = 12
	trendLength = 1000
)

// report reads a learner's record and sums it up, days in zone.
func (s *Server) report(r *http.Request, who store.LearnerID, zone *time.Location) ([]store.Attempt, progress.Report, error) {
	list, err := s.Store.Attempts(r.Context(), who, time.Time{}, 0)
	if err != nil {
		return nil, progress.Report{}, err
	}
	drawings := make([]progress.Drawing, len(list))
	for i, a := range list {
		d := progress.Drawing{ID: a.ID, At: a.Received, Kind: drill.Kind(a.Kind), View: drill.View(a.View), Level: a.Level,
			Pointer: a.Pointer, Score: a.Score, Lines: a.Lines, RMS: a.RMS}
		for _, k := range a.Sets {
			d.Sets = append(d.Sets, progress.Set{Box: k.Box, Name: k.Set, Lines: k.Lines, RMS: k.RMS, SumSigned: k.SumSigned, Early: k.Early})
		}
		drawings[i] = d
	}
	return list, progress.Of(drawings, zone, s.Now()), nil
}

func (s *Server) getProgress(w http.ResponseWriter, r *http.Request) error {
	who, err := s.learner(w, r)
	if err != nil {
		return err
	}
	loc := zone(r)
	list, rep, err := s.report(r, who, loc)
	if err != nil {
		return err
	}
	var last []page.Recent
	for _, a := range list[:min(len(list), lastSheets)] {
		card := page.Recent{Attempt: a.ID, Handed: a.Received.In(loc), Kind: drill.Kind(a.Kind), View: drill.View(a.View), Level: a.Level, Score: a.Score}
		if d, err := s.drawing(r, who, a.ID); err == nil {
			card.Picture = sheet.Thumb(sheet.Redline(d.exercise, d.attempt, d.grade))
		} else { // one damaged drawing is not to hide all the others
			s.Log.Error("no picture", "id", requestIDOf(r), "error", err)
		}
		last = append(last, card)
	}
	return writePage(w, r, page.ProgressPage(s.frame, page.NewProgress(rep, last, s.Now().In(loc))))
}

func (s *Server) getProgressDoc(w http.ResponseWriter, r *http.Request) error {
	who, err := s.learner(w, r)
	if err != nil {
		return err
	}
	list, rep, err := s.report(r, who, zone(r))
	if err != nil {
		return err
	}
	write(w, r, http.StatusOK, jsonType, api.EncodeProgress(progressDoc(list, rep)))
	return nil
}

// progressDoc puts a report and the attempts behind it, newest first, into
// the words of the API.
func progressDoc(list []store.Attempt, rep progress.Report) api.Progress {
	doc := api.Progress{Attempts: rep.Drawings}
	for _, k := range rep.Skills {
		e := api.Skill{Drill: k.Kind, View: k.View, Level: k.Level, Sheets: k.Drawings, Last: k.Last}
		e.Error, e.Low, e.High = estimate(k.All.Recent)
		for _, m := range k.Sets {
			se := api.SkillSet{Set: m.Set, Lines: m.Lines}
			se.RMS, _, _ = estimate(m.Recent)
			if m.Early != nil {
				se.Early = &m.Early.Value
			}
			e.Sets = append(e.Sets, se)
		}
		doc.Skills = append(doc.Skills, e)
	}
	for i := min(len(list), trendLength) - 1; i >= 0; i-- {
		a := list[i]
		p := api.TrendPoint{Attempt: a.ID, At: a.Received, Drill: drill.Kind(a.Kind), View: drill.View(a.View), Level: a.Level, Score: a.Score, RMS: a.RMS}
		for _, k := range a.Sets {
			if k.Set != "" {
				p.Sets = append(p.Sets, api.SetError{Set: k.Set, Lines: k.Lines, RMS: &k.RMS, Bias: &k.Bias, Scatter: &k.Scatter, Turn: k.Turn, Early: k.Early})
			}
		}
		doc.Trend = append(doc.Trend, p)
	}
	for _, d := range rep.Days {
		doc.Days = append(doc.Days, api.Day{Date: d.Date.Format(time.DateOnly), Sheets: d.Drawings, Lines: d.Lines, Score: d.Score})
	}
	return doc
}

func estimate(e *progress.Estimate) (value, low, high *float64) {
	if e == nil {
		return nil, nil, nil
	}
	return &e.Error, &e.Low, &e.High
}
