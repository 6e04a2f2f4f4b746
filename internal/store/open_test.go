package store

import (
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// raw runs statements on the database file in dir, past the store.
func raw(t *testing.T, dir string, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, FileName))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatalf("%s: %v", s, err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestOpenMakesPrivateFiles(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("modes are not kept there")
	}
	dir := filepath.Join(t.TempDir(), "deep", "data folder?#%41")
	s := open(t, dir)
	guest(t, s, 1)
	info, err := os.Stat(dir)
	if err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	files, err := os.ReadDir(dir)
	if err != nil || len(files) < 3 {
		t.Fatalf("%v, %v", files, err)
	}
	for _, f := range files {
		info, err := f.Info()
		if err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v, %v", f.Name(), info.Mode(), err)
		}
	}
}

// TestConnectionsAreSetUp: the settings reach every connection there is.
func TestConnectionsAreSetUp(t *testing.T) {
	s := open(t, t.TempDir())
	want := map[string]int{"foreign_keys": 1, "synchronous": 2, "secure_delete": 1, "busy_timeout": 10000, "temp_store": 2, "trusted_schema": 0}
	if err := s.write(t.Context(), "test", func(x *tx) error {
		var mode string
		if err := x.row(`PRAGMA journal_mode`, nil, &mode); err != nil || mode != "wal" {
			t.Errorf("journal mode %s, %v", mode, err)
		}
		for name, v := range want {
			var got int
			if err := x.row(`PRAGMA `+name, nil, &got); err != nil || got != v {
				t.Errorf("writer: %s is %d, %v; want %d", name, got, err, v)
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	n := s.readers.db.Stats().MaxOpenConnections
	for range n { // all at once
		c, err := s.readers.db.Conn(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		for name, v := range map[string]int{"foreign_keys": 1, "query_only": 1, "busy_timeout": 10000, "trusted_schema": 0} {
			var got int
			if err := c.QueryRowContext(t.Context(), `PRAGMA `+name).Scan(&got); err != nil || got != v {
				t.Errorf("reader: %s is %d, %v; want %d", name, got, err, v)
			}
		}
		if _, err := c.ExecContext(t.Context(), `DELETE FROM learner`); err == nil {
			t.Error("a reader may write")
		}
	}
}

func TestReady(t *testing.T) {
	s := open(t, t.TempDir())
	if err := s.Ready(t.Context()); err != nil {
		t.Error(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := s.Ready(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

func TestOneServerAFolder(t *testing.T) {
	dir := t.TempDir()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	if second, err := Open(t.Context(), dir); !errors.Is(err, ErrInUse) {
		t.Errorf("a second server: %v, %v", second, err)
	}
	guest(t, s, 1) // the refusal has not harmed the first
	refusedElsewhere(t, dir)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = open(t, dir)
	if _, err := s.Session(t.Context(), token(1), day0); err != nil {
		t.Error(err)
	}
}

// refusedElsewhere: another process may not serve from dir either, also after
// this one has tried to open it twice.
func refusedElsewhere(t *testing.T, dir string) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	other := exec.Command(self, "-test.run=^$")
	other.Env = append(os.Environ(), crashDir+"="+dir)
	var said bytes.Buffer
	other.Stderr = &said
	out, err := other.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := other.Start(); err != nil {
		t.Fatal(err)
	}
	if bufio.NewScanner(out).Scan() { // it has written something
		other.Process.Kill()
	}
	if err := other.Wait(); err == nil || !strings.Contains(said.String(), ErrInUse.Error()) {
		t.Errorf("another process: %v, %s", err, said.String())
	}
}

func TestOpenExisting(t *testing.T) {
	dir := t.TempDir()
	if s, err := OpenExisting(t.Context(), dir); !errors.Is(err, ErrNotFound) {
		t.Errorf("an empty folder: %v, %v", s, err)
	}
	if files, _ := os.ReadDir(dir); len(files) > 0 {
		t.Errorf("it left %v behind", files)
	}
	s := open(t, dir)
	x := issue(t, s, sheet(guest(t, s, 1), "x"))
	a := add(t, s, drawing(x, 1))
	r, err := OpenExisting(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if got, err := r.Attempt(t.Context(), x.Learner, a.ID); err != nil || got.ID != a.ID {
		t.Errorf("%+v, %v", got, err)
	}
	add(t, s, drawing(x, 2))
	if n, err := r.AttemptCount(t.Context(), x.Learner); n != 2 || err != nil {
		t.Errorf("it sees %d attempts, %v", n, err)
	}
	if _, err := r.NewGuest(t.Context(), token(2), day0, day0.Add(life)); !errors.Is(err, ErrReadOnly) {
		t.Errorf("writing: %v", err)
	}
	if err := r.DeleteLearner(t.Context(), x.Learner); !errors.Is(err, ErrReadOnly) {
		t.Errorf("deleting: %v", err)
	}
	sound(t, r)
}

// TestForeignFiles: what is not ours is refused and left as it was.
func TestForeignFiles(t *testing.T) {
	for name, c := range map[string]struct {
		make func(t *testing.T, dir string)
		want error
	}{
		"text": {func(t *testing.T, dir string) {
			writeFile(t, dir, "the log of the lighthouse, kept by hand since it was lit")
		}, ErrForeign},
		"another's": {func(t *testing.T, dir string) { raw(t, dir, `CREATE TABLE boat (name TEXT)`) }, ErrForeign},
		"another's id": {func(t *testing.T, dir string) {
			raw(t, dir, `PRAGMA application_id = 7`, `CREATE TABLE boat (name TEXT)`)
		}, ErrForeign},
		"another's empty": {func(t *testing.T, dir string) { raw(t, dir, `PRAGMA application_id = 7`) }, ErrForeign},
		"newer": {func(t *testing.T, dir string) {
			s, err := Open(context.Background(), dir)
			if err != nil {
				t.Fatal(err)
			}
			s.Close()
			raw(t, dir, `INSERT INTO schema_version (version_id, is_applied) VALUES (9999, 1)`)
		}, ErrNewer},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			c.make(t, dir)
			before := readFile(t, dir)
			if s, err := Open(t.Context(), dir); !errors.Is(err, c.want) {
				t.Errorf("Open: %v, %v", s, err)
			}
			if s, err := OpenExisting(t.Context(), dir); !errors.Is(err, c.want) {
				t.Errorf("OpenExisting: %v, %v", s, err)
			}
			if readFile(t, dir) != before {
				t.Error("the file was changed")
			}
		})
	}
}

func writeFile(t *testing.T, dir, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, FileName), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func readFile(t *testing.T, dir string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, FileName))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
