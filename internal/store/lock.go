package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// lockName is an empty file in the data folder: locked, it says that a server
// uses the folder.
const lockName = "boxwright.lock"

// lock is a folder held by this process. It is an exclusive lock of SQLite's
// on an empty file of its own, and so works wherever the database does, on
// every system alike, and between two Stores of one process too.
type lock struct{ db *sql.DB }

func lockFolder(ctx context.Context, dir string) (*lock, error) {
	path := filepath.Join(dir, lockName)
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, fmt.Errorf("store: lock: %w", err)
	}
	if err := f.Close(); err != nil {
		return nil, fmt.Errorf("store: lock: %w", err)
	}
	// No waiting: who holds the lock serves for hours.
	db, err := sql.Open("sqlite", dsn(path, 0, "locking_mode(exclusive)", "journal_mode(memory)"))
	if err != nil {
		return nil, fmt.Errorf("store: lock: %w", err)
	}
	db.SetMaxOpenConns(1)
	db.SetMaxIdleConns(1)
	// In exclusive locking mode the lock outlasts the transaction.
	if _, err := db.ExecContext(ctx, `BEGIN EXCLUSIVE; COMMIT`); err != nil {
		if isBusy(err) {
			err = fmt.Errorf("%w: %s", ErrInUse, dir)
		} else {
			err = fmt.Errorf("store: lock: %w", err)
		}
		return nil, errors.Join(err, db.Close())
	}
	return &lock{db: db}, nil
}

func (l *lock) release() error { return l.db.Close() }
