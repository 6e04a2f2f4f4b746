package api

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"boxwright/internal/drill"
)

// TestWithheld: before the attempt is handed in, no number of what is to be
// found is in the document, nor is anything else but what is drawn.
func TestWithheld(t *testing.T) {
	x := twoPoint()
	b := EncodeExercise(x, false)
	leak(t, x, b)
	for _, word := range []string{"viewing", "proportions", "cube", "distance", "line"} {
		if bytes.Contains(b, []byte(`"`+word)) {
			t.Errorf("%q is in %s", word, b)
		}
	}
	var doc struct {
		Corners []*[2]float64
		Points  []struct{ At *[3]float64 }
	}
	if err := json.Unmarshal(b, &doc); err != nil {
		t.Fatal(err)
	}
	for i, given := range []bool{true, true, true, true, true, false, false, false} { // ends at corner 0, and mark 3
		if (doc.Corners[i] != nil) != given {
			t.Errorf("corner %d: %v", i, doc.Corners[i])
		}
	}
	for i, shown := range []bool{false, false, true} {
		if (doc.Points[i].At != nil) != shown {
			t.Errorf("point %d: %v", i, doc.Points[i].At)
		}
	}
	if !bytes.Contains(EncodeExercise(x, true), []byte(`"viewing"`)) {
		t.Error("the revealed form lacks its viewing")
	}
}

// leak looks for the answers' numbers in a withheld document. A number that
// something drawn has too is no leak.
func leak(t fataler, x *drill.Exercise, b []byte) {
	var doc any
	if err := json.Unmarshal(b, &doc); err != nil {
		t.Fatalf("%v", err)
	}
	there := map[int64]bool{}
	collect(doc, there)
	drawn := map[int64]bool{micro(x.Sheet.Width): true, micro(x.Sheet.Height): true}
	given := x.CornersGiven()
	for i, c := range x.Corners {
		if given[i] {
			drawn[micro(c.X)], drawn[micro(c.Y)] = true, true
		}
	}
	for _, p := range x.Points {
		if p.Shown {
			drawn[micro(p.At.X)], drawn[micro(p.At.Y)] = true, true
		}
	}
	if x.Horizon != nil && x.Horizon.Shown {
		drawn[micro(x.Horizon.Line.C)] = true
	}
	secret := func(what string, v ...float64) {
		for _, v := range v {
			if small := micro(v)%1e6 == 0 && math.Abs(v) < 20; small || drawn[micro(v)] {
				continue // as good as any number
			}
			if there[micro(v)] {
				t.Fatalf("%s: %v is in %s", what, v, b)
			}
		}
	}
	for i, c := range x.Corners {
		if !given[i] {
			secret("corner "+strconv.Itoa(i), c.X, c.Y)
		}
	}
	for _, p := range x.Points {
		if !p.Shown {
			secret(p.ID, p.At.X, p.At.Y)
		}
	}
	if x.Horizon != nil && !x.Horizon.Shown {
		secret("horizon", x.Horizon.Line.C)
	}
	if x.Viewing != nil {
		secret("viewing", x.Viewing.Principal.X, x.Viewing.Principal.Y, x.Viewing.Distance)
	}
	for _, box := range x.Boxes {
		secret("proportions", box.Proportions[:]...)
	}
}

// micro is the size of v in millionths.
func micro(v float64) int64 { return int64(math.Round(math.Abs(v) * 1e6)) }

// collect gathers every number of a document, those in texts too.
func collect(v any, into map[int64]bool) {
	switch v := v.(type) {
	case float64:
		into[micro(v)] = true
	case string:
		if f, err := strconv.ParseFloat(v, 64); err == nil && math.Abs(f) < 1e9 {
			into[micro(f)] = true
		}
	case []any:
		for _, e := range v {
			collect(e, into)
		}
	case map[string]any:
		for k, e := range v {
			if k != "seed" { // any number at all
				collect(e, into)
			}
		}
	}
}
