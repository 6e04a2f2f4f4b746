package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
)

// lockName is an empty file in the data folder: locked, it says that a server
// uses the folder.
const lockName = "boxwright.lock"

// lock is a folder held by this process. It is an exclusive transaction of
// SQLite's on an empty file of its own, and so works wherever the database
// does, on every system alike, and between two Stores of one process too.
type lock struct {
	db   *sql.DB
	conn *sql.Conn
}

func lockFolder(ctx context.Context, dir string) (*lock, error) {
	path := filepath.Join(dir, lockName)
	if err := makeFile(path); err != nil {
		return nil, fmt.Errorf("store: lock: %w", err)
	}
	// No waiting: who holds the lock serves for hours.
	db, err := sql.Open("sqlite", dsn(path, 0, "journal_mode(memory)"))
	if err != nil {
		return nil, fmt.Errorf("store: lock: %w", err)
	}
	conn, err := db.Conn(ctx)
	if err == nil {
		// The transaction stays open and writes nothing: there is nothing in
		// the file that an end in the wrong moment could spoil.
		if _, err = conn.ExecContext(ctx, `BEGIN EXCLUSIVE`); err == nil {
			return &lock{db: db, conn: conn}, nil
		}
		err = errors.Join(err, conn.Close())
	}
	if isBusy(err) {
		err = fmt.Errorf("%w: %s", ErrInUse, dir)
	} else {
		err = fmt.Errorf("store: lock: %w", err)
	}
	return nil, errors.Join(err, db.Close())
}

func (l *lock) release() error { return errors.Join(l.conn.Close(), l.db.Close()) }
