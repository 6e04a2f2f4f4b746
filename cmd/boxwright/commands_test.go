package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/netip"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
)

const checks = "../../testdata/checks/"

func TestUsage(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		want int
	}{
		{"nothing", nil, 2},
		{"help", []string{"help"}, 0},
		{"help of a command", []string{"serve", "-h"}, 0},
		{"no such command", []string{"draw"}, 2},
		{"no such flag", []string{"serve", "-colour"}, 2},
		{"an argument too many", []string{"check", "here"}, 2},
		{"an argument too few", []string{"backup"}, 2},
		{"half of TLS", []string{"serve", "-tls-cert", "x"}, 2},
		{"no such drill", []string{"exercise", "-drill", "spiral", "-view", "two", "-level", "1"}, 2},
		{"no such view", []string{"exercise", "-drill", "finish", "-view", "six", "-level", "1"}, 2},
		{"no such level", []string{"exercise", "-drill", "finish", "-view", "two", "-level", "11"}, 2},
		{"no such seed", []string{"exercise", "-drill", "finish", "-view", "two", "-level", "1", "-seed", "-1"}, 2},
		{"no data", []string{"check", "-data", "no-such-folder"}, 1},
		{"no such file", []string{"grade", "no-such-file"}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got, _, errs := exitStatus(t, "", c.args...); got != c.want {
				t.Errorf("exit status %d, want %d: %s", got, c.want, errs)
			} else if got != 0 && errs == "" {
				t.Error("nothing on standard error says why")
			}
		})
	}
	if _, err := os.Stat("no-such-folder"); err == nil {
		t.Error("check made a data folder")
	}
}

// TestExercise: the same seed gives the same bytes, seeds count up, answers
// are included.
func TestExercise(t *testing.T) {
	args := []string{"exercise", "-drill", "finish", "-view", "three", "-level", "6", "-count", "3"}
	_, three, _ := exitStatus(t, "", append(args, "-seed", "18446744073709551614")...)
	_, again, _ := exitStatus(t, "", append(args, "-seed", "18446744073709551614")...)
	if three != again {
		t.Error("the same seed gave another exercise")
	}
	lines := strings.Split(strings.TrimSpace(three), "\n")
	seeds := []string{}
	for _, line := range lines {
		var x struct {
			Seed    string
			Corners [][]float64
			Points  []struct{ At []float64 }
		}
		if err := json.Unmarshal([]byte(line), &x); err != nil {
			t.Fatal(err)
		}
		seeds = append(seeds, x.Seed)
		if len(x.Corners) != 8 || len(x.Points) != 3 {
			t.Errorf("%d corners and %d points", len(x.Corners), len(x.Points))
		}
		for _, c := range x.Corners {
			if len(c) != 2 {
				t.Error("a corner is withheld")
			}
		}
	}
	// A seed is a number modulo 2^64: it counts on from the largest to 0.
	if got := strings.Join(seeds, " "); got != "18446744073709551614 18446744073709551615 0" {
		t.Errorf("seeds %s", got)
	}
}

// TestGradeStreams grades documents made elsewhere, keeps their order and
// puts an error where a line is bad.
func TestGradeStreams(t *testing.T) {
	f, err := os.Open(checks + "hands.jsonl.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	in, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.Split(bytes.TrimSpace(in), []byte("\n"))
	var stream bytes.Buffer
	var want []string // the attempt each answer is for, "" for a bad line
	var badLines []int
	for i, line := range lines {
		var l struct {
			Exercise struct{ Drill string }
			Attempt  struct{ Attempt string }
		}
		if err := json.Unmarshal(line, &l); err != nil {
			t.Fatal(err)
		}
		if l.Exercise.Drill != "finish" {
			continue
		}
		if i%7 == 3 {
			badLines = append(badLines, 1+bytes.Count(stream.Bytes(), []byte("\n")))
			stream.WriteString("{\"exercise\": 1}\n\n") // the empty line has no answer
			want = append(want, "")
		}
		stream.Write(append(line, '\n'))
		want = append(want, l.Attempt.Attempt)
	}
	status, out, errs := exitStatus(t, stream.String(), "grade")
	if status != 1 {
		t.Errorf("exit status %d, want 1 for the bad lines", status)
	}
	for _, n := range badLines {
		if !strings.Contains(errs, fmt.Sprintf("line %d: /exercise: ", n)) {
			t.Errorf("standard error does not name line %d: %s", n, errs)
		}
	}
	if got := strings.Count(errs, "\n"); got != len(badLines) {
		t.Errorf("%d lines on standard error for %d bad lines: %s", got, len(badLines), errs)
	}
	sc := bufio.NewScanner(strings.NewReader(out))
	sc.Buffer(nil, 1<<20)
	n := 0
	for ; sc.Scan(); n++ {
		var g struct{ Attempt, Error string }
		if err := json.Unmarshal(sc.Bytes(), &g); err != nil {
			t.Fatal(err)
		}
		if n >= len(want) || g.Attempt != want[n] || (g.Error == "") != (want[n] != "") {
			t.Fatalf("answer %d is for %q (error %q)", n+1, g.Attempt, g.Error)
		}
	}
	if n != len(want) || n < 20 || len(badLines) < 2 {
		t.Errorf("%d answers to %d lines", n, len(want))
	}
}

// TestGradeAnswersAtOnce: who asks line by line is answered line by line, and
// an interrupt ends the program although its input goes on.
func TestGradeAnswersAtOnce(t *testing.T) {
	cmd := exec.Command(program, "grade")
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	answers := bufio.NewReader(out)
	for range 3 {
		if _, err := io.WriteString(in, "{}\n"); err != nil {
			t.Fatal(err)
		}
		if answer, err := answers.ReadString('\n'); err != nil || !strings.HasPrefix(answer, `{"error":`) {
			t.Fatalf("%q, %v", answer, err)
		}
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if rest, err := io.ReadAll(answers); err != nil || len(rest) > 0 {
		t.Errorf("after the interrupt: %q, %v", rest, err)
	}
	if err := cmd.Wait(); cmd.ProcessState.ExitCode() != 1 {
		t.Errorf("after the interrupt: %v", err)
	}
}

// TestSheet writes a picture and a print of the same sheet.
func TestSheet(t *testing.T) {
	args := []string{"sheet", "-drill", "finish", "-view", "one", "-level", "2", "-seed", "5"}
	if status, out, errs := exitStatus(t, "", args...); status != 0 || !strings.HasPrefix(out, "<svg") {
		t.Errorf("status %d, %.40q, %s", status, out, errs)
	}
	if status, out, errs := exitStatus(t, "", append(args, "-pdf")...); status != 0 || !strings.HasPrefix(out, "%PDF-") {
		t.Errorf("status %d, %.40q, %s", status, out, errs)
	}
}

// TestAddress: what is printed can be opened in a browser.
func TestAddress(t *testing.T) {
	for listening, want := range map[string]string{
		"127.0.0.1:8080":   "http://127.0.0.1:8080/",
		"[::]:8080":        "http://localhost:8080/",
		"0.0.0.0:80":       "http://localhost:80/",
		"[2001:db8::1]:80": "http://[2001:db8::1]:80/",
	} {
		if got := address("http", net.TCPAddrFromAddrPort(netip.MustParseAddrPort(listening))); got != want {
			t.Errorf("%s: %s, want %s", listening, got, want)
		}
	}
}

// TestAssess holds the grader against the published drawings, packed and not,
// and to the figures that the README promises at least.
func TestAssess(t *testing.T) {
	type document struct {
		Drawings int
		Figures  []struct {
			What  string
			Value float64
			Of    int
		}
	}
	run := func(stdin string, args ...string) (d document) {
		t.Helper()
		status, out, errs := exitStatus(t, stdin, append([]string{"assess", "-json"}, args...)...)
		if status != 0 {
			t.Fatalf("exit status %d: %s", status, errs)
		}
		if err := json.Unmarshal([]byte(out), &d); err != nil {
			t.Fatal(err)
		}
		return d
	}
	hands, views := run("", checks+"hands.jsonl.gz"), run("", checks+"view-attempts.jsonl")
	if hands.Drawings != 40 || views.Drawings != 58 {
		t.Errorf("%d and %d drawings", hands.Drawings, views.Drawings)
	}
	for _, want := range []struct {
		d           document
		what        string
		least, most float64
	}{
		{hands, "strokes taken for the right edge", 97.7, 100},
		{hands, "edges with a right stroke", 98.5, 100},
		{hands, "strokes that are no edge, left out", 90, 100},
		{hands, "strokes of free drawings grouped rightly", 97.8, 100},
		{hands, "direction of a stroke, robust sd", 0.01, 0.085},
		{views, "straight strokes, largest difference of the error", 0, 1e-6},
		{views, "straight strokes, largest difference of the miss", 0, 1e-4},
	} {
		found := false
		for _, f := range want.d.Figures {
			if f.What == want.what {
				found = true
				if f.Value < want.least || f.Value > want.most || f.Of < 50 {
					t.Errorf("%s: %g of %d", f.What, f.Value, f.Of)
				}
			}
		}
		if !found {
			t.Errorf("no figure %q", want.what)
		}
	}

	line, err := os.ReadFile(checks + "view-attempts.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(line), "\n")
	status, out, errs := exitStatus(t, first+"\n{}\n"+first+"\n", "assess")
	if status != 1 || !strings.Contains(errs, "line 2:") || !strings.Contains(out, "mean score") {
		t.Errorf("a bad line between good ones: status %d, %s%s", status, out, errs)
	}
}

// TestAssessEndsOnInterrupt although its input goes on.
func TestAssessEndsOnInterrupt(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	cmd := exec.CommandContext(ctx, program, "assess")
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	errs, err := cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	said := bufio.NewReader(errs)
	if _, err := io.WriteString(in, "{}\n"); err != nil {
		t.Fatal(err)
	}
	if line, err := said.ReadString('\n'); err != nil || !strings.Contains(line, "line 1:") {
		t.Fatalf("%q, %v", line, err)
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if _, err := io.ReadAll(said); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); ctx.Err() != nil || cmd.ProcessState.ExitCode() != 1 {
		t.Errorf("after the interrupt: %v", err)
	}
}
