package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
)

// Backup writes a consistent copy of the data to file, which must not exist,
// while others read and write on. The copy is complete, checked and on the
// disk when Backup returns without error; after an error there is no file.
func (s *Store) Backup(ctx context.Context, file string) (err error) {
	file, err = filepath.Abs(file)
	if err != nil {
		return fmt.Errorf("store: backup: %w", err)
	}
	// Taking the name first refuses to overwrite, also in a race; the copy
	// grows under another name, so that a file of this name that has content
	// is always a whole copy.
	f, err := os.OpenFile(file, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, os.ErrExist) {
		return fmt.Errorf("store: backup: %s is there already and is not overwritten", file)
	}
	if err != nil {
		return fmt.Errorf("store: backup: %w", err)
	}
	part, err := os.CreateTemp(filepath.Dir(file), filepath.Base(file)+".part-*") // mode 0600
	if err == nil {
		err = errors.Join(f.Close(), part.Close(), s.copyTo(ctx, part.Name()))
		if err == nil {
			err = os.Rename(part.Name(), file)
		}
		if err == nil && runtime.GOOS != "windows" { // which syncs names with the files
			err = syncFile(filepath.Dir(file))
		}
		if err != nil {
			os.Remove(part.Name())
		}
	}
	if err != nil {
		os.Remove(file)
		return fmt.Errorf("store: backup: %w", err)
	}
	return nil
}

// copyTo fills the empty file with a copy and checks what it has written.
func (s *Store) copyTo(ctx context.Context, file string) error {
	// A connection of its own: VACUUM INTO counts as writing, so a reader
	// that is held to query_only may not run it. It changes nothing here.
	from, err := sql.Open("sqlite", dsn(s.path, busyTimeout))
	if err != nil {
		return err
	}
	from.SetMaxOpenConns(1)
	_, err = from.ExecContext(ctx, `VACUUM INTO $1`, file)
	if err = errors.Join(err, from.Close()); err != nil {
		return err
	}
	if err := syncFile(file); err != nil { // VACUUM INTO leaves that to its caller
		return err
	}
	to, err := newPool(dsn(file, busyTimeout, "query_only(1)"))
	if err != nil {
		return err
	}
	problems, err := integrity(ctx, to)
	if err = errors.Join(err, to.close()); err != nil {
		return err
	}
	if len(problems) > 0 {
		return fmt.Errorf("the copy is damaged: %s", problems[0])
	}
	return nil
}

func syncFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
