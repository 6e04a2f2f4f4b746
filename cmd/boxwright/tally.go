package main

import (
	"fmt"
	"io"
	"os"
	"time"
)

// tallyEvery is how often the progress line changes: often enough to be seen
// to move, too seldom to cost anything.
const tallyEvery = 200 * time.Millisecond

// A tally is the progress line of a long run. On anything but a terminal it
// writes nothing, so that what is kept of standard error holds only faults.
type tally struct {
	w           io.Writer // nil: no terminal
	begun, last time.Time
	done        int
	shown       bool
}

func newTally(errs io.Writer) *tally {
	now := time.Now()
	t := &tally{begun: now, last: now}
	if f, ok := errs.(*os.File); ok && terminal(f) {
		t.w = errs
	}
	return t
}

// terminal tells a terminal from a file or pipe. /dev/null too is a character
// device: a line written there is lost, which does no harm.
func terminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// add counts one drawing done at the time now.
func (t *tally) add(now time.Time) {
	t.done++
	if t.w == nil || now.Sub(t.last) < tallyEvery {
		return
	}
	t.last, t.shown = now, true
	fmt.Fprintf(t.w, "\r\x1b[K%d drawings, %.0f a second", t.done, float64(t.done)/now.Sub(t.begun).Seconds())
}

// clear takes the line away, before anything else is written there.
func (t *tally) clear() {
	if t.shown {
		io.WriteString(t.w, "\r\x1b[K")
		t.shown = false
	}
}
