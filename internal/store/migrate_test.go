package store

import (
	"database/sql"
	"io/fs"
	"path/filepath"
	"testing"
	"testing/fstest"

	"boxwright/migrations"
)

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
