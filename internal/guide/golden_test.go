package guide_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/guide"
)

var update = flag.Bool("update", false, "write the golden step lists anew")

// script writes the steps down: each sentence with what it adds.
func script(all []guide.Step) string {
	names := map[guide.Role]string{guide.Given: "given", guide.Horizon: "horizon", guide.Construction: "light",
		guide.Edge: "edge", guide.Hidden: "hidden", guide.Point: "point", guide.Corner: "corner"}
	var b strings.Builder
	for i, s := range all {
		fmt.Fprintf(&b, "  %d. %s\n", i+1, s.Text)
		var parts []string
		for r := guide.Given; r <= guide.Corner; r++ {
			lines, dots := 0, 0
			var labels []string
			for _, l := range s.Lines {
				if l.Role == r {
					lines++
				}
			}
			for _, d := range s.Dots {
				if d.Role == r {
					dots++
					if d.Label != "" {
						labels = append(labels, d.Label)
					}
				}
			}
			if lines > 0 {
				parts = append(parts, fmt.Sprintf("%d %s lines", lines, names[r]))
			}
			if dots > 0 {
				parts = append(parts, fmt.Sprintf("%d %s dots", dots, names[r]))
			}
			if len(labels) > 0 {
				parts = append(parts, "named "+strings.Join(labels, ", "))
			}
		}
		if len(parts) > 0 {
			fmt.Fprintf(&b, "     (%s)\n", strings.Join(parts, "; "))
		}
	}
	return b.String()
}

// TestGoldenSteps pins the step lists of every drill and view, in one file a
// drill. Run with -update after a wanted change, and read what changed.
func TestGoldenSteps(t *testing.T) {
	for _, k := range drill.Kinds {
		var b strings.Builder
		for _, v := range drill.Views(k) {
			for _, level := range []int{1, 5, 8, 10} {
				x, err := drill.New(k, v, level, 1)
				if err != nil {
					t.Fatal(err)
				}
				fmt.Fprintf(&b, "%s, %s, level %d\n%s\n", k, v, level, script(steps(t, x)))
			}
		}
		file := filepath.Join("testdata", string(k)+".txt")
		if *update {
			if err := os.MkdirAll("testdata", 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if b.String() != string(want) {
			t.Errorf("%s: the steps changed:\n%s", k, b.String())
		}
	}
}
