package store

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"testing/fstest"

	"boxwright/migrations"
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
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = open(t, dir)
	if _, err := s.Session(t.Context(), token(1), day0); err != nil {
		t.Error(err)
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

// TestInterruptedFirstStart: a first start that was cut off before, or after,
// the table of versions was made is taken up again.
func TestInterruptedFirstStart(t *testing.T) {
	dir := t.TempDir()
	writeFile(t, dir, "")
	open(t, dir)

	dir = t.TempDir()
	raw(t, dir, `CREATE TABLE schema_version (id INTEGER PRIMARY KEY AUTOINCREMENT, version_id INTEGER NOT NULL, is_applied INTEGER NOT NULL, tstamp TIMESTAMP DEFAULT (datetime('now')))`,
		`INSERT INTO schema_version (version_id, is_applied) VALUES (0, 1)`)
	s := open(t, dir)
	guest(t, s, 1)
	sound(t, s)
}

// TestMigrationsGoOn: a database of today takes a later step with everything
// in it; a step that fails leaves nothing of itself and the old version.
func TestMigrationsGoOn(t *testing.T) {
	dir := t.TempDir()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	x := issue(t, s, sheet(guest(t, s, 1), "x"))
	add(t, s, drawing(x, 1))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	has, err := latest()
	if err != nil {
		t.Fatal(err)
	}
	steps := fstest.MapFS{}
	if err := fs.WalkDir(migrations.SQLite(), ".", func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			var b []byte
			b, err = fs.ReadFile(migrations.SQLite(), path)
			steps[path] = &fstest.MapFile{Data: b}
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	if len(steps) == 0 {
		t.Fatal("there are no steps")
	}
	db, err := sql.Open("sqlite", writerDSN(filepath.Join(dir, FileName)))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)

	steps["9998_boat.sql"] = &fstest.MapFile{Data: []byte("-- +goose Up\nCREATE TABLE boat (name TEXT NOT NULL) STRICT;\nCREATE TABLE attempt (id TEXT) STRICT;\n")}
	if err := migrate(t.Context(), db, steps); err == nil {
		t.Fatal("a table was made twice")
	}
	var boats int
	if err := db.QueryRow(`SELECT count(*) FROM sqlite_schema WHERE name = 'boat'`).Scan(&boats); err != nil || boats != 0 {
		t.Errorf("half a step is left: %d, %v", boats, err)
	}
	if v, err := schemaVersion(t.Context(), db); v != has || err != nil {
		t.Errorf("version %d after a failed step, %v", v, err)
	}

	steps["9998_boat.sql"] = &fstest.MapFile{Data: []byte("-- +goose Up\nALTER TABLE learner ADD COLUMN alias TEXT;\n")}
	for range 2 { // the second time there is nothing to do
		if err := migrate(t.Context(), db, steps); err != nil {
			t.Fatal(err)
		}
		if v, err := schemaVersion(t.Context(), db); v != 9998 || err != nil {
			t.Errorf("version %d, %v", v, err)
		}
	}
	var n int
	if err := db.QueryRow(`SELECT count(*) FROM attempt AS a JOIN learner AS l ON l.id = a.learner WHERE l.alias IS NULL`).Scan(&n); err != nil || n != 1 {
		t.Errorf("%d attempts, %v", n, err)
	}
}

// TestSchemaIsStrict: every table of ours checks its types, and every
// reference takes its rows along when a learner goes.
func TestSchemaIsStrict(t *testing.T) {
	s := open(t, t.TempDir())
	rows, err := s.readers.db.Query(`SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%' AND name <> 'schema_version'`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var tables []string
	for rows.Next() {
		var name string
		var strict bool
		if err := rows.Scan(&name, &strict); err != nil {
			t.Fatal(err)
		}
		if !strict {
			t.Errorf("%s is not strict", name)
		}
		tables = append(tables, name)
	}
	if len(tables) < 7 {
		t.Fatalf("only %v", tables)
	}
	for _, name := range tables {
		var n, cascading int
		if err := s.readers.db.QueryRow(`SELECT count(*), count(*) FILTER (WHERE on_delete = 'CASCADE') FROM pragma_foreign_key_list($1)`, name).Scan(&n, &cascading); err != nil {
			t.Fatal(err)
		}
		if n != cascading || n == 0 && name != "learner" {
			t.Errorf("%s: %d references, %d cascading", name, n, cascading)
		}
	}
}
