package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"runtime"
)

// maxLine bounds one line of input: an attempt of the largest size that the
// server takes, its exercise, and room for what stands beside them.
const maxLine = 8 << 20

// input returns the file that the one argument of f names, or in without one.
// What begins like gzip is unpacked. done closes the file.
func input(f *flag.FlagSet, in io.Reader) (r io.Reader, done func() error, err error) {
	if f.NArg() == 0 {
		return &unpacker{in: in}, func() error { return nil }, nil
	}
	file, err := os.Open(f.Arg(0))
	if err != nil {
		return nil, nil, err
	}
	return &unpacker{in: file}, file.Close, nil
}

// unpacker looks for gzip at its first Read and not before: whoever types may
// take their time.
type unpacker struct{ in, out io.Reader }

func (u *unpacker) Read(p []byte) (int, error) {
	if u.out == nil {
		b := bufio.NewReaderSize(u.in, 1<<16)
		u.out = b
		if magic, _ := b.Peek(2); bytes.Equal(magic, []byte{0x1f, 0x8b}) {
			z, err := gzip.NewReader(b)
			if err != nil {
				return 0, err
			}
			u.out = z
		}
	}
	return u.out.Read(p)
}

// eachLine works on the lines of in, on all cores, and gives the results in
// the order of the lines: each entry of the queue is one result to come. When
// the queue has ended, failed tells whether the reading did.
func eachLine[T any](ctx context.Context, in io.Reader, work func(n int, line []byte, err error) T) (queue <-chan chan T, failed <-chan error) {
	q := make(chan chan T, 4*runtime.GOMAXPROCS(0))
	f := make(chan error, 1)
	go func() {
		defer close(q)
		f <- readLines(ctx, in, q, work)
	}()
	return q, f
}

// task is one line to work on.
type task[T any] struct {
	n      int
	line   []byte
	fault  error
	answer chan<- T
}

// readLines hands out one line after the other, at most the queue's length at
// once, to workers that last: their stacks have grown as deep as the work goes
// after the first line. Empty lines have no result.
func readLines[T any](ctx context.Context, in io.Reader, queue chan<- chan T, work func(n int, line []byte, err error) T) error {
	tasks := make(chan task[T], cap(queue))
	defer close(tasks)
	for range runtime.GOMAXPROCS(0) {
		go func() {
			for t := range tasks {
				t.answer <- work(t.n, t.line, t.fault)
			}
		}()
	}
	r := bufio.NewReaderSize(in, 1<<16)
	for n := 1; ; n++ {
		line, long, err := readLine(r)
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		if len(bytes.TrimSpace(line)) > 0 || long {
			var fault error
			if long {
				fault = fmt.Errorf("the line is longer than %d bytes", maxLine)
			}
			answer := make(chan T, 1)
			select {
			case queue <- answer:
			case <-ctx.Done():
				return ctx.Err()
			}
			select {
			case tasks <- task[T]{n, line, fault, answer}:
			case <-ctx.Done():
				return ctx.Err()
			}
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
