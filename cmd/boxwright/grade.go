package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"
	"time"

	"boxwright/internal/api"
	"boxwright/internal/grade"
)

// lazyGC is how much of what is alive may become garbage, in percent, while a
// stream is graded.
const lazyGC = 400

// gradeLines grades a stream of any length in constant memory, on all cores,
// and writes the grades in the order of the input.
func gradeLines(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) error {
	f := flags("grade", "[FILE]", errs)
	if err := parse(f, args, 0, 1); err != nil {
		return err
	}
	in, done, err := input(f, in)
	if err != nil {
		return err
	}
	defer done()
	if os.Getenv("GOGC") == "" {
		// Of a drawing hardly anything outlives its line: what is alive at
		// once is small, and so it stays when it is looked through less often.
		defer debug.SetGCPercent(debug.SetGCPercent(lazyGC))
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	queue, failed := eachLine(ctx, in, gradeLine)
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
	progress := newTally(errs)
	defer progress.clear()
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
			progress.clear()
			fmt.Fprintf(errs, "boxwright grade: line %d: %s\n", g.line, g.bad)
		}
		w.Write(g.doc)
		if err := w.WriteByte('\n'); err != nil {
			return bad, err
		}
		progress.add(time.Now())
	}
}

type graded struct {
	line int
	doc  []byte // the grade, or {"error": …}
	bad  string // what was wrong, "" if nothing
}

func gradeLine(n int, line []byte, err error) graded {
	if err != nil {
		return refuse(n, err)
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
