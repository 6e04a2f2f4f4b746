package ink

import (
	"bufio"
	"compress/gzip"
	"encoding/json"
	"math"
	"os"
	"slices"
	"testing"
)

// hand is what the tests read of one simulated drawing: its strokes and what
// the simulation knows about them.
type hand struct {
	Attempt struct {
		Input   struct{ Pointer Pointer }
		Strokes []struct{ X, Y, T, P []float64 }
	}
	Truth struct {
		Profile string
		Strokes []struct {
			Edge    *string
			Kind    string
			PathErr *float64 `json:"path_err_deg"`
			Ideal   [4]float64
			Bow     float64 `json:"bow_mm"`
			Over    float64 `json:"over0_mm"`
			Length  float64 `json:"length_mm"`
		}
	}
	Exercise struct {
		Corners [][2]float64
		Edges   []struct {
			ID      string
			Set     string
			Corners [2]int
		}
		Points []struct {
			Set string
			At  [3]float64
		}
	}
}

// hands reads the published simulated drawings.
func hands(t testing.TB) []hand {
	t.Helper()
	f, err := os.Open("../../testdata/checks/hands.jsonl.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	sc := bufio.NewScanner(z)
	sc.Buffer(nil, 8<<20)
	var all []hand
	for sc.Scan() {
		var h hand
		if err := json.Unmarshal(sc.Bytes(), &h); err != nil {
			t.Fatal(err)
		}
		all = append(all, h)
	}
	if sc.Err() != nil || len(all) == 0 {
		t.Fatalf("read %d drawings: %v", len(all), sc.Err())
	}
	return all
}

// robustSD is 1.4826 times the median absolute value.
func robustSD(v []float64) float64 {
	a := make([]float64, len(v))
	for i, x := range v {
		a[i] = math.Abs(x)
	}
	slices.Sort(a)
	return 1.4826 * a[len(a)/2]
}
