// Package store keeps learners, their sheets and their drawings in one SQLite
// file. It is the only package that speaks SQL. An exported method is one
// transaction; what it has acknowledged is on the disk.
//
// The queries keep to what SQLite and PostgreSQL share; what differs stands
// in package migrations and in this file's data source names.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	_ "modernc.org/sqlite" // the driver

	"boxwright/migrations"
)

// FileName is the database's name in the data folder. SQLite keeps two more
// files beside it while it is in use (…-wal, …-shm).
const FileName = "boxwright.db"

// Errors that callers tell apart.
var (
	ErrNotFound = errors.New("store: not found")
	ErrConflict = errors.New("store: the id is taken by something else")
	ErrClosed   = errors.New("store: closed")
	ErrReadOnly = errors.New("store: opened for reading only")
	ErrInUse    = errors.New("store: another Boxwright serves from this folder")
	// ErrForeign is a file that is not Boxwright's, ErrNewer one that a newer
	// Boxwright has written. Neither is touched.
	ErrForeign = errors.New("store: the file belongs to another program")
	ErrNewer   = errors.New("store: the data were written by a newer version of this program")
)

// LearnerID is a learner's number. It is never used again after a deletion.
type LearnerID int64

// Store is an open data folder. Its methods may be called at the same time.
type Store struct {
	path    string
	readers *pool
	writer  *writer // nil: opened for reading only
	lock    *lock   // nil likewise
}

// Open opens the data folder dir for serving; it makes the folder (0700) and
// the file (0600) when they are not there and brings the schema up to date.
//
// Only one Store at a time can be open on a folder in this way, in whatever
// process: SQLite itself would allow two, but then a newer program could
// change the schema under an older one that is still serving. The lock ends
// with the process that holds it, however that ends.
func Open(ctx context.Context, dir string) (*Store, error) {
	path, err := filepath.Abs(filepath.Join(dir, FileName))
	if err != nil {
		return nil, fmt.Errorf("store: open: %w", err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("store: make data folder: %w", err)
	}
	lock, err := lockFolder(ctx, filepath.Dir(path))
	if err != nil {
		return nil, err
	}
	s := &Store{path: path, lock: lock}
	if err := s.open(ctx); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

func (s *Store) open(ctx context.Context) error {
	if err := makeFile(s.path); err != nil {
		return fmt.Errorf("store: open: %w", err)
	}
	if err := inspect(ctx, s.path, true); err != nil {
		return err
	}
	db, err := sql.Open("sqlite", writerDSN(s.path))
	if err != nil {
		return fmt.Errorf("store: open: %w", err)
	}
	db.SetMaxOpenConns(1)
	if err := migrate(ctx, db, migrations.SQLite()); err != nil {
		return errors.Join(err, db.Close())
	}
	if s.writer, err = newWriter(ctx, db); err != nil {
		return errors.Join(err, db.Close())
	}
	s.readers, err = newPool(readerDSN(s.path))
	return err
}

// makeFile makes an empty file that only its owner may read, if there is none.
// SQLite would make it readable for everybody, and gives the files beside it
// the modes of this one. One that is there is not opened: on Unix, closing it
// again would end this process's locks on it.
func makeFile(path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o600)
	if errors.Is(err, os.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return f.Close()
}

// OpenExisting opens a data folder for reading: Backup, Check and every
// method that changes nothing work, also while a server uses the folder. It
// makes and migrates nothing; a folder without a database is ErrNotFound.
func OpenExisting(ctx context.Context, dir string) (*Store, error) {
	path, err := filepath.Abs(filepath.Join(dir, FileName))
	if err != nil {
		return nil, fmt.Errorf("store: open: %w", err)
	}
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("%w: there is no %s in %s", ErrNotFound, FileName, dir)
	} else if err != nil {
		return nil, fmt.Errorf("store: open: %w", err)
	}
	if err := inspect(ctx, path, false); err != nil {
		return nil, err
	}
	readers, err := newPool(readerDSN(path))
	if err != nil {
		return nil, err
	}
	return &Store{path: path, readers: readers}, nil
}

// Close waits for the changes under way and closes the files. Methods called
// after it return ErrClosed or another error, never a wrong answer.
func (s *Store) Close() error {
	var errs []error
	if s.readers != nil {
		errs = append(errs, s.readers.close())
	}
	if s.writer != nil { // last: its connection then takes the log into the file
		errs = append(errs, s.writer.close())
	}
	if s.lock != nil {
		errs = append(errs, s.lock.release())
	}
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("store: close: %w", err)
	}
	return nil
}

// Ready reports whether the data can be read and changed.
func (s *Store) Ready(ctx context.Context) error {
	var n int
	err := s.readers.db.QueryRowContext(ctx, `SELECT count(*) FROM (SELECT 1 FROM learner LIMIT 1) AS l`).Scan(&n)
	if err != nil {
		return fault("ready", err)
	}
	return s.write(ctx, "ready", func(*tx) error { return nil })
}

// write runs do in a transaction of the writer's.
func (s *Store) write(ctx context.Context, what string, do func(*tx) error) error {
	if s.writer == nil {
		return ErrReadOnly
	}
	return fault(what, s.writer.run(ctx, do))
}

// busyTimeout is how long a connection waits for another process's lock.
const busyTimeout = 10 * time.Second

// dsn names a database file with settings that hold for every connection: a
// PRAGMA run on a pool would reach one of them only.
func dsn(path string, busy time.Duration, pragmas ...string) string {
	q := url.Values{"_pragma": append([]string{
		fmt.Sprintf("busy_timeout(%d)", busy.Milliseconds()),
		"foreign_keys(1)",
		"trusted_schema(0)",
		"temp_store(memory)",
	}, pragmas...)}
	q.Set("mode", "rw")
	q.Set("_txlock", "deferred")
	return "file:" + (&url.URL{Path: filepath.ToSlash(path)}).EscapedPath() + "?" + q.Encode()
}

// writerDSN: synchronous FULL, for a commit that is acknowledged has to
// outlive a power cut; secure_delete, so that what is deleted is overwritten.
func writerDSN(path string) string {
	d := dsn(path, busyTimeout, "journal_mode(wal)", "synchronous(full)", "secure_delete(1)", "journal_size_limit(16777216)", "cache_size(-16384)")
	return strings.Replace(d, "_txlock=deferred", "_txlock=immediate", 1)
}

func readerDSN(path string) string {
	return dsn(path, busyTimeout, "query_only(1)", "cache_size(-4096)")
}

// millis is a time as stored; the zero time has none.
func millis(t time.Time) int64 { return t.UnixMilli() }

func fromMillis(ms int64) time.Time { return time.UnixMilli(ms).UTC() }
