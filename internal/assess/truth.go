// Package assess judges the judge: it holds grades against drawings whose
// truth is known and counts how often the grader was right.
package assess

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
)

// Truth is what is known of a drawing. Strokes are in the attempt's order.
type Truth struct {
	Plain   bool // every line can be told: no angle or edge is too small for it
	Fault   Fault
	Strokes []Stroke
	Lines   []Line
}

// Fault is what is wrong with the whole drawing; Kind is "none" for nothing
// and "" when it is not told.
type Fault struct{ Kind string }

// UnmarshalJSON reads null as no fault; it is not called for an absent one.
func (f *Fault) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		f.Kind = "none"
		return nil
	}
	type plain Fault
	return json.Unmarshal(b, (*plain)(f))
}

// Stroke is the truth of one simulated stroke: the edge it was meant for, nil
// for none, that edge's set (0 to 2) and the signed error, in degrees, of the
// path that was really drawn.
type Stroke struct {
	Edge    *string
	Set     *int
	PathErr *float64 `json:"path_err_deg"`
}

// Line is the truth of one exactly straight stroke: its edge's number, its
// signed error in degrees and the distance, in millimetres, at which it passes
// the vanishing point; nil for a point at infinity.
type Line struct {
	Edge  int
	Error float64  `json:"angle_error_deg"`
	Miss  *float64 `json:"vp_miss_mm"`
}

// ErrNoTruth is returned for a line without the field truth.
var ErrNoTruth = errors.New(`the field "truth" is missing`)

// ReadTruth reads the field truth of one line of a file, beside which the
// exercise and the attempt stand. Fields that it does not need are ignored.
func ReadTruth(line []byte) (Truth, error) {
	var l struct{ Truth *Truth }
	if err := json.Unmarshal(line, &l); err != nil {
		return Truth{}, fmt.Errorf("the truth cannot be read: %w", err)
	}
	if l.Truth == nil {
		return Truth{}, ErrNoTruth
	}
	return *l.Truth, nil
}

// Check returns an error when t tells of another number of strokes than the
// attempt's n: then it is the truth of another drawing, or part of one.
func (t Truth) Check(n int) error {
	for what, got := range map[string]int{"strokes": len(t.Strokes), "lines": len(t.Lines)} {
		if got > 0 && got != n {
			return fmt.Errorf("/truth/%s: has %d, the attempt has %d strokes", what, got, n)
		}
	}
	return nil
}

// meant returns the edge that each stroke was meant for, "" for none.
func (t Truth) meant() []string {
	var edges []string
	for _, s := range t.Strokes {
		e := ""
		if s.Edge != nil {
			e = *s.Edge
		}
		edges = append(edges, e)
	}
	for _, l := range t.Lines {
		edges = append(edges, "e"+strconv.Itoa(l.Edge))
	}
	return edges
}
