package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
	sqlite3 "modernc.org/sqlite/lib"

	"boxwright/migrations"
)

// versionTable is where the migrations note how far they have come.
const versionTable = "schema_version"

// inspect looks at a file before anything is changed in it: it is Boxwright's
// and not newer than this program. An empty file passes when fresh is true.
func inspect(ctx context.Context, path string, fresh bool) error {
	db, err := sql.Open("sqlite", dsn(path, busyTimeout, "query_only(1)"))
	if err != nil {
		return fmt.Errorf("store: inspect: %w", err)
	}
	db.SetMaxOpenConns(1)
	err = inspectDB(ctx, db, path, fresh)
	return errors.Join(err, db.Close())
}

func inspectDB(ctx context.Context, db *sql.DB, path string, fresh bool) error {
	var id, tables int64
	err := db.QueryRowContext(ctx, `PRAGMA application_id`).Scan(&id)
	if code(err)&0xff == sqlite3.SQLITE_NOTADB {
		return fmt.Errorf("%w: %s is no database", ErrForeign, path)
	}
	if err != nil {
		return fmt.Errorf("store: inspect: %w", err)
	}
	err = db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name NOT IN ('sqlite_sequence', $1)`, versionTable).Scan(&tables)
	if err != nil {
		return fmt.Errorf("store: inspect: %w", err)
	}
	if id == 0 && tables == 0 && fresh { // new, or cut off before the first step
		return nil
	}
	if id != migrations.ApplicationID {
		return fmt.Errorf("%w: %s", ErrForeign, path)
	}
	has, err := schemaVersion(ctx, db)
	if err != nil {
		return err
	}
	knows, err := latest()
	if err != nil {
		return err
	}
	if has > knows {
		return fmt.Errorf("%w: %s is at version %d, this program knows %d", ErrNewer, path, has, knows)
	}
	return nil
}

// schemaVersion returns the last step that was applied.
func schemaVersion(ctx context.Context, db *sql.DB) (int64, error) {
	var v int64
	if err := db.QueryRowContext(ctx, `SELECT max(version_id) FROM `+versionTable).Scan(&v); err != nil {
		return 0, fmt.Errorf("store: schema version: %w", err)
	}
	return v, nil
}

// latest returns the last step that this program knows.
func latest() (int64, error) {
	files, err := fs.ReadDir(migrations.SQLite(), ".")
	if err != nil {
		return 0, fmt.Errorf("store: migrations: %w", err)
	}
	var last int64
	for _, f := range files {
		v, err := goose.NumericComponent(f.Name())
		if err != nil {
			return 0, fmt.Errorf("store: migrations: %w", err)
		}
		last = max(last, v)
	}
	return last, nil
}

// migrate applies the steps that db lacks, each in a transaction of its own.
func migrate(ctx context.Context, db *sql.DB, steps fs.FS) error {
	p, err := goose.NewProvider(goose.DialectSQLite3, db, steps,
		goose.WithTableName(versionTable), goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return fmt.Errorf("store: migrate: %w", err)
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("store: migrate: %w", err)
	}
	return nil
}
