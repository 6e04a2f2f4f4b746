package page_test

import (
	"strconv"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/page"
	"boxwright/internal/sheet"
)

func turned(around, up int) page.Turntable {
	return page.NewTurntable(sheet.Turntable(sheet.Turn{Around: around, Up: up, Form: sheet.CubeForm}))
}

// TestViewNames: the name is that of the number of sets that converge, and
// changes at the very degree at which one begins to or ceases.
func TestViewNames(t *testing.T) {
	for _, c := range []struct {
		around, up int
		name       string
		view       drill.View
		says       string
	}{
		{0, 0, "One-point", drill.One, "Depth runs to its point; width stays level and height stays upright."},
		{1, 0, "Two-point", drill.Two, "Width and depth run to their points; height stays upright."},
		{-1, 0, "Two-point", drill.Two, "Width and depth run to their points; height stays upright."},
		{89, 0, "Two-point", drill.Two, "Width and depth run to their points; height stays upright."},
		{90, 0, "One-point", drill.One, "Width runs to its point; depth stays level and height stays upright."},
		{-90, 0, "One-point", drill.One, "Width runs to its point; depth stays level and height stays upright."},
		{91, 0, "Two-point", drill.Two, "Width and depth run to their points; height stays upright."},
		{180, 0, "One-point", drill.One, "Depth runs to its point; width stays level and height stays upright."},
		{-180, 0, "One-point", drill.One, "Depth runs to its point; width stays level and height stays upright."},
		{0, -1, "Two-point", drill.Two, "Depth and height run to their points; width stays level."},
		{90, 60, "Two-point", drill.Two, "Width and height run to their points; depth stays level."},
		{1, 1, "Three-point", drill.Three, "Width, depth and height run to their points."},
		{30, -1, "Three-point", drill.Three, "Width, depth and height run to their points."},
		{-179, 60, "Three-point", drill.Three, "Width, depth and height run to their points."},
	} {
		m := turned(c.around, c.up)
		if m.Name != c.name || m.View != c.view || m.Says != c.says {
			t.Errorf("%d, %d: %s (%s), %q; want %s, %q", c.around, c.up, m.Name, m.View, m.Says, c.name, c.says)
		}
		if p := m.Practice(); p != (page.Choice{Drill: "finish", View: string(c.view), Level: "1"}) {
			t.Errorf("%d, %d: practises %v", c.around, c.up, p)
		}
	}
}

func TestTurntableRows(t *testing.T) {
	for _, c := range []struct {
		around, up int
		words      []string // width, depth, height, eye level
	}{
		{0, 0, []string{"0°, no point", "90°, point in the middle", "0°, no point", "through the middle"}},
		// At 45 degrees both points lie a viewing distance, 150 mm, away.
		{45, 0, []string{"45°, point 150 mm left", "45°, point 150 mm right", "0°, no point", "through the middle"}},
		// Looking down 45 degrees, the horizon and the third point lie as far.
		{0, -45, []string{"0°, no point", "45°, point in the middle", "45°, point 150 mm below", "150 mm above the middle"}},
		{0, 45, []string{"0°, no point", "45°, point in the middle", "45°, point 150 mm above", "150 mm below the middle"}},
		// 150 mm over the tangent of one degree.
		{1, 0, []string{"1°, point 8.6 m left", "89°, point 3 mm right", "0°, no point", "through the middle"}},
	} {
		m := turned(c.around, c.up)
		for i, want := range c.words {
			if got := m.Rows[i].Words; got != want {
				t.Errorf("%d, %d, %s: %q, want %q", c.around, c.up, m.Rows[i].Name, got, want)
			}
		}
	}
}

// TestTurntableSteps: the buttons lead to the next multiple of five degrees,
// round and round, and not beyond the steepest look.
func TestTurntableSteps(t *testing.T) {
	for _, c := range []struct {
		around, up             int
		left, right, down, up2 string
	}{
		{0, 0, "-5,0", "5,0", "0,-5", "0,5"},
		{2, -3, "0,-3", "5,-3", "2,-5", "2,0"},
		{-2, 3, "-5,3", "0,3", "-2,0", "-2,5"},
		{180, 60, "175,60", "-175,60", "180,55", "180,60"},
		{-180, -60, "175,-60", "-175,-60", "-180,-60", "-180,-55"},
		{178, 59, "175,59", "180,59", "178,55", "178,60"},
	} {
		m := turned(c.around, c.up)
		for i, want := range []string{c.left, c.right, c.down, c.up2} {
			a, u, _ := strings.Cut(want, ",")
			if got := m.Steps[i].To; got != "/turntable?around="+a+"&up="+u+"&box=cube" {
				t.Errorf("%d, %d, %s: %s, want %s", c.around, c.up, m.Steps[i].Key, got, want)
			}
		}
	}
}

// TestTurntableFrame: the frame holds every part of the page that a position
// changes, and the page has a place for each.
func TestTurntableFrame(t *testing.T) {
	m := turned(-40, 25)
	whole, part := render(t, page.TurntablePage(frame, m)), render(t, page.TurntableFrame(m))
	parts := 0
	for _, name := range []string{"data-part", "data-words", "data-step"} {
		have := map[string]int{}
		for _, n := range elements(t, whole) {
			if v, ok := attr(n, name); ok {
				have[v]++
			}
		}
		for _, n := range elements(t, part) {
			if v, ok := attr(n, name); ok {
				parts++
				if have[v] != 1 {
					t.Errorf("the page has %d places for %s %q", have[v], name, v)
				}
				have[v]--
			}
		}
		for v, n := range have {
			if n != 0 {
				t.Errorf("the frame has no %s %q", name, v)
			}
		}
	}
	if parts != 6+2+4 {
		t.Errorf("%d parts", parts)
	}
	for id, want := range map[string]int{"around": -40, "up": 25} {
		n := byID(t, whole, id)
		if v, _ := attr(n, "value"); v != strconv.Itoa(want) {
			t.Errorf("%s is %s", id, v)
		}
	}
}
