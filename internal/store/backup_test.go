package store

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// fill gives a store some learners and drawings.
func fill(t testing.TB, s *Store, learners, each int) {
	t.Helper()
	for i := range learners {
		x := issue(t, s, sheet(guest(t, s, i), uuid(i)))
		for n := range each {
			add(t, s, drawing(x, 1000*(i+1)+n))
		}
	}
}

// TestBackupWhileWriting: copies made in the middle of writing are sound,
// complete to some moment, and serve as data.
func TestBackupWhileWriting(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	fill(t, s, 3, 5)
	reader, err := OpenExisting(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	var wg sync.WaitGroup
	stop := make(chan bool)
	added := 0
	x := issue(t, s, sheet(guest(t, s, 50), "busy"))
	wg.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
			}
			if _, _, err := s.AddAttempt(context.Background(), drawing(x, 900_000+added)); err != nil {
				t.Error(err)
				return
			}
			added++
		}
	})
	least := 15
	for i, from := range []*Store{s, reader, s} {
		to := filepath.Join(t.TempDir(), "keep safe")
		if err := os.Mkdir(to, 0o700); err != nil {
			t.Fatal(err)
		}
		if err := from.Backup(t.Context(), filepath.Join(to, FileName)); err != nil {
			t.Fatal(err)
		}
		files, err := os.ReadDir(to)
		if err != nil || len(files) != 1 {
			t.Errorf("backup %d left %v, %v", i, files, err)
		}
		if info, err := os.Stat(filepath.Join(to, FileName)); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("mode %v, %v", info.Mode(), err)
		}
		c := open(t, to)
		n := countRows(t, c, "attempt")
		if docs := countRows(t, c, "attempt_doc"); docs != n || n < least {
			t.Errorf("backup %d: %d attempts with %d documents, at least %d", i, n, docs, least)
		}
		least = n
		guest(t, c, 77)
		sound(t, c)
	}
	close(stop)
	wg.Wait()
	if added == 0 {
		t.Error("nothing was written meanwhile")
	}
	sound(t, s)
}

func TestBackupOverwritesNothing(t *testing.T) {
	s := open(t, t.TempDir())
	fill(t, s, 1, 1)
	dir := t.TempDir()
	file := filepath.Join(dir, "copy.db")
	if err := os.WriteFile(file, []byte("precious"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := s.Backup(t.Context(), file); err == nil || !strings.Contains(err.Error(), "not overwritten") {
		t.Errorf("over a file: %v", err)
	}
	if b, err := os.ReadFile(file); err != nil || string(b) != "precious" {
		t.Errorf("%q, %v", b, err)
	}
	if err := s.Backup(t.Context(), filepath.Join(dir, "no", "such", "folder")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("nowhere: %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := s.Backup(ctx, filepath.Join(dir, "cancelled.db")); err == nil {
		t.Error("a cancelled backup succeeded")
	}
	if files, err := os.ReadDir(dir); err != nil || len(files) != 1 {
		t.Errorf("failed backups left %v, %v", files, err)
	}
}

// TestOtherProcessReads backs up and checks from a process of its own, as the
// commands do.
func TestOtherProcessReads(t *testing.T) {
	dir, to := t.TempDir(), filepath.Join(t.TempDir(), "copy.db")
	s := open(t, dir)
	fill(t, s, 2, 3)
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	other := exec.Command(self, "-test.run=^$")
	other.Env = append(os.Environ(), otherDir+"="+dir, otherBackup+"="+to)
	if out, err := other.CombinedOutput(); err != nil || string(out) != "0 problems\n" {
		t.Fatalf("%v\n%s", err, out)
	}
	add(t, s, drawing(sheet(1, uuid(0)), 5000)) // the server writes on
	copied, err := newPool(dsn(to, busyTimeout, "query_only(1)"))
	if err != nil {
		t.Fatal(err)
	}
	c := &Store{path: to, readers: copied}
	defer c.Close()
	if n := countRows(t, c, "attempt"); n != 6 {
		t.Errorf("the copy holds %d attempts", n)
	}
	sound(t, c)
}
