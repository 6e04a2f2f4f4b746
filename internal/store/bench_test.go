package store

import (
	"database/sql"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"boxwright/internal/ink"
)

// The measure of all: one small durable insert, by itself.
func BenchmarkBareInsert(b *testing.B) {
	file := filepath.Join(b.TempDir(), "bare.db")
	db, err := sql.Open("sqlite", "file:"+file+"?_pragma=journal_mode(wal)&_pragma=synchronous(full)")
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	if _, err := db.Exec(`CREATE TABLE bare (id INTEGER PRIMARY KEY, n INTEGER NOT NULL) STRICT`); err != nil {
		b.Fatal(err)
	}
	insert, err := db.Prepare(`INSERT INTO bare (n) VALUES ($1)`)
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	for b.Loop() {
		n++
		if _, err := insert.Exec(n); err != nil {
			b.Fatal(err)
		}
	}
}

// A drawing of 24 strokes of 120 samples with its grade.
func benchDrawing(x Exercise, n int, packed []byte) Attempt {
	a := drawing(x, n)
	a.Strokes = packed
	a.Grade = append(a.Grade[:len(a.Grade)-1], `,"note":"`...)
	for len(a.Grade) < 6000 {
		a.Grade = append(a.Grade, "all lamps lit "...)
	}
	a.Grade = append(a.Grade, `"}`...)
	return a
}

func benchAdd(b *testing.B, clients int) {
	s := open(b, b.TempDir())
	x := issue(b, s, sheet(guest(b, s, 1), "x"))
	packed := ink.Pack(strokes(24, 120))
	var n atomic.Int64
	b.SetParallelism(clients)
	b.ResetTimer()
	b.RunParallel(func(p *testing.PB) {
		for p.Next() {
			if _, _, err := s.AddAttempt(b.Context(), benchDrawing(x, int(n.Add(1)), packed)); err != nil {
				b.Error(err)
			}
		}
	})
	b.ReportMetric(float64(len(packed)), "strokebytes")
}

func BenchmarkAddAttempt(b *testing.B) {
	s := open(b, b.TempDir())
	x := issue(b, s, sheet(guest(b, s, 1), "x"))
	packed := ink.Pack(strokes(24, 120))
	n := 0
	for b.Loop() {
		n++
		if _, _, err := s.AddAttempt(b.Context(), benchDrawing(x, n, packed)); err != nil {
			b.Fatal(err)
		}
	}
}

// 16 and 64 goroutines per processor.
func BenchmarkAddAttemptManyClients(b *testing.B) { benchAdd(b, 16) }
func BenchmarkAddAttemptCrowd(b *testing.B)       { benchAdd(b, 64) }

// BenchmarkGuests is small concurrent changes: what a commit costs when it is
// shared.
func BenchmarkGuestsManyClients(b *testing.B) {
	s := open(b, b.TempDir())
	var n atomic.Int64
	b.SetParallelism(16)
	b.RunParallel(func(p *testing.PB) {
		for p.Next() {
			if _, err := s.NewGuest(b.Context(), token(int(n.Add(1))), day0, day0.Add(life)); err != nil {
				b.Error(err)
			}
		}
	})
}

func BenchmarkSession(b *testing.B) {
	s := open(b, b.TempDir())
	guest(b, s, 1)
	for b.Loop() {
		if _, err := s.Session(b.Context(), token(1), day0); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkHistory reads what the progress page needs of 1,000 drawings, and
// looks for an open sheet when there is none.
func BenchmarkHistory(b *testing.B) {
	s := open(b, b.TempDir())
	who := guest(b, s, 1)
	for n := range 1000 {
		add(b, s, drawing(issue(b, s, sheet(who, uuid(n))), n))
	}
	b.Run("Attempts", func(b *testing.B) {
		for b.Loop() {
			if list, err := s.Attempts(b.Context(), who, time.Time{}, 0); err != nil || len(list) != 1000 {
				b.Fatal(len(list), err)
			}
		}
	})
	b.Run("OpenExercise", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.OpenExercise(b.Context(), who); err == nil {
				b.Fatal("found one")
			}
		}
	})
}
