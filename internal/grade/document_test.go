package grade

import (
	"bufio"
	"compress/gzip"
	"encoding/json"
	"io"
	"os"
	"strconv"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// document is a line of a check file: exercise, attempt and what is known of
// them.
type document struct {
	Exercise struct {
		ID    string
		Drill drill.Kind
		View  drill.View
		Level int
		Seed  string
		Sheet struct {
			Width  float64 `json:"width_mm"`
			Height float64 `json:"height_mm"`
		}
		Horizon struct{ Line [3]float64 }
		Points  []struct {
			ID, Set string
			Box     int
			At      [3]float64
		}
		Corners [][2]float64
		Edges   []struct {
			ID, Set       string
			Box           int
			Corners       [2]int
			Given, Hidden bool
		}
		Boxes []struct {
			Corners     [8]int
			Proportions [3]float64
		}
		Asked struct{ Edges []string }
	}
	Attempt struct {
		Attempt string
		Input   struct{ Pointer ink.Pointer }
		Strokes []struct {
			Role       ink.Role
			X, Y, T, P []float64
		}
	}
	Truth struct {
		Plain bool
		Lines []struct {
			Edge  int
			Error float64  `json:"angle_error_deg"`
			Miss  *float64 `json:"vp_miss_mm"`
		}
		Sets []struct {
			RMS float64 `json:"rms_angle_error_deg"`
		}
		Fault   struct{ Kind string }
		Profile string
		Missing []string
		Strokes []struct {
			Edge *string
			Kind string
		}
	}
}

var setNames = map[string]perspective.Set{"width": perspective.Width, "depth": perspective.Depth, "height": perspective.Height}

// exercise makes the program's exercise of d.
func (d *document) exercise() *drill.Exercise {
	e := &d.Exercise
	seed, _ := strconv.ParseUint(e.Seed, 10, 64)
	x := &drill.Exercise{ID: e.ID, Kind: e.Drill, View: e.View, Level: e.Level, Seed: seed,
		Sheet:   drill.Size{Width: e.Sheet.Width, Height: e.Sheet.Height},
		Horizon: &drill.Horizon{Line: geom.Line{A: e.Horizon.Line[0], B: e.Horizon.Line[1], C: e.Horizon.Line[2]}, Shown: true},
		Asked:   drill.Asked{Edges: e.Asked.Edges}}
	for _, p := range e.Points {
		x.Points = append(x.Points, drill.Point{ID: p.ID, Set: setNames[p.Set], Box: p.Box,
			At: geom.Point{X: p.At[0], Y: p.At[1], W: p.At[2]}, Shown: true})
	}
	for _, c := range e.Corners {
		x.Corners = append(x.Corners, geom.Vec{X: c[0], Y: c[1]})
	}
	for _, g := range e.Edges {
		x.Edges = append(x.Edges, drill.Edge{ID: g.ID, Box: g.Box, Set: setNames[g.Set], Corners: g.Corners, Given: g.Given, Hidden: g.Hidden})
	}
	for _, b := range e.Boxes {
		x.Boxes = append(x.Boxes, drill.Box{Corners: b.Corners, Proportions: b.Proportions})
	}
	return x
}

// attempt makes the program's attempt of d.
func (d *document) attempt() *Attempt {
	a := &Attempt{ID: d.Attempt.Attempt, Exercise: d.Exercise.ID, Input: ink.Input{Pointer: d.Attempt.Input.Pointer}}
	for _, s := range d.Attempt.Strokes {
		a.Strokes = append(a.Strokes, ink.Stroke{Role: s.Role, X: s.X, Y: s.Y, T: s.T, P: s.P})
	}
	return a
}

// documents reads a check file, which may be packed.
func documents(t testing.TB, name string) []document {
	t.Helper()
	f, err := os.Open("../../testdata/checks/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var r io.Reader = f
	if strings.HasSuffix(name, ".gz") {
		if r, err = gzip.NewReader(f); err != nil {
			t.Fatal(err)
		}
	}
	sc := bufio.NewScanner(r)
	sc.Buffer(nil, 8<<20)
	var all []document
	for sc.Scan() {
		var d document
		if err := json.Unmarshal(sc.Bytes(), &d); err != nil {
			t.Fatal(err)
		}
		all = append(all, d)
	}
	if sc.Err() != nil || len(all) == 0 {
		t.Fatalf("%s: read %d lines: %v", name, len(all), sc.Err())
	}
	return all
}
