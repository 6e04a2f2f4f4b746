package store

import (
	"errors"
	"fmt"
	"testing"
	"time"
)

func TestSession(t *testing.T) {
	s := open(t, t.TempDir())
	a, b := guest(t, s, 1), guest(t, s, 2)
	if a == b {
		t.Fatal("two guests are one learner")
	}
	ses, err := s.Session(t.Context(), token(1), day0)
	if err != nil || ses.Learner != a || !ses.Seen.Equal(day0) || !ses.Expires.Equal(day0.Add(life)) {
		t.Errorf("%+v, %v", ses, err)
	}
	if _, err := s.Session(t.Context(), token(3), day0); !errors.Is(err, ErrNotFound) {
		t.Errorf("an unknown token: %v", err)
	}
	if _, err := s.NewGuest(t.Context(), token(1), day0, day0.Add(life)); !errors.Is(err, ErrConflict) {
		t.Errorf("a token for two: %v", err)
	}
	if _, err := s.NewGuest(t.Context(), []byte("short"), day0, day0.Add(life)); err == nil || errors.Is(err, ErrConflict) {
		t.Errorf("a token that is no hash: %v", err)
	}
}

func TestSessionExpiresAndIsRenewed(t *testing.T) {
	s := open(t, t.TempDir())
	guest(t, s, 1)
	last := day0.Add(life - time.Millisecond)
	if _, err := s.Session(t.Context(), token(1), last); err != nil {
		t.Errorf("in its last moment: %v", err)
	}
	if _, err := s.Session(t.Context(), token(1), day0.Add(life)); !errors.Is(err, ErrNotFound) {
		t.Errorf("expired: %v", err)
	}
	if err := s.Renew(t.Context(), token(1), last, last.Add(life)); err != nil {
		t.Fatal(err)
	}
	ses, err := s.Session(t.Context(), token(1), day0.Add(life))
	if err != nil || !ses.Seen.Equal(last) || !ses.Expires.Equal(last.Add(life)) {
		t.Errorf("renewed: %+v, %v", ses, err)
	}
	after := last.Add(life)
	if err := s.Renew(t.Context(), token(1), after, after.Add(life)); !errors.Is(err, ErrNotFound) {
		t.Errorf("an expired session was renewed: %v", err)
	}
	if err := s.Renew(t.Context(), token(9), day0, after); !errors.Is(err, ErrNotFound) {
		t.Errorf("an unknown session was renewed: %v", err)
	}
}

// TestPrune: only guests who handed nothing in and cannot come back go, in
// however many batches.
func TestPrune(t *testing.T) {
	s := open(t, t.TempDir())
	drew := guest(t, s, 1)
	add(t, s, drawing(issue(t, s, sheet(drew, "kept")), 1))
	idle := guest(t, s, 2)
	issue(t, s, sheet(idle, "unused"))
	for n := range 2*pruneBatch + 10 {
		guest(t, s, 100+n)
	}
	if err := s.Renew(t.Context(), token(100), day0, day0.Add(2*life)); err != nil {
		t.Fatal(err)
	}
	if err := s.Prune(t.Context(), day0.Add(life-time.Millisecond)); err != nil {
		t.Fatal(err)
	}
	if n := countRows(t, s, "learner"); n != 2*pruneBatch+12 {
		t.Errorf("%d learners before anything has expired", n)
	}
	if err := s.Prune(t.Context(), day0.Add(life)); err != nil {
		t.Fatal(err)
	}
	for table, want := range map[string]int{"learner": 2, "session": 2, "exercise": 1, "attempt": 1} {
		if n := countRows(t, s, table); n != want {
			t.Errorf("%d rows in %s are left, want %d", n, table, want)
		}
	}
	if _, err := s.Session(t.Context(), token(100), day0.Add(life)); err != nil {
		t.Errorf("a renewed guest: %v", err)
	}
	sound(t, s)
}

func countRows(t testing.TB, s *Store, table string) (n int) {
	t.Helper()
	if err := s.readers.db.QueryRow(fmt.Sprintf(`SELECT count(*) FROM %s`, table)).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

// TestNumbersDoNotComeBack: a request under way for a deleted learner must
// not reach the next guest.
func TestNumbersDoNotComeBack(t *testing.T) {
	s := open(t, t.TempDir())
	last := guest(t, s, 1)
	if err := s.DeleteLearner(t.Context(), last); err != nil {
		t.Fatal(err)
	}
	if next := guest(t, s, 2); next <= last {
		t.Errorf("learner %d after %d was deleted", next, last)
	}
}
