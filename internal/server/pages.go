package server

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"boxwright/internal/api"
	"boxwright/internal/drill"
	"boxwright/internal/page"
	"boxwright/internal/sheet"
	"boxwright/internal/store"
)

// A newcomer's first sheet: the view that most drawings are made in, with
// everything shown.
const (
	firstKind  = drill.Finish
	firstView  = drill.Two
	firstLevel = 1
)

// getDesk shows a sheet to draw on at once: the last one issued and not yet
// handed in, so that a reload loses nothing, or a new one like the last.
func (s *Server) getDesk(w http.ResponseWriter, r *http.Request) error {
	who, err := s.learner(w, r)
	if err != nil {
		return err
	}
	rec, err := s.Store.OpenExercise(r.Context(), who)
	if err == nil {
		x, err := decodeIssued(rec.Doc)
		if err != nil {
			return err
		}
		return s.showSheet(w, r, who, x)
	}
	if !errors.Is(err, store.ErrNotFound) {
		return err
	}
	k, v, level, err := s.lastChoice(r, who)
	if err != nil {
		return err
	}
	x, err := s.issue(r, who, k, v, level, nil)
	if err != nil {
		return err
	}
	return s.showSheet(w, r, who, x)
}

// lastChoice returns what the learner drew last, or the newcomer's sheet.
func (s *Server) lastChoice(r *http.Request, who store.LearnerID) (drill.Kind, drill.View, int, error) {
	last, err := s.Store.Attempts(r.Context(), who, time.Time{}, 1)
	if err != nil {
		return "", "", 0, err
	}
	if len(last) == 0 {
		return firstKind, firstView, firstLevel, nil
	}
	return drill.Kind(last[0].Kind), drill.View(last[0].View), last[0].Level, nil
}

func (s *Server) showSheet(w http.ResponseWriter, r *http.Request, who store.LearnerID, x *drill.Exercise) error {
	n, err := s.Store.AttemptCount(r.Context(), who)
	if err != nil {
		return err
	}
	m := page.NewSheet(x, api.EncodeExercise(x, false), page.Paper{SVG: sheet.Exercise(x).SVG(), Number: n + 1, First: n == 0})
	return writePage(w, r, page.SheetPage(s.frame, m))
}

func (s *Server) getSheet(w http.ResponseWriter, r *http.Request) error {
	who, x, err := s.ownExercise(w, r)
	if err != nil {
		return err
	}
	return s.showSheet(w, r, who, x)
}

func (s *Server) getSheetSVG(w http.ResponseWriter, r *http.Request) error {
	_, x, err := s.ownExercise(w, r)
	if err != nil {
		return err
	}
	write(w, r, http.StatusOK, svgType, []byte(sheet.Exercise(x).Picture()))
	return nil
}

func (s *Server) getSheetPDF(w http.ResponseWriter, r *http.Request) error {
	_, x, err := s.ownExercise(w, r)
	if err != nil {
		return err
	}
	b, err := sheet.PDF(sheet.Exercise(x), "Boxwright "+x.ID)
	if err != nil {
		return fmt.Errorf("server: %w", err)
	}
	w.Header().Set("Content-Disposition", `inline; filename="boxwright-`+x.ID+`.pdf"`)
	write(w, r, http.StatusOK, pdfType, b)
	return nil
}

// postSheet issues a sheet and leads to it: what a form without any script
// can do.
func (s *Server) postSheet(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, 16<<10)
	if err := r.ParseForm(); err != nil {
		return fmt.Errorf("%w: %w", errBodyCut, err)
	}
	level, err := strconv.Atoi(r.PostForm.Get("level"))
	if err != nil {
		return fmt.Errorf("%w: a level is a whole number from %d to %d", drill.ErrLevel, drill.MinLevel, drill.MaxLevel)
	}
	who, err := s.learner(w, r)
	if err != nil {
		return err
	}
	x, err := s.issue(r, who, drill.Kind(r.PostForm.Get("drill")), drill.View(r.PostForm.Get("view")), level, nil)
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/sheets/"+x.ID, http.StatusSeeOther)
	return nil
}

// sampleSeed is the seed of the small pictures on the practice page.
const sampleSeed = 7

func (s *Server) getPractice(w http.ResponseWriter, r *http.Request) error {
	who, err := s.learner(w, r)
	if err != nil {
		return err
	}
	_, _, level, err := s.lastChoice(r, who)
	if err != nil {
		return err
	}
	var samples []page.Sample
	for _, k := range drill.Kinds {
		for _, v := range drill.Views(k) {
			x, err := drill.New(k, v, level, sampleSeed)
			if err != nil {
				return err
			}
			samples = append(samples, page.Sample{Kind: k, View: v, Level: level, Picture: sheet.Thumb(sheet.Exercise(x))})
		}
	}
	return writePage(w, r, page.PracticePage(s.frame, page.NewPractice(samples)))
}

// redline builds the model of an attempt's redline: the same for the page
// that opens days later and for the part that is laid over the sheet.
func (s *Server) redline(w http.ResponseWriter, r *http.Request) (page.Redline, error) {
	d, err := s.ownDrawing(w, r)
	if err != nil {
		return page.Redline{}, err
	}
	over, err := s.pooled(r, d)
	if err != nil {
		return page.Redline{}, err
	}
	return page.NewRedline(d.exercise, d.attempt, d.grade, page.Paper{
		Pooled: over,
		SVG:    sheet.Redline(d.exercise, d.attempt, d.grade).SVG(),
		Number: d.number, Handed: d.received.In(zone(r)),
	}), nil
}

func (s *Server) getRedline(w http.ResponseWriter, r *http.Request) error {
	m, err := s.redline(w, r)
	if err != nil {
		return err
	}
	return writePage(w, r, page.RedlinePart(m))
}

func (s *Server) getAttempt(w http.ResponseWriter, r *http.Request) error {
	m, err := s.redline(w, r)
	if err != nil {
		return err
	}
	return writePage(w, r, page.AttemptPage(s.frame, m))
}

func (s *Server) getAttemptSVG(w http.ResponseWriter, r *http.Request) error {
	d, err := s.ownDrawing(w, r)
	if err != nil {
		return err
	}
	write(w, r, http.StatusOK, svgType, []byte(sheet.Redline(d.exercise, d.attempt, d.grade).Picture()))
	return nil
}
