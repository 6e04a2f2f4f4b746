package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"time"
)

// Attempt is one handed-in drawing with its grade. Angles are degrees.
type Attempt struct {
	ID       string // a UUID made by the client
	Exercise string
	Learner  LearnerID
	Received time.Time
	Started  time.Time // zero: not told
	Hash     []byte    // 32 bytes over the document: tells a repeat from another drawing

	Head    []byte // the attempt document without its strokes
	Strokes []byte // as ink.Pack makes them
	Grade   []byte // the grade document

	Pointer string
	Kind    string
	View    string
	Level   int
	Score   int
	Lines   int      // graded lines
	RMS     *float64 // over the graded lines; nil: none was drawn
	Sets    []AttemptSet

	// What the drawing adds to the learner's hand history with this pointer:
	// square degrees at 80 mm, degrees of freedom.
	ScatterSumSq float64
	ScatterDOF   float64
}

// AttemptSet is what the drawn lines of one set of one box amount to. A drill
// without sets has one AttemptSet with an empty name.
type AttemptSet struct {
	Box       int
	Set       string
	Lines     int     // at least 1
	RMS       float64 // degrees
	Bias      float64 // rms of what the whole pencil shares
	Scatter   float64 // rms of the rest
	SumSigned float64 // sum of the lines' signed errors
	// Turn is the whole pencil turned (+ clockwise), Early how much too early
	// (+) or too late (-) it meets; nil: not determined.
	Turn, Early *float64
}

// AddAttempt keeps a drawing and adds its scatter to the learner's hand
// history. When it returns without error the drawing is on the disk.
//
// The same drawing again (id, learner, exercise and hash alike) changes
// nothing and returns what is stored, with created false. An id that is taken
// by anything else is ErrConflict; a sheet that is not the learner's own is
// ErrNotFound.
func (s *Store) AddAttempt(ctx context.Context, a Attempt) (stored Attempt, created bool, err error) {
	err = s.write(ctx, "add attempt", func(t *tx) error {
		old, err := loadAttempt(t, `a.id = $1`, a.ID)
		switch {
		case err == nil:
			if old.Learner != a.Learner || old.Exercise != a.Exercise || !bytes.Equal(old.Hash, a.Hash) {
				return ErrConflict
			}
			stored = old
			return nil
		case !errors.Is(err, sql.ErrNoRows):
			return err
		}
		var own int
		if err := t.row(`SELECT count(*) FROM exercise WHERE id = $1 AND learner = $2`, []any{a.Exercise, a.Learner}, &own); err != nil {
			return err
		}
		if own == 0 {
			return ErrNotFound
		}
		if err := insertAttempt(t, a); err != nil {
			return err
		}
		stored, created = a, true
		return nil
	})
	if err != nil {
		return Attempt{}, false, err
	}
	return stored, created, nil
}

func insertAttempt(t *tx, a Attempt) error {
	var begun *int64
	if !a.Started.IsZero() {
		ms := millis(a.Started)
		begun = &ms
	}
	err := t.exec(`INSERT INTO attempt (id, exercise, learner, received_ms, started_ms, hash, pointer, kind, view, level, score, lines, rms_deg, hand_sum_sq, hand_dof)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
		a.ID, a.Exercise, a.Learner, millis(a.Received), begun, a.Hash, a.Pointer, a.Kind, a.View, a.Level, a.Score, a.Lines, a.RMS, a.ScatterSumSq, a.ScatterDOF)
	if err != nil {
		return err
	}
	err = t.exec(`INSERT INTO attempt_doc (attempt, head, strokes, grade) VALUES ($1, $2, $3, $4)`, a.ID, a.Head, a.Strokes, a.Grade)
	if err != nil {
		return err
	}
	for _, k := range a.Sets {
		err := t.exec(`INSERT INTO attempt_set (attempt, box, name, lines, rms_deg, bias_deg, scatter_deg, sum_signed_deg, turn_deg, early_deg)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
			a.ID, k.Box, k.Set, k.Lines, k.RMS, k.Bias, k.Scatter, k.SumSigned, k.Turn, k.Early)
		if err != nil {
			return err
		}
	}
	if a.ScatterSumSq == 0 && a.ScatterDOF == 0 {
		return nil
	}
	return t.exec(`INSERT INTO hand (learner, pointer, sum_sq, dof) VALUES ($1, $2, $3, $4)
		ON CONFLICT (learner, pointer) DO UPDATE SET sum_sq = hand.sum_sq + excluded.sum_sq, dof = hand.dof + excluded.dof`,
		a.Learner, a.Pointer, a.ScatterSumSq, a.ScatterDOF)
}

// Attempt returns a learner's own drawing with its documents; another's is
// ErrNotFound.
func (s *Store) Attempt(ctx context.Context, learner LearnerID, id string) (Attempt, error) {
	var a Attempt
	err := s.readers.snapshot(ctx, func(q *snapshot) (err error) {
		a, err = loadAttempt(q, `a.id = $1 AND a.learner = $2`, id, learner)
		return err
	})
	if err != nil {
		return Attempt{}, fault("attempt", err)
	}
	return a, nil
}

// queries is what reads inside a transaction, of the writer's or a reader's.
type queries interface {
	row(query string, args []any, into ...any) error
	rows(query string, args ...any) (*sql.Rows, error)
}

const attemptColumns = `a.id, a.exercise, a.learner, a.received_ms, a.started_ms, a.hash, a.pointer, a.kind, a.view, a.level, a.score, a.lines, a.rms_deg, a.hand_sum_sq, a.hand_dof`

// loadAttempt returns the one attempt that where picks, documents and sets
// included; none is sql.ErrNoRows.
func loadAttempt(q queries, where string, args ...any) (Attempt, error) {
	var r attemptRow
	err := q.row(`SELECT `+attemptColumns+`, d.head, d.strokes, d.grade FROM attempt AS a JOIN attempt_doc AS d ON d.attempt = a.id WHERE `+where,
		args, append(r.into(), &r.Head, &r.Strokes, &r.Grade)...)
	if err != nil {
		return Attempt{}, err
	}
	a := r.attempt()
	rows, err := q.rows(`SELECT `+setColumns+` FROM attempt_set AS k WHERE k.attempt = $1 ORDER BY k.box, k.name`, a.ID)
	if err != nil {
		return Attempt{}, err
	}
	defer rows.Close()
	for rows.Next() {
		var of string
		k, err := scanSet(rows, &of)
		if err != nil {
			return Attempt{}, err
		}
		a.Sets = append(a.Sets, k)
	}
	return a, rows.Err()
}

// attemptRow is where a row of attemptColumns is read to.
type attemptRow struct {
	Attempt
	received int64
	started  *int64
}

func (r *attemptRow) into() []any {
	return []any{&r.ID, &r.Exercise, &r.Learner, &r.received, &r.started, &r.Hash, &r.Pointer, &r.Kind, &r.View, &r.Level, &r.Score, &r.Lines, &r.RMS, &r.ScatterSumSq, &r.ScatterDOF}
}

func (r *attemptRow) attempt() Attempt {
	r.Received = fromMillis(r.received)
	if r.started != nil {
		r.Started = fromMillis(*r.started)
	}
	return r.Attempt
}

const setColumns = `k.attempt, k.box, k.name, k.lines, k.rms_deg, k.bias_deg, k.scatter_deg, k.sum_signed_deg, k.turn_deg, k.early_deg`

func scanSet(rows *sql.Rows, attempt *string) (AttemptSet, error) {
	var k AttemptSet
	err := rows.Scan(attempt, &k.Box, &k.Set, &k.Lines, &k.RMS, &k.Bias, &k.Scatter, &k.SumSigned, &k.Turn, &k.Early)
	return k, err
}
