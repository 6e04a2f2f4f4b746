// Package migrations carries the database's schema as forward-only steps, one
// folder per SQL dialect. A released step is never edited: a change is a new
// file NNNN_noun.sql.
package migrations

import (
	"embed"
	"io/fs"
)

// ApplicationID marks an SQLite file as Boxwright's ("Bxwr" in ASCII). The
// first step writes the same number into the file's header.
const ApplicationID = 0x42787772

//go:embed sqlite/*.sql
var files embed.FS

// SQLite returns the steps for SQLite.
func SQLite() fs.FS {
	dir, err := fs.Sub(files, "sqlite")
	if err != nil {
		panic(err) // the folder is embedded: its name is right or nothing is built
	}
	return dir
}
