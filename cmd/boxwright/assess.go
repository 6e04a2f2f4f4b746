package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"text/tabwriter"

	"boxwright/internal/api"
	"boxwright/internal/assess"
	"boxwright/internal/drill"
	"boxwright/internal/grade"
)

// assessed is one line of input, graded, beside its truth.
type assessed struct {
	line     int
	exercise *drill.Exercise
	attempt  *grade.Attempt
	grade    *grade.Grade
	truth    assess.Truth
	err      error
}

// assessLines grades drawings whose truth is known and says how often the
// grader was right.
func assessLines(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) error {
	f := flags("assess", "[-json] [FILE]", errs)
	asJSON := f.Bool("json", false, "write the figures as one JSON document")
	if err := parse(f, args, 0, 1); err != nil {
		return err
	}
	in, done, err := input(f, in)
	if err != nil {
		return err
	}
	defer done()
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	queue, failed := eachLine(ctx, in, assessLine)
	var r assess.Report
	bad, err := collect(ctx, queue, &r, errs)
	if err == nil {
		err = <-failed
	}
	if err != nil {
		return err
	}
	if err := writeReport(out, &r, *asJSON); err != nil {
		return err
	}
	if bad > 0 {
		return errInput
	}
	return nil
}

// collect adds every line's grade to r and returns how many lines were bad.
// It does not wait for the reader when ctx ends, for a read from a terminal or
// a pipe may never do.
func collect(ctx context.Context, queue <-chan chan assessed, r *assess.Report, errs io.Writer) (bad int, err error) {
	for {
		select {
		case answer, more := <-queue:
			if !more {
				return bad, nil
			}
			a := <-answer
			if a.err != nil {
				bad++
				fmt.Fprintf(errs, "boxwright assess: line %d: %v\n", a.line, a.err)
				continue
			}
			r.Add(a.exercise, a.attempt, a.grade, a.truth)
		case <-ctx.Done():
			return bad, ctx.Err()
		}
	}
}

func assessLine(n int, line []byte, err error) assessed {
	a := assessed{line: n, err: err}
	if err != nil {
		return a
	}
	if a.exercise, a.attempt, a.err = api.DecodeLine(line); a.err != nil {
		return a
	}
	if a.truth, a.err = assess.ReadTruth(line); a.err != nil {
		return a
	}
	if a.err = a.truth.Check(len(a.attempt.Strokes)); a.err != nil {
		return a
	}
	a.grade, a.err = grade.Of(a.exercise, a.attempt, grade.Hand{})
	return a
}

// A figure is one line of the report: a share or a size, over so many.
type figure struct {
	What  string  `json:"what"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	Of    int     `json:"of"`
}

// figures lists what was counted; what nothing was counted of is left out.
func figures(r *assess.Report) []figure {
	var list []figure
	share := func(what string, c assess.Count) {
		if c.Of > 0 {
			list = append(list, figure{what, 100 * float64(c.With) / float64(c.Of), "%", c.Of})
		}
	}
	share("strokes taken for the right edge", r.Strokes)
	share("edges with a right stroke", r.Edges)
	share("strokes that are no edge, left out", r.Others)
	share("strokes of free drawings grouped rightly", r.FreeStrokes)
	share("faultless drawings with a finding", r.FalseFindings)
	for _, kind := range slices.Sorted(maps.Keys(r.Found)) {
		share("drawings with a finding, fault "+kind, r.Found[kind])
	}
	if all := r.All(); all.N > 0 {
		list = append(list, figure{"direction of a stroke, robust sd", all.SD(), "deg", all.N})
		for _, p := range slices.Sorted(maps.Keys(r.Direction)) {
			list = append(list, figure{"direction by " + string(p), r.Direction[p].SD(), "deg", r.Direction[p].N})
		}
	}
	if r.Straight > 0 {
		list = append(list,
			figure{"straight strokes, largest difference of the error", r.WorstError, "deg", r.Straight},
			figure{"straight strokes, largest difference of the miss", 100 * r.WorstMiss, "%", r.Straight})
	}
	if r.Drawings > 0 {
		list = append(list, figure{"mean score", float64(r.Score) / float64(r.Drawings), "", r.Drawings})
	}
	return list
}

func writeReport(out io.Writer, r *assess.Report, asJSON bool) error {
	list := figures(r)
	if asJSON {
		return json.NewEncoder(out).Encode(map[string]any{"version": api.Version, "drawings": r.Drawings, "figures": list})
	}
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "what\t\t\tof")
	for _, f := range list {
		fmt.Fprintf(w, "%s\t%.3g\t%s\t%d\n", f.What, f.Value, f.Unit, f.Of)
	}
	return w.Flush()
}
