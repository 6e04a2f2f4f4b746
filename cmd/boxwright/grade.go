package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"

	"boxwright/internal/api"
	"boxwright/internal/grade"
)

// maxLine bounds one line of input: an attempt of the largest size that the
// server takes, its exercise, and room for what stands beside them.
const maxLine = 8 << 20

// gradeLines grades a stream of any length in constant memory, on all cores,
// and writes the grades in the order of the input.
func gradeLines(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) error {
	f := flags("grade", "[FILE]", errs)
	if err := parse(f, args, 0, 1); err != nil {
		return err
	}
	if f.NArg() == 1 {
		file, err := os.Open(f.Arg(0))
		if err != nil {
			return err
		}
		defer file.Close()
		in = file
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	// The queue keeps the order: each entry is one line's answer to come.
	queue := make(chan chan graded, 4*runtime.GOMAXPROCS(0))
	failed := make(chan error, 1)
	go func() {
		defer close(queue)
		failed <- readLines(ctx, in, queue)
	}()
	bad, err := writeAnswers(ctx, queue, out, errs)
	if err == nil {
		err = <-failed
	}
	if err != nil {
		return err
	}
	if bad > 0 {
		return errInput
	}
	return nil
}

// writeAnswers writes the answers in their order and returns how many lines
// were bad. It does not wait for the reader when ctx ends, for a read from a
// terminal or a pipe may never do.
func writeAnswers(ctx context.Context, queue <-chan chan graded, out, errs io.Writer) (bad int, err error) {
	w := bufio.NewWriterSize(out, 1<<16)
	for {
		if len(queue) == 0 { // whoever waits for an answer before asking on gets it
			if err := w.Flush(); err != nil {
				return bad, err
			}
		}
		var g graded
		select {
		case answer, more := <-queue:
			if !more {
				return bad, w.Flush()
			}
			g = <-answer
		case <-ctx.Done():
			return bad, errors.Join(w.Flush(), ctx.Err())
		}
		if g.bad != "" {
			bad++
			fmt.Fprintf(errs, "boxwright grade: line %d: %s\n", g.line, g.bad)
		}
		w.Write(g.doc)
		if err := w.WriteByte('\n'); err != nil {
			return bad, err
		}
	}
}

type graded struct {
	line int
	doc  []byte // the grade, or {"error": …}
	bad  string // what was wrong, "" if nothing
}

// readLines starts one grading per line, at most the queue's length at once.
func readLines(ctx context.Context, in io.Reader, queue chan<- chan graded) error {
	r := bufio.NewReaderSize(in, 1<<16)
	for n := 1; ; n++ {
		line, long, err := readLine(r)
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		if len(bytes.TrimSpace(line)) > 0 || long {
			answer := make(chan graded, 1)
			select {
			case queue <- answer:
			case <-ctx.Done():
				return ctx.Err()
			}
			go func() { answer <- gradeLine(n, line, long) }()
		}
		if err != nil {
			return nil
		}
	}
}

// readLine reads up to the next newline. What goes past maxLine is skipped
// and long is true.
func readLine(r *bufio.Reader) (line []byte, long bool, err error) {
	for {
		part, err := r.ReadSlice('\n')
		if len(line)+len(part) > maxLine {
			long, line = true, nil
		}
		if !long {
			line = append(line, part...)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return line, long, err
		}
	}
}

func gradeLine(n int, line []byte, long bool) graded {
	if long {
		return refuse(n, fmt.Errorf("the line is longer than %d bytes", maxLine))
	}
	x, a, err := api.DecodeLine(line)
	if err != nil {
		return refuse(n, err)
	}
	g, err := grade.Of(x, a, grade.Hand{})
	if err != nil {
		return refuse(n, err)
	}
	return graded{line: n, doc: api.EncodeGrade(g)}
}

func refuse(n int, err error) graded {
	words := strings.TrimPrefix(err.Error(), "api: ")
	doc, _ := json.Marshal(map[string]string{"error": words}) // a map of strings always encodes
	return graded{line: n, doc: doc, bad: words}
}
