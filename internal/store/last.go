package store

import "context"

// LastGrades returns the grade documents of the learner's drawing id and of
// those received before it with the same pointer, kind and view, newest first
// and at most limit: only those that added to the hand history, which are the
// free-hand ones. Another's id gives none.
func (s *Store) LastGrades(ctx context.Context, learner LearnerID, id string, limit int) ([][]byte, error) {
	var docs [][]byte
	err := s.readers.snapshot(ctx, func(q *snapshot) error {
		rows, err := q.rows(`SELECT d.grade FROM attempt AS b JOIN attempt AS a ON a.learner = b.learner
			AND a.pointer = b.pointer AND a.kind = b.kind AND a.view = b.view AND (a.received_ms, a.id) <= (b.received_ms, b.id)
			JOIN attempt_doc AS d ON d.attempt = a.id
			WHERE b.id = $1 AND b.learner = $2 AND a.hand_dof > 0 ORDER BY a.received_ms DESC, a.id DESC LIMIT $3`, id, learner, limit)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var doc []byte
			if err := rows.Scan(&doc); err != nil {
				return err
			}
			docs = append(docs, doc)
		}
		return rows.Err()
	})
	return docs, fault("last grades", err)
}
