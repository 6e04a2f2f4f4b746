package store

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"boxwright/internal/ink"
)

// traces are byte strings that can only come from one learner.
func traces(who int, attempts []Attempt) map[string][]byte {
	m := map[string][]byte{"token": token(who)}
	for i, a := range attempts {
		name := func(what string) string { return fmt.Sprintf("attempt %d %s", i, what) }
		m[name("id")] = []byte(a.ID)
		m[name("exercise")] = []byte(a.Exercise)
		m[name("hash")] = a.Hash
		m[name("strokes")] = a.Strokes[20:60]
		m[name("end of strokes")] = a.Strokes[len(a.Strokes)-40:]
		m[name("grade")] = a.Grade[len(a.Grade)-30:]
	}
	return m
}

// found returns the traces that stand in any file of dir.
func found(t *testing.T, dir string, traces map[string][]byte) (list []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil || len(files) < 2 {
		t.Fatalf("files %v, %v", files, err)
	}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for name, v := range traces {
			if bytes.Contains(b, v) {
				list = append(list, filepath.Base(f)+": "+name)
			}
		}
	}
	return list
}

// TestDeletedIsGone: after a learner's deletion no byte of theirs is in any
// file, without a VACUUM and while the store is open; everybody else's is.
func TestDeletedIsGone(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	const learners, each = 12, 9
	var who [learners]LearnerID
	var drawn [learners][]Attempt
	for i := range who {
		who[i] = guest(t, s, i)
	}
	for n := range each { // in turns, so that all pages are shared
		for i := range who {
			mark := hex.EncodeToString(token(1000 + 100*i + n)[:12])
			a := drawing(issue(t, s, sheet(who[i], mark)), 1000*i+n)
			ink0 := strokes(2+n, 20+7*i)
			for k := range ink0 { // samples of this learner's alone
				for j := range ink0[k].X {
					ink0[k].X[j] += float64(token(100*i + n)[(j+k)%32]) / 100
				}
			}
			a.Strokes = ink.Pack(ink0)
			a.Grade = append(a.Grade[:len(a.Grade)-1], `,"note":"`+mark+`-lamp-room"}`...)
			add(t, s, a)
			drawn[i] = append(drawn[i], a)
		}
	}
	for i := range who {
		if got := found(t, dir, traces(i, drawn[i])); len(got) < each {
			t.Fatalf("the search finds only %v of learner %d before the deletion", got, i)
		}
	}
	for i := 0; i < learners; i += 2 {
		if err := s.DeleteLearner(t.Context(), who[i]); err != nil {
			t.Fatal(err)
		}
		if got := found(t, dir, traces(i, drawn[i])); len(got) > 0 {
			t.Errorf("of learner %d there is left: %v", i, got)
		}
	}
	if err := s.DeleteLearner(t.Context(), who[0]); !errors.Is(err, ErrNotFound) {
		t.Errorf("deleted twice: %v", err)
	}
	for i := range who {
		n, err := s.AttemptCount(t.Context(), who[i])
		if want := each * (i % 2); err != nil || n != want {
			t.Errorf("learner %d: %d attempts, want %d, %v", i, n, want, err)
		}
		for _, a := range drawn[i] {
			got, err := s.Attempt(t.Context(), who[i], a.ID)
			if i%2 == 0 && !errors.Is(err, ErrNotFound) {
				t.Errorf("a deleted attempt: %v", err)
			}
			if i%2 == 1 && (err != nil || !bytes.Equal(got.Strokes, a.Strokes)) {
				t.Errorf("another learner's attempt %s: %v", a.ID, err)
			}
		}
		if _, err := s.Session(t.Context(), token(i), day0); (err == nil) != (i%2 == 1) {
			t.Errorf("session of learner %d: %v", i, err)
		}
	}
	for _, table := range []string{"learner", "session", "exercise", "attempt", "attempt_doc", "attempt_set", "hand"} {
		want := map[string]int{"learner": 1, "session": 1, "hand": 1, "exercise": each, "attempt": each, "attempt_doc": each, "attempt_set": 2 * each}[table] * learners / 2
		if n := countRows(t, s, table); n != want {
			t.Errorf("%d rows in %s, want %d", n, table, want)
		}
	}
	sound(t, s)
}
