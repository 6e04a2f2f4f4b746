package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"io"
	"os"
	"strings"
	"testing"
	"time"
)

// TestTally: the line tells how many and how fast, not more often than it
// should, and is gone when it is cleared.
func TestTally(t *testing.T) {
	var b bytes.Buffer
	begun := time.Unix(1000, 0)
	p := &tally{w: &b, begun: begun, last: begun}
	for i := range 100 { // 10 ms apart: the 20th, 40th, … change the line
		p.add(begun.Add(time.Duration(i+1) * 10 * time.Millisecond))
	}
	if n := strings.Count(b.String(), "\r"); n != 5 || !strings.HasSuffix(b.String(), "100 drawings, 100 a second") {
		t.Errorf("%d lines: %q", n, b.String())
	}
	b.Reset()
	p.clear()
	p.clear()
	if b.String() != "\r\x1b[K" {
		t.Errorf("cleared with %q", b.String())
	}
}

// TestTallyKeepsOffFiles: what is no terminal gets no progress line.
func TestTallyKeepsOffFiles(t *testing.T) {
	f, err := os.CreateTemp(t.TempDir(), "errs")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for name, w := range map[string]io.Writer{"a file": f, "a buffer": new(bytes.Buffer)} {
		if newTally(w).w != nil {
			t.Errorf("%s is taken for a terminal", name)
		}
	}
}

// BenchmarkGradeLines grades the published drawings again and again as the
// command does: decoding, grading and encoding, on all cores.
func BenchmarkGradeLines(b *testing.B) {
	f, err := os.Open(checks + "hands.jsonl.gz")
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		b.Fatal(err)
	}
	all, err := io.ReadAll(z)
	if err != nil {
		b.Fatal(err)
	}
	sets := map[string][]byte{"all": all}
	for line := range bytes.Lines(all) {
		name := "given"
		if bytes.Contains(line, []byte(`"drill":"free"`)) {
			name = "free"
		}
		sets[name] = append(sets[name], line...)
	}
	for _, name := range []string{"all", "given", "free"} {
		n := bytes.Count(sets[name], []byte("\n"))
		if n == 0 {
			b.Fatalf("no drawings: %s", name)
		}
		b.Run(name, func(b *testing.B) {
			const times = 10
			in := bytes.Repeat(sets[name], times)
			for b.Loop() {
				if err := gradeLines(context.Background(), nil, bytes.NewReader(in), io.Discard, io.Discard); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(n*times*b.N)/b.Elapsed().Seconds(), "drawings/s")
		})
	}
}
