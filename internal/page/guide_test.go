package page_test

import (
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/guide"
	"boxwright/internal/page"
)

// guideModel is a guide of three steps.
func guideModel(t testing.TB, at page.GuidePlace) page.Guide {
	t.Helper()
	steps := []guide.Step{{Text: "Start from the horizon."}, {Text: "Mark the <points>."}, {Text: "Check."}}
	svg := `<svg xmlns="http://www.w3.org/2000/svg"><g class="layer step"></g><g class="layer step"></g><g class="layer step"></g></svg>`
	return page.NewGuide(box(), steps, svg, []string{"<svg></svg>", "<svg></svg>", "<svg></svg>"}, at)
}

func TestGuideShowsItsStep(t *testing.T) {
	for _, c := range []struct {
		step int
		want string
		said string
	}{
		{2, "old new later", "Mark the &lt;points&gt;."},
		{-4, "new later later", "Start from the horizon."},
		{99, "old old new", "Check."},
	} {
		m := render(t, page.GuidePage(frame, guideModel(t, page.GuidePlace{Path: "/guides/x", Step: c.step})))
		var got []string
		for _, part := range strings.Split(m, `<g class="layer step `)[1:] {
			state, _, _ := strings.Cut(part, `"`)
			got = append(got, state)
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("step %d: layers %v", c.step, got)
		}
		if !strings.Contains(m, `<span id="sentence">`+c.said+`</span>`) {
			t.Errorf("step %d does not say %q", c.step, c.said)
		}
	}
}

// TestGuideWays: without a script, links lead a step back and on, keeping the
// sample and the wall; past the ends they lead nowhere.
func TestGuideWays(t *testing.T) {
	ways := func(at page.GuidePlace) (list []string) {
		for _, n := range elements(t, render(t, page.GuidePage(frame, guideModel(t, at)))) {
			if go_, ok := attr(n, "data-go"); ok {
				href, _ := attr(n, "href")
				list = append(list, go_+" "+href)
			}
		}
		return list
	}
	for _, c := range []struct {
		at       page.GuidePlace
		back, on string
	}{
		{page.GuidePlace{Path: "/guides/x", Step: 2}, "/guides/x?step=1", "/guides/x?step=3"},
		{page.GuidePlace{Path: "/guides/x", Step: 1}, "", "/guides/x?step=2"},
		{page.GuidePlace{Path: "/guides/x", Step: 3}, "/guides/x?step=2", ""},
		{page.GuidePlace{Path: "/guides/finish", Query: "view=two&n=4", Step: 2, Wall: true},
			"/guides/finish?view=two&n=4&step=1&wall=1", "/guides/finish?view=two&n=4&step=3&wall=1"},
	} {
		want := []string{"-1 " + c.back, "1 " + c.on, "-1 " + c.back, "1 " + c.on}
		if got := ways(c.at); strings.Join(got, "|") != strings.Join(want, "|") {
			t.Errorf("%+v: %q, want %q", c.at, got, want)
		}
	}
}

// TestWallHasNoNames: in a room neither the learner nor the navigation shows.
func TestWallHasNoNames(t *testing.T) {
	f := page.Frame{Assets: "/assets/v1/", Who: "Marit of the North Light"}
	desk := render(t, page.GuidePage(f, guideModel(t, page.GuidePlace{Path: "/guides/x", Step: 1})))
	wall := render(t, page.GuidePage(f, guideModel(t, page.GuidePlace{Path: "/guides/x", Step: 1, Wall: true})))
	for _, s := range []string{"Marit", "<nav", "<header"} {
		if !strings.Contains(desk, s) {
			t.Errorf("the desk does not hold %q", s)
		}
		if strings.Contains(wall, s) {
			t.Errorf("the wall holds %q", s)
		}
	}
	black := render(t, page.GuidePage(f, guideModel(t, page.GuidePlace{Path: "/guides/x", Step: 1, Wall: true, Black: true})))
	hidden := func(m string) bool {
		for _, n := range elements(t, m) {
			if id, _ := attr(n, "id"); id == "light" {
				_, h := attr(n, "hidden")
				return h
			}
		}
		t.Fatal("no black-out")
		return false
	}
	if !hidden(wall) || hidden(black) {
		t.Error("the black-out is not as asked")
	}
}

func TestWithheldGuide(t *testing.T) {
	x := box()
	m := render(t, page.WithheldPage(frame, page.NewWithheld(x)))
	for _, s := range []string{"shown after it is handed in", `/guides/finish?view=two&amp;level=5&amp;n=1`, `/sheets/` + x.ID} {
		if !strings.Contains(m, s) {
			t.Errorf("the page does not hold %q", s)
		}
	}
	if got := page.GuideName(&drill.Exercise{Kind: drill.Join, View: drill.None, Level: 2}); got != "Guide: Join the dots, level 2" {
		t.Errorf("name %q", got)
	}
}
