// Package web carries what the browser is served as written: style sheets,
// script modules, fonts, the icon and the OpenAPI description.
package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"sync"
)

//go:embed css js fonts icon.svg openapi.json
var files embed.FS

// Read returns one file of the tree that is served below /assets/{version}/.
func Read(name string) ([]byte, error) { return files.ReadFile(name) }

// OpenAPI returns the OpenAPI 3.1 description of the JSON routes.
func OpenAPI() []byte {
	b, err := files.ReadFile("openapi.json")
	if err != nil {
		panic(err) // it is embedded: the program could not have been built
	}
	return b
}

// Version is a short hash over all files: it changes when any of them does,
// so that addresses that carry it may be cached for ever.
var Version = sync.OnceValue(func() string {
	h := sha256.New()
	err := fs.WalkDir(files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := files.ReadFile(path)
		h.Write([]byte(path + "\x00"))
		h.Write(b)
		return err
	})
	if err != nil {
		panic(err)
	}
	return hex.EncodeToString(h.Sum(nil)[:6])
})
