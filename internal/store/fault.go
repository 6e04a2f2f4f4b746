package store

import (
	"database/sql"
	"errors"
	"fmt"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// fault says what failed, and turns the driver's words into this package's
// sentinels: no row is ErrNotFound, an id that is taken ErrConflict, and a
// reference to a row that is gone ErrNotFound (a learner deleted meanwhile).
func fault(what string, err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, ErrNotFound), errors.Is(err, ErrConflict), errors.Is(err, ErrClosed):
		return err
	case errors.Is(err, sql.ErrNoRows):
		return ErrNotFound
	}
	switch code(err) {
	case sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY, sqlite3.SQLITE_CONSTRAINT_UNIQUE:
		return fmt.Errorf("%w (%s)", ErrConflict, what)
	case sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY:
		return fmt.Errorf("%w (%s)", ErrNotFound, what)
	}
	return fmt.Errorf("store: %s: %w", what, err)
}

// code returns SQLite's extended result code, 0 for other errors.
func code(err error) int {
	if e := (*sqlite.Error)(nil); errors.As(err, &e) {
		return e.Code()
	}
	return 0
}

func isBusy(err error) bool {
	c := code(err) & 0xff
	return c == sqlite3.SQLITE_BUSY || c == sqlite3.SQLITE_LOCKED
}
