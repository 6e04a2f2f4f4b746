package internal_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "boxwright/"

// mayImport says which of our packages each package may import. The same
// table stands in DEVELOPERS.md.
var mayImport = map[string][]string{
	"internal/geom":        {},
	"internal/account":     {},
	"internal/perspective": {"geom"},
	"internal/ink":         {"geom"},
	"internal/drill":       {"geom", "perspective"},
	"internal/grade":       {"geom", "perspective", "ink", "drill"},
	"internal/assess":      {"drill", "grade", "ink"},
	"internal/guide":       {"geom", "perspective", "drill"},
	"internal/sheet":       {"geom", "perspective", "ink", "drill", "grade", "guide"},
	"internal/progress":    {"geom", "perspective", "drill", "grade"},
	"internal/api":         {"geom", "perspective", "ink", "drill", "grade", "sheet"},
	"internal/api/openapi": {}, // for tests
	"internal/page":        {"geom", "perspective", "ink", "account", "drill", "grade", "guide", "progress", "sheet"},
	"internal/store":       {"account", "drill", "grade", "ink", "progress", "migrations"},
	"internal/server":      {"geom", "perspective", "ink", "drill", "grade", "guide", "sheet", "progress", "account", "api", "page", "store", "web"},
	"cmd/boxwright":        {"server", "store", "api", "assess", "drill", "grade", "sheet"},
	"migrations":           {},
	"web":                  {},
}

// pure packages do no I/O and use no clock and no global randomness.
var pure = []string{"internal/geom", "internal/account", "internal/perspective", "internal/ink", "internal/drill",
	"internal/grade", "internal/guide", "internal/assess", "internal/sheet", "internal/progress"}

var impure = []string{"os", "net", "net/http", "database/sql", "log", "log/slog", "context", "math/rand", "crypto/rand", "syscall", "io/ioutil", "path/filepath"}

// TestImports reads the source files themselves: the answers of the go tool
// may come from its cache.
func TestImports(t *testing.T) {
	seen := map[string]int{}
	walkGo(t, func(path string) {
		dir := filepath.ToSlash(filepath.Dir(path))
		if strings.HasSuffix(path, "_test.go") || dir == "internal" {
			return
		}
		allowed, known := mayImport[dir]
		if !known {
			t.Errorf("%s: package %s is not in the table of imports", path, dir)
			return
		}
		seen[dir]++
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join("..", path), nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, spec := range f.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			if ours, ok := strings.CutPrefix(name, module); ok {
				if !slices.Contains(allowed, strings.TrimPrefix(ours, "internal/")) {
					t.Errorf("%s imports %s, which %s may not", path, ours, dir)
				}
			}
			if slices.Contains(pure, dir) && slices.Contains(impure, name) {
				t.Errorf("%s imports %s, but %s is pure", path, name, dir)
			}
			if name == "database/sql" && dir != "internal/store" {
				t.Errorf("%s imports database/sql: that is store's alone", path)
			}
		}
	})
	for dir := range mayImport {
		if seen[dir] == 0 {
			t.Errorf("no Go file was read in %s", dir)
		}
	}
}

// TestPureUsesNoClock looks for calls of the clock in the pure packages,
// which may use package time for its types.
func TestPureUsesNoClock(t *testing.T) {
	read := 0
	walkGo(t, func(path string) {
		if strings.HasSuffix(path, "_test.go") || !slices.Contains(pure, filepath.ToSlash(filepath.Dir(path))) {
			return
		}
		read++
		for _, call := range []string{"time.Now(", "time.Since(", "time.Until(", "time.Sleep(", "time.After("} {
			if strings.Contains(readFile(t, path), call) {
				t.Errorf("%s calls %s…): pure packages take the time as an argument", path, call)
			}
		}
	})
	if read == 0 {
		t.Fatal("no file was read")
	}
}

func walkGo(t *testing.T, visit func(path string)) {
	t.Helper()
	n := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && d.Name() != ".." {
			return filepath.SkipDir
		}
		if strings.HasSuffix(path, ".go") {
			n++
			rel, err := filepath.Rel("..", path)
			if err != nil {
				return err
			}
			visit(filepath.ToSlash(rel))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if n == 0 {
		t.Fatal("no Go file was found")
	}
}

func readFile(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", path))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
