package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Session is a browser that is known as a learner's.
type Session struct {
	Learner LearnerID
	Seen    time.Time // when it was made or last renewed
	Expires time.Time
}

// NewGuest makes a learner who is known by nothing but a session, which lasts
// until expires. tokenHash is the token's SHA-256 (32 bytes); one that is
// taken is ErrConflict.
func (s *Store) NewGuest(ctx context.Context, tokenHash []byte, now, expires time.Time) (LearnerID, error) {
	var id LearnerID
	err := s.write(ctx, "new guest", func(t *tx) error {
		err := t.row(`INSERT INTO learner (created_ms) VALUES ($1) RETURNING id`, []any{millis(now)}, &id)
		if err != nil {
			return err
		}
		return t.exec(`INSERT INTO session (token_hash, learner, seen_ms, expires_ms) VALUES ($1, $2, $3, $4)`,
			tokenHash, id, millis(now), millis(expires))
	})
	return id, err
}

// Session returns the session of a token; an unknown one and one that has
// expired are ErrNotFound.
func (s *Store) Session(ctx context.Context, tokenHash []byte, now time.Time) (Session, error) {
	var seen, expires int64
	var ses Session
	err := s.readers.row(ctx, `SELECT learner, seen_ms, expires_ms FROM session WHERE token_hash = $1 AND expires_ms > $2`,
		[]any{tokenHash, millis(now)}, &ses.Learner, &seen, &expires)
	if err != nil {
		return Session{}, fault("session", err)
	}
	ses.Seen, ses.Expires = fromMillis(seen), fromMillis(expires)
	return ses, nil
}

// Renew lets a session that has not expired last until expires; else it is
// ErrNotFound.
func (s *Store) Renew(ctx context.Context, tokenHash []byte, now, expires time.Time) error {
	return s.write(ctx, "renew session", func(t *tx) error {
		n, err := t.count(`UPDATE session SET seen_ms = $1, expires_ms = $2 WHERE token_hash = $3 AND expires_ms > $1`,
			millis(now), millis(expires), tokenHash)
		if err == nil && n == 0 {
			err = ErrNotFound
		}
		return err
	})
}

// pruneBatch bounds how many learners one transaction removes, so that
// others' changes do not wait for all of them.
const pruneBatch = 200

// Prune removes the guests who never handed anything in and whose sessions
// have all expired, with the sheets issued to them. Learners with drawings
// stay, for these are theirs to delete.
func (s *Store) Prune(ctx context.Context, now time.Time) error {
	for {
		var n int64
		err := s.write(ctx, "prune", func(t *tx) (err error) {
			n, err = t.count(`DELETE FROM learner WHERE id IN (
				SELECT l.id FROM learner AS l
				WHERE NOT EXISTS (SELECT 1 FROM session AS s WHERE s.learner = l.id AND s.expires_ms > $1)
				AND NOT EXISTS (SELECT 1 FROM attempt AS a WHERE a.learner = l.id)
				LIMIT $2)`, millis(now), pruneBatch)
			return err
		})
		if err != nil {
			return err
		}
		if n < pruneBatch {
			return s.emptyLog(ctx)
		}
	}
}

// DeleteLearner removes a learner and everything of theirs: sessions, sheets,
// drawings, hand. An unknown one is ErrNotFound. What is deleted is
// overwritten in the file at once; the log that may still hold it is emptied
// too, or, while a reader such as Backup needs it, by the next Prune or Close.
// Copies made by Backup are not reached.
func (s *Store) DeleteLearner(ctx context.Context, id LearnerID) error {
	err := s.write(ctx, "delete learner", func(t *tx) error {
		n, err := t.count(`DELETE FROM learner WHERE id = $1`, id)
		if err == nil && n == 0 {
			err = ErrNotFound
		}
		return err
	})
	if err != nil {
		return err
	}
	return s.emptyLog(ctx)
}

// logTimeout is how long emptying the log waits for readers, and so how long
// changes may wait for it.
const logTimeout = 250 * time.Millisecond

// emptyLog takes the whole log into the file and cuts it to nothing, unless a
// reader needs it for longer than logTimeout. It has a connection of its own,
// since the writer's would wait for the longer time that changes are given.
func (s *Store) emptyLog(ctx context.Context) error {
	db, err := sql.Open("sqlite", dsn(s.path, logTimeout, "synchronous(full)"))
	if err != nil {
		return fault("empty the log", err)
	}
	db.SetMaxOpenConns(1)
	var busy, logged, moved int
	err = db.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &logged, &moved)
	if isBusy(err) { // a busy log is no failure: the deletion itself is done
		err = nil
	}
	return fault("empty the log", errors.Join(err, db.Close()))
}
