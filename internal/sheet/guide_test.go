package sheet

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/guide"
)

// guided makes an exercise with its construction.
func guided(t testing.TB, k drill.Kind, v drill.View, level int, seed uint64) (*drill.Exercise, []guide.Step) {
	t.Helper()
	x, err := drill.New(k, v, level, seed)
	if err != nil {
		t.Fatal(err)
	}
	steps, err := guide.Of(x)
	if err != nil {
		t.Fatal(err)
	}
	return x, steps
}

// count returns how many groups of d have one of the styles.
func styled(d Drawing, styles ...Style) (n int) {
	for _, l := range d.Layers {
		for _, g := range l.Groups {
			for _, s := range styles {
				if g.Style == s {
					n++
				}
			}
		}
	}
	return n
}

func TestGuideAddsStepByStep(t *testing.T) {
	for _, v := range drill.Views(drill.Finish) {
		for level := drill.MinLevel; level <= drill.MaxLevel; level++ {
			x, steps := guided(t, drill.Finish, v, level, uint64(level))
			for n := range steps {
				d := Guide(x, steps, n+1)
				layers := 0
				for _, l := range d.Layers {
					if l.Name == layerStep {
						layers++
					}
				}
				if layers != n+1 {
					t.Errorf("%s %d: %d layers at step %d", v, level, layers, n+1)
				}
				if d.Desc != steps[n].Text {
					t.Errorf("step %d says %q", n+1, d.Desc)
				}
				// Only the last layer has emphasis.
				for i, l := range d.Layers {
					fresh := styled(Drawing{Layers: []Layer{l}}, GuideGivenNew, GuideHorizonNew, GuideLightNew, GuideEdgeNew, GuideHiddenNew, GuidePlace)
					if last := i == len(d.Layers)-2; !last && fresh > 0 {
						t.Errorf("%s %d, step %d: layer %d has %d groups with emphasis", v, level, n+1, i, fresh)
					} else if last && fresh == 0 && len(l.Groups) > 0 {
						t.Errorf("%s %d: step %d has no emphasis", v, level, n+1)
					}
				}
			}
			whole := GuideSteps(x, steps)
			if n := styled(whole, GuideGivenNew, GuideHorizonNew, GuideLightNew, GuideEdgeNew, GuideHiddenNew); n > 0 {
				t.Errorf("%s %d: %d groups with emphasis before the page decides", v, level, n)
			}
			if n := strings.Count(whole.SVG(), `class="layer step"`); n != len(steps) {
				t.Errorf("%s %d: %d step layers in the picture, %d steps", v, level, n, len(steps))
			}
		}
	}
	x, steps := guided(t, drill.Finish, drill.Two, 5, 1)
	if a, b := Guide(x, steps, 99).SVG(), Guide(x, steps, len(steps)).SVG(); a != b {
		t.Error("past the last step there is another")
	}
}

// TestGuideStaysOnTheBoard: lines that run to far points end at the rim of
// what each medium shows.
func TestGuideStaysOnTheBoard(t *testing.T) {
	marks := 0
	for seed := range uint64(20) {
		x, steps := guided(t, drill.Finish, drill.Three, 8, seed)
		for _, l := range GuideSteps(x, steps).Layers {
			if l.Name != layerStep {
				continue
			}
			for _, g := range l.Groups {
				board := frame(x.Sheet, Wide)
				if g.Where == Narrow {
					board = frame(x.Sheet, Narrow)
				}
				for _, m := range g.Marks {
					segments, ok := m.(Segments)
					if !ok {
						continue
					}
					marks++
					for _, s := range segments {
						if board.dist(s.A) > 1e-6 || board.dist(s.B) > 1e-6 {
							t.Fatalf("%v runs off the board", s)
						}
						if !g.Board && (frame(x.Sheet, Print).dist(s.A) > 1e-6 || frame(x.Sheet, Print).dist(s.B) > 1e-6) {
							t.Fatalf("%v runs off the sheet", s)
						}
					}
				}
			}
		}
	}
	if marks < 200 {
		t.Errorf("only %d marks", marks)
	}
}

func TestGuidePDF(t *testing.T) {
	x, steps := guided(t, drill.Finish, drill.Three, 10, 3)
	a, err := GuidePDF(x, steps, "Guide: a box")
	if err != nil {
		t.Fatal(err)
	}
	b, err := GuidePDF(x, steps, "Guide: a box")
	if err != nil || !bytes.Equal(a, b) {
		t.Errorf("the same steps give other bytes (%v)", err)
	}
	want := (len(steps) + 5) / 6
	if n := bytes.Count(a, []byte("/Type /Page\n")); n != want || want > 2 {
		t.Errorf("%d pages for %d panels", n, len(steps))
	}
}

// TestGoldenGuide pins one picture of each kind of rendering.
func TestGoldenGuide(t *testing.T) {
	x, steps := guided(t, drill.Finish, drill.Two, 9, 3)
	for name, s := range map[string]string{
		"guide-two-6.svg": Guide(x, steps, 6).SVG(),
		"guide-two.svg":   GuideSteps(x, steps).SVG(),
		"panel-two-4.svg": Panel(Guide(x, steps, 4)),
	} {
		file := filepath.Join("testdata/guide", name)
		if *update {
			if err := os.MkdirAll("testdata/guide", 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(s), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !alike(s, string(want)) {
			t.Errorf("%s has changed", name)
		}
	}
}

func BenchmarkGuide(b *testing.B) {
	x, steps := guided(b, drill.Finish, drill.Three, 10, 3)
	for b.Loop() {
		GuideSteps(x, steps).SVG()
		for i := range steps {
			Panel(Guide(x, steps, i+1))
		}
	}
}
