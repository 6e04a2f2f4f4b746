package sheet

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

var number = regexp.MustCompile(`-?\d+(\.\d+)?`)

// alike compares two pictures: the same but for numbers that differ by a
// rounding of the last decimal.
func alike(a, b string) bool {
	if number.ReplaceAllString(a, "#") != number.ReplaceAllString(b, "#") {
		return false
	}
	x, y := number.FindAllString(a, -1), number.FindAllString(b, -1)
	for i := range x {
		v, _ := strconv.ParseFloat(x[i], 64)
		w, _ := strconv.ParseFloat(y[i], 64)
		if math.Abs(v-w) > .0101 {
			return false
		}
	}
	return true
}

// The pictures are those that were looked at and found right. Run with
// -update after a wanted change, and look at them again.
func TestGoldenPictures(t *testing.T) {
	two, three, hidden := scene(t, views[1]), scene(t, views[2]), scene(t, views[4])
	a, g := drawn(two, 2.5, true)
	red := Redline(two, a, g)
	a3, g3 := drawn(three, 2.5, false)
	join := dots(10)
	aj, gj := drawn(join, 2, false)
	all := map[string]string{
		"exercise-one.svg":      Exercise(scene(t, views[0])).SVG(),
		"exercise-two.svg":      Exercise(two).SVG(),
		"exercise-three.svg":    Exercise(three).SVG(),
		"exercise-withheld.svg": Exercise(hidden).SVG(),
		"exercise-join.svg":     Exercise(join).SVG(),
		"redline-two.svg":       red.SVG(),
		"redline-three.svg":     Redline(three, a3, g3).Picture(),
		"redline-join.svg":      Redline(join, aj, gj).SVG(),
		"thumb-two.svg":         Thumb(red),
		"error-chart.svg":       ErrorChart(course()),
		"days-chart.svg":        DaysChart(practice()),
	}
	for i, s := range strips() {
		all["strip-"+strconv.Itoa(i)+".svg"] = DotStrip(s)
	}
	if *update {
		if err := os.MkdirAll("testdata/golden", 0o755); err != nil {
			t.Fatal(err)
		}
		for name, s := range all {
			if err := os.WriteFile(filepath.Join("testdata/golden", name), []byte(s), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	files, err := filepath.Glob("testdata/golden/*.svg")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != len(all) {
		t.Errorf("%d golden pictures, want %d", len(files), len(all))
	}
	for name, s := range all {
		want, err := os.ReadFile(filepath.Join("testdata/golden", name))
		if err != nil {
			t.Fatal(err)
		}
		if !alike(s, string(want)) {
			t.Errorf("%s has changed", name)
		}
	}
}
