package store

import (
	"context"
	"math"
	"time"
)

// Attempts returns a learner's drawings received at since or later, newest
// first, at most limit of them (0: all), without their documents: Head,
// Strokes and Grade are nil.
func (s *Store) Attempts(ctx context.Context, learner LearnerID, since time.Time, limit int) ([]Attempt, error) {
	if limit <= 0 {
		limit = math.MaxInt32
	}
	from := int64(math.MinInt64) // the zero time's milliseconds would do as well, but only just
	if !since.IsZero() {
		from = millis(since)
	}
	var list []Attempt
	err := s.readers.snapshot(ctx, func(q *snapshot) (err error) {
		if list, err = listAttempts(q, learner, from, limit); err != nil {
			return err
		}
		return addSets(q, list, learner, from, limit)
	})
	if err != nil {
		return nil, fault("attempts", err)
	}
	return list, nil
}

const listed = ` FROM attempt AS a WHERE a.learner = $1 AND a.received_ms >= $2 ORDER BY a.received_ms DESC, a.id DESC LIMIT $3`

func listAttempts(q *snapshot, learner LearnerID, from int64, limit int) ([]Attempt, error) {
	rows, err := q.rows(`SELECT `+attemptColumns+listed, learner, from, limit)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []Attempt
	for rows.Next() {
		var r attemptRow
		if err := rows.Scan(r.into()...); err != nil {
			return nil, err
		}
		list = append(list, r.attempt())
	}
	return list, rows.Err()
}

// addSets reads the sets of all of list with one query.
func addSets(q *snapshot, list []Attempt, learner LearnerID, from int64, limit int) error {
	rows, err := q.rows(`SELECT `+setColumns+` FROM attempt_set AS k WHERE k.attempt IN (SELECT l.id FROM (SELECT a.id`+listed+`) AS l) ORDER BY k.attempt, k.box, k.name`,
		learner, from, limit)
	if err != nil {
		return err
	}
	defer rows.Close()
	at := make(map[string]int, len(list))
	for i := range list {
		at[list[i].ID] = i
	}
	for rows.Next() {
		var id string
		k, err := scanSet(rows, &id)
		if err != nil {
			return err
		}
		i := at[id]
		list[i].Sets = append(list[i].Sets, k)
	}
	return rows.Err()
}

// AttemptCount returns how many drawings a learner has handed in.
func (s *Store) AttemptCount(ctx context.Context, learner LearnerID) (int, error) {
	var n int
	err := s.readers.row(ctx, `SELECT count(*) FROM attempt WHERE learner = $1`, []any{learner}, &n)
	return n, fault("attempt count", err)
}

// AttemptNumber returns the how manieth drawing of the learner's id is, in the
// order they were received, from 1; 0 when it is not theirs.
func (s *Store) AttemptNumber(ctx context.Context, learner LearnerID, id string) (int, error) {
	var n int
	err := s.readers.row(ctx, `SELECT count(*) FROM attempt AS a, attempt AS b WHERE b.id = $2 AND b.learner = $1 AND a.learner = $1 AND (a.received_ms, a.id) <= (b.received_ms, b.id)`,
		[]any{learner, id}, &n)
	return n, fault("attempt number", err)
}

// Hand returns what is known of a learner's drawing noise with one pointer:
// the sum of squared deviations (square degrees at 80 mm) and its degrees of
// freedom over all drawings; zeros when there is nothing yet.
func (s *Store) Hand(ctx context.Context, learner LearnerID, pointer string) (sumSq, dof float64, err error) {
	err = s.readers.row(ctx, `SELECT coalesce(sum(sum_sq), 0.0), coalesce(sum(dof), 0.0) FROM hand WHERE learner = $1 AND pointer = $2`,
		[]any{learner, pointer}, &sumSq, &dof)
	return sumSq, dof, fault("hand", err)
}
