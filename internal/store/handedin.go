package store

import "context"

// HandedIn reports whether the learner has handed in a drawing of the sheet;
// another's sheet has none of theirs.
func (s *Store) HandedIn(ctx context.Context, learner LearnerID, exercise string) (bool, error) {
	var n int
	err := s.readers.row(ctx, `SELECT count(*) FROM (SELECT 1 FROM attempt WHERE exercise = $1 AND learner = $2 LIMIT 1) AS a`,
		[]any{exercise, learner}, &n)
	return n > 0, fault("handed in", err)
}
