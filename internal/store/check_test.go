package store

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestCheckFinds spoils the data in one place each and expects to be told.
func TestCheckFinds(t *testing.T) {
	for name, c := range map[string]struct {
		spoil string
		want  string
	}{
		"strokes":         {`UPDATE attempt_doc SET strokes = x'0102030405' WHERE rowid = 1`, "strokes: ink: packed strokes are damaged"},
		"grade":           {`UPDATE attempt_doc SET grade = x'7b22' WHERE rowid = 1`, "grade: unexpected end"},
		"another's grade": {`UPDATE attempt SET score = 11 WHERE rowid = 2`, "its grade is another's"},
		"head":            {`UPDATE attempt_doc SET head = x'' WHERE rowid = 2`, "document: unexpected end"},
		"another's head":  {`UPDATE attempt_doc SET head = (SELECT head FROM attempt_doc WHERE rowid = 1) WHERE rowid = 2`, "its document is another's"},
		"no documents":    {`DELETE FROM attempt_doc WHERE rowid = 1`, "document: unexpected end"},
		"exercise":        {`UPDATE exercise SET doc = x'5b' WHERE rowid = 1`, "unexpected end"},
		"exercise id":     {`UPDATE exercise SET doc = CAST('{"id":"?"}' AS BLOB) WHERE rowid = 1`, "its document is another's"},
		"level":           {`UPDATE attempt SET level = 9 WHERE rowid = 1`, "1 attempts do not agree"},
		"owner":           {`UPDATE attempt SET learner = 2 WHERE rowid = 1`, "do not agree"},
		"hand":            {`UPDATE hand SET dof = dof + 0.5`, "not the sum"},
		"no hand":         {`DELETE FROM hand`, "not the sum"},
		"hand of nothing": {`INSERT INTO hand (learner, pointer, sum_sq, dof) VALUES (1, 'chalk', 1, 1)`, "without attempts"},
		"reference":       {`DELETE FROM learner WHERE id = 1`, "refers to a learner that is not there"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			s := open(t, dir)
			fill(t, s, 2, 2)
			sound(t, s)
			raw(t, dir, c.spoil) // this connection enforces no references
			problems, err := s.Check(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if all := strings.Join(problems, "\n"); !strings.Contains(all, c.want) {
				t.Errorf("told %q, want %q", all, c.want)
			}
		})
	}
}

// TestCheckFindsBrokenFile overwrites a page in the middle of the file.
func TestCheckFindsBrokenFile(t *testing.T) {
	dir := t.TempDir()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	fill(t, s, 5, 20)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, FileName)
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	middle := len(b) / 4096 / 2 * 4096
	for i := range 4096 {
		b[middle+i] = 0x5a
	}
	if err := os.WriteFile(file, b, 0o600); err != nil {
		t.Fatal(err)
	}
	r, err := OpenExisting(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	problems, err := r.Check(t.Context())
	if err == nil && len(problems) == 0 {
		t.Error("a broken page was not noticed")
	}
	if err := r.Backup(t.Context(), filepath.Join(t.TempDir(), "copy.db")); err == nil {
		t.Error("broken data were copied as sound")
	}
}
