package store

import (
	"context"
	"fmt"
	"strconv"
	"time"
)

// Exercise is a sheet as it was issued to a learner.
type Exercise struct {
	ID        string
	Learner   LearnerID
	Generator int
	Kind      string
	View      string
	Level     int
	Seed      uint64
	Doc       []byte // the exercise document, answers included
	Issued    time.Time
}

// IssueExercise keeps a sheet before its learner sees it. An id that is taken
// is ErrConflict, an unknown learner ErrNotFound.
func (s *Store) IssueExercise(ctx context.Context, x Exercise) error {
	return s.write(ctx, "issue exercise", func(t *tx) error {
		return t.exec(`INSERT INTO exercise (id, learner, generator, kind, view, level, seed, doc, issued_ms)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
			x.ID, x.Learner, x.Generator, x.Kind, x.View, x.Level, strconv.FormatUint(x.Seed, 10), x.Doc, millis(x.Issued))
	})
}

const exerciseColumns = `x.id, x.learner, x.generator, x.kind, x.view, x.level, x.seed, x.doc, x.issued_ms`

// Exercise returns a learner's own sheet; another's is ErrNotFound.
func (s *Store) Exercise(ctx context.Context, learner LearnerID, id string) (Exercise, error) {
	return s.exercise(ctx, `SELECT `+exerciseColumns+` FROM exercise AS x WHERE x.id = $1 AND x.learner = $2`, id, learner)
}

// OpenExercise returns the sheet that was issued to a learner last and on
// which nothing has been handed in; ErrNotFound when there is none.
func (s *Store) OpenExercise(ctx context.Context, learner LearnerID) (Exercise, error) {
	return s.exercise(ctx, `SELECT `+exerciseColumns+` FROM exercise AS x
		WHERE x.learner = $1 AND NOT EXISTS (SELECT 1 FROM attempt AS a WHERE a.exercise = x.id)
		ORDER BY x.issued_ms DESC, x.id DESC LIMIT 1`, learner)
}

func (s *Store) exercise(ctx context.Context, query string, args ...any) (Exercise, error) {
	var x Exercise
	var seed string
	var issued int64
	err := s.readers.row(ctx, query, args, &x.ID, &x.Learner, &x.Generator, &x.Kind, &x.View, &x.Level, &seed, &x.Doc, &issued)
	if err != nil {
		return Exercise{}, fault("exercise", err)
	}
	if x.Seed, err = strconv.ParseUint(seed, 10, 64); err != nil {
		return Exercise{}, fmt.Errorf("store: exercise %s: seed: %w", x.ID, err)
	}
	x.Issued = fromMillis(issued)
	return x, nil
}
