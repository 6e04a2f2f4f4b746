package server

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"boxwright/internal/api"
	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
	"boxwright/internal/store"
)

// postAttempt grades an attempt and keeps it. It answers 201 only when the
// attempt is on the disk; the same attempt again gets the same answer as 200.
func (s *Server) postAttempt(w http.ResponseWriter, r *http.Request) error {
	who, x, err := s.ownExercise(w, r)
	if err != nil {
		return err
	}
	body, err := readJSON(w, r)
	if err != nil {
		return err
	}
	a, err := api.DecodeAttempt(body)
	if err != nil {
		return err
	}
	if a.Exercise != x.ID {
		return &ink.InputError{Pointer: "/exercise", Detail: "the attempt names another exercise than the address it was sent to"}
	}
	rec, created, err := s.keep(r, who, x, a)
	if err != nil {
		return err
	}
	w.Header().Set("Location", "/api/v1/attempts/"+a.ID)
	status := http.StatusOK
	if created {
		status = http.StatusCreated
	}
	write(w, r, status, jsonType, rec.Grade)
	return nil
}

// keep grades a with what is known of the learner's hand and stores both. What
// is kept already is not graded again: it keeps the grade that was answered.
func (s *Server) keep(r *http.Request, who store.LearnerID, x *drill.Exercise, a *grade.Attempt) (store.Attempt, bool, error) {
	hash := sha256.Sum256(api.EncodeAttempt(a))
	old, err := s.Store.Attempt(r.Context(), who, a.ID)
	if err == nil && old.Exercise == x.ID && bytes.Equal(old.Hash, hash[:]) {
		return old, false, nil
	} else if err != nil && !errors.Is(err, store.ErrNotFound) {
		return store.Attempt{}, false, err
	}
	hand, err := s.hand(r, who, a.Input.Pointer)
	if err != nil {
		return store.Attempt{}, false, err
	}
	g, err := grade.Of(x, a, hand)
	if err != nil {
		return store.Attempt{}, false, err
	}
	head := *a
	head.Strokes = nil
	rec := store.Attempt{
		ID: a.ID, Exercise: x.ID, Learner: who, Received: s.Now(), Started: a.Started, Hash: hash[:],
		Strokes: ink.Pack(a.Strokes), Head: api.EncodeAttempt(&head), Grade: api.EncodeGrade(g),
		Pointer: string(a.Input.Pointer), Kind: string(x.Kind), View: string(x.View), Level: x.Level,
		Score: g.Score, Lines: gradedLines(g), RMS: degrees(g.RMS), Sets: setRows(g),
		ScatterSumSq: g.Scatter.SumSq, ScatterDOF: g.Scatter.DOF,
	}
	return s.Store.AddAttempt(r.Context(), rec)
}

// hand returns what earlier drawings with the same pointer tell of the
// learner's own noise.
func (s *Server) hand(r *http.Request, who store.LearnerID, p ink.Pointer) (grade.Hand, error) {
	sumSq, dof, err := s.Store.Hand(r.Context(), who, string(p))
	if err != nil || dof <= 0 {
		return grade.Hand{}, err
	}
	return grade.Hand{SD: geom.Degrees(math.Sqrt(sumSq / dof)), DOF: dof}, nil
}

func gradedLines(g *grade.Grade) int {
	n := 0
	for _, l := range g.Lines {
		if l.Edge != "" {
			n++
		}
	}
	return n
}

// setRows sums up the lines of each set for the record; a drill without sets
// has one row of all its lines.
func setRows(g *grade.Grade) []store.AttemptSet {
	var rows []store.AttemptSet
	for _, k := range g.Sets {
		if k.Lines == 0 {
			continue
		}
		rows = append(rows, store.AttemptSet{Box: k.Box, Set: k.Set.String(), Lines: k.Lines,
			RMS: k.RMS.Degrees(), Bias: k.Bias.Degrees(), Scatter: k.Scatter.Degrees(),
			Turn: degrees(k.Turn), Early: degrees(k.Early),
			SumSigned: sumSigned(g, func(l grade.Line) bool { return l.HasSet && l.Box == k.Box && l.Set == k.Set })})
	}
	if n := gradedLines(g); len(rows) == 0 && n > 0 && g.RMS != nil {
		rows = append(rows, store.AttemptSet{Lines: n, RMS: g.RMS.Degrees(), Scatter: g.RMS.Degrees(),
			SumSigned: sumSigned(g, func(grade.Line) bool { return true })})
	}
	return rows
}

// sumSigned adds up the signed errors, in degrees, of the edges that belong.
func sumSigned(g *grade.Grade, belongs func(grade.Line) bool) float64 {
	var sum float64
	for _, l := range g.Lines {
		if l.Edge != "" && belongs(l) {
			sum += l.Error.Degrees()
		}
	}
	return sum
}

func degrees(a *geom.Angle) *float64 {
	if a == nil {
		return nil
	}
	d := a.Degrees()
	return &d
}

// drawing is a stored attempt with everything that belongs to it.
type drawing struct {
	exercise *drill.Exercise
	attempt  *grade.Attempt
	grade    *grade.Grade
	// The documents as stored: the exercise with its answers, the grade.
	exerciseDoc, gradeDoc []byte
	received              time.Time
	number                int // the how manieth of the learner's
	learner               store.LearnerID
}

// ownDrawing returns the asker's own attempt that the address names. A UUID may
// be spelled in capitals; it is kept in small letters.
func (s *Server) ownDrawing(w http.ResponseWriter, r *http.Request) (drawing, error) {
	who, err := s.known(w, r)
	if err != nil {
		return drawing{}, err
	}
	return s.drawing(r, who, strings.ToLower(chi.URLParam(r, "id")))
}

func (s *Server) drawing(r *http.Request, who store.LearnerID, id string) (drawing, error) {
	rec, err := s.Store.Attempt(r.Context(), who, id)
	if err != nil {
		return drawing{}, err
	}
	ex, err := s.Store.Exercise(r.Context(), who, rec.Exercise)
	if err != nil {
		return drawing{}, err
	}
	d := drawing{exerciseDoc: ex.Doc, gradeDoc: rec.Grade, received: rec.Received, learner: who}
	if d.number, err = s.Store.AttemptNumber(r.Context(), who, id); err != nil {
		return drawing{}, err
	}
	if d.exercise, err = decodeIssued(ex.Doc); err != nil {
		return drawing{}, err
	}
	if d.attempt, err = api.DecodeAttempt(rec.Head); err != nil {
		return drawing{}, fmt.Errorf("server: stored attempt: %v", err)
	}
	if d.attempt.Strokes, err = ink.Unpack(rec.Strokes); err != nil {
		return drawing{}, fmt.Errorf("server: stored strokes: %v", err)
	}
	if d.grade, err = api.DecodeGrade(rec.Grade); err != nil {
		return drawing{}, fmt.Errorf("server: stored grade: %v", err)
	}
	return d, nil
}

// pooled returns what the drawings up to d prove together, with the same
// pointer in the same view. It is said beside the grade, never stored in it.
func (s *Server) pooled(r *http.Request, d drawing) ([]grade.Finding, error) {
	if d.exercise.Kind != drill.Finish {
		return nil, nil
	}
	docs, err := s.Store.LastGrades(r.Context(), d.learner, d.attempt.ID, grade.PoolDrawings)
	if err != nil {
		return nil, err
	}
	last := make([]*grade.Grade, len(docs))
	for i, b := range docs {
		if last[i], err = api.DecodeGrade(b); err != nil {
			return nil, fmt.Errorf("server: stored grade: %v", err)
		}
	}
	if len(last) == 0 || last[0].Attempt != d.attempt.ID {
		return nil, nil // not drawn free-hand: says nothing of the hand
	}
	return grade.Pool(last), nil
}

func (s *Server) getAttemptDoc(w http.ResponseWriter, r *http.Request) error {
	d, err := s.ownDrawing(w, r)
	if err != nil {
		return err
	}
	write(w, r, http.StatusOK, jsonType, api.EncodeAttemptView(d.exerciseDoc, api.EncodeAttempt(d.attempt), d.gradeDoc))
	return nil
}
