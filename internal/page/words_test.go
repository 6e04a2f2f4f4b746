package page_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
	"boxwright/internal/page"
	"boxwright/internal/perspective"
	"boxwright/internal/progress"
)

func TestRedlineWords(t *testing.T) {
	m := redline()
	if m.Score != "78" || m.Off != "1.6° off on average" || m.Handed != "4 May 2026" {
		t.Errorf("score %q, off %q, handed in %q", m.Score, m.Off, m.Handed)
	}
	type row struct{ name, toward, lie, facts string }
	want := []row{
		{"Width", "left point", "", "3 lines, 2.2° off, all to one side"},
		{"Depth", "right point", "", "3 lines, 0.8° off, within your hand"},
		{"Height", "", "upright", "2 lines, 1.5° off, 1 outside the band"},
	}
	var got []row
	for _, s := range m.Sets {
		got = append(got, row{s.Name, s.Toward, s.Lie, s.Facts})
	}
	if !slices.Equal(got, want) {
		t.Errorf("sets\n%q, want\n%q", got, want)
	}
	figures := []page.Figure{{Name: "Corners", Value: "close within 1.9 mm"}, {Name: "Not drawn", Value: "1 edge"}, {Name: "Your hand", Value: "±0.7° on a line of 80\u00a0mm"}}
	if !slices.Equal(m.Figures, figures) {
		t.Errorf("figures %q", m.Figures)
	}
	if p := m.Findings[0].Parts; len(p) != 3 || !p[1].Strong || p[1].Text != "width" {
		t.Errorf("the set's name is not strong: %+v", p)
	}
	if l := m.Lines[0]; l.Name != "Width 1" || l.Error != "+3.4°" || l.Miss != "12.4 mm" || l.Uncertainty != "±0.5°" || l.Length != "61 mm" {
		t.Errorf("first line %+v", l)
	}
	if l := m.Lines[7]; l.Name != "Height 2" || l.Error != "−2.1°" || l.Miss != "–" {
		t.Errorf("last line %+v", l)
	}
}

// TestNothingClaimed checks that a set is said to be within the hand or all
// to one side only when the numbers say so.
func TestNothingClaimed(t *testing.T) {
	facts := func(change func(g *grade.Grade)) string {
		x, a, g := graded()
		change(g)
		return page.NewRedline(x, a, g, page.Paper{}).Sets[0].Facts
	}
	for name, c := range map[string]struct {
		change func(g *grade.Grade)
		want   string
	}{
		"as graded":           {func(*grade.Grade) {}, "3 lines, 2.2° off, all to one side"},
		"no finding":          {func(g *grade.Grade) { g.Findings = nil }, "3 lines, 2.2° off, 2 outside the band"},
		"both sides":          {func(g *grade.Grade) { g.Lines[2].Error *= -1 }, "3 lines, 2.2° off, 2 outside the band"},
		"finding of depth":    {func(g *grade.Grade) { g.Findings[0].Set = perspective.Depth }, "3 lines, 2.2° off, 2 outside the band"},
		"finding, other box":  {func(g *grade.Grade) { g.Findings[0].Box = 1 }, "3 lines, 2.2° off, 2 outside the band"},
		"inside, named":       {func(g *grade.Grade) { inside(g); g.Lines[0].Error = -.01 }, "3 lines, 2.2° off"},
		"inside, not named":   {func(g *grade.Grade) { inside(g); g.Findings = nil }, "3 lines, 2.2° off, within your hand"},
		"inside, no history":  {func(g *grade.Grade) { inside(g); g.Findings, g.Hand = nil, nil }, "3 lines, 2.2° off, within the band"},
		"no line of this set": {func(g *grade.Grade) { g.Lines = g.Lines[3:] }, "no line drawn"},
	} {
		if got := facts(c.change); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

func inside(g *grade.Grade) {
	for i := range g.Lines {
		g.Lines[i].Outside = false
	}
}

func TestNoFinding(t *testing.T) {
	sentence := func(change func(g *grade.Grade)) string {
		x, a, g := graded()
		g.Findings = nil
		change(g)
		return page.NewRedline(x, a, g, page.Paper{}).Findings[0].Parts[0].Text
	}
	for want, change := range map[string]func(g *grade.Grade){
		"Nothing stands out from the scatter of the lines.":                func(g *grade.Grade) { g.Missing = nil; inside(g) },
		"3 lines lie outside the band; no fault of a whole set is proven.": func(g *grade.Grade) { g.Missing = nil },
		"One line lies outside the band; no fault of a whole set is proven.": func(g *grade.Grade) {
			g.Missing = nil
			inside(g)
			g.Lines[1].Outside = true
		},
		"Not drawn: 1 of 9.":                              func(*grade.Grade) {},
		"No line could be matched to an edge of the box.": func(g *grade.Grade) { g.Lines = nil },
	} {
		if got := sentence(change); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestJoinRedline(t *testing.T) {
	x := dots()
	l := grade.Line{Edge: "t0", Length: 100, Error: geom.Degrees(-.4), ErrorSE: geom.Degrees(.1), Bow: -.6, Wobble: .3, StartGap: 1, EndGap: -1}
	k := grade.Line{Edge: "t1", Length: 112, Error: geom.Degrees(1.2), ErrorSE: geom.Degrees(.1), Bow: .2, Wobble: .1, StartGap: 3, EndGap: 1}
	g := &grade.Grade{Score: 80, RMS: angle(.9), Lines: []grade.Line{l, k}}
	a := &grade.Attempt{ID: "j", Input: ink.Input{Pointer: ink.Ruler}}
	m := page.NewRedline(x, a, g, page.Paper{SVG: picture})
	want := []page.Figure{
		{Name: "Direction", Value: "±0.9°"}, {Name: "Bow", Value: "0.4 mm on average"}, {Name: "Wobble", Value: "0.2 mm"},
		{Name: "Ends", Value: "within 1.7 mm of the dots"},
		{Name: "Your hand", Value: "no history of your hand yet; this sheet was not drawn free-hand and is not counted to it"},
	}
	if !slices.Equal(m.Figures, want) {
		t.Errorf("figures %q, want %q", m.Figures, want)
	}
	if len(m.Sets) != 1 || m.Sets[0].Facts != "2 lines, 0.9° off, within the band" || m.Sets[0].Class != "" {
		t.Errorf("sets %+v", m.Sets)
	}
	if c := m.Cells; len(c) != 2 || c[0].Value != "Join the dots" {
		t.Errorf("a join has no view: cells %q", c)
	}
}

// TestLie checks how sets without a point are said to run.
func TestLie(t *testing.T) {
	for words, p := range map[string]geom.Point{
		"level": {X: 1}, "upright": {Y: 1}, "parallel": {X: .8, Y: .6},
		"lower point": {X: 150, Y: 800, W: 1}, "upper point": {X: 150, Y: -800, W: 1},
	} {
		x, a, g := graded()
		x.Points[2].At = p
		s := page.NewRedline(x, a, g, page.Paper{}).Sets[2]
		if s.Lie+s.Toward != words || (s.Toward != "") != p.Finite() {
			t.Errorf("%v: toward %q, lie %q, want %q", p, s.Toward, s.Lie, words)
		}
	}
	x, a, g := graded()
	x.Points = nil
	if s := page.NewRedline(x, a, g, page.Paper{}).Sets[0]; s.Lie+s.Toward != "" {
		t.Errorf("without points: toward %q, lie %q", s.Toward, s.Lie)
	}
}

func TestProgressWords(t *testing.T) {
	m := progressModel()
	if m.Empty || m.Summary != "12 sheets handed in, on 4 days." {
		t.Errorf("empty %v, summary %q", m.Empty, m.Summary)
	}
	if len(m.Days) != 4 || m.Days[0] != (page.DayRow{Date: "7 May 2026", Sheets: "3"}) {
		t.Errorf("days %q", m.Days)
	}
	s := m.Skills[0]
	if s.Name != "Finish the box, two-point" || s.Note != "12 sheets drawn with the pen." || s.Chart == "" {
		t.Errorf("skill %q, %q", s.Name, s.Note)
	}
	if r := s.Sets[0]; r.Set != "Width" || r.Class != "set-width" || r.Lately != "2.4°" || !strings.Contains(r.LatelyRange, " to ") || r.Lines != "36" {
		t.Errorf("width %+v", r)
	}
	if d := s.Days[0]; d.Date != "7 May 2026" || d.Set != "Width" || d.Error != "2.4°" {
		t.Errorf("behind the chart: %+v", d)
	}
	if c := m.Recent[0]; c.Address != "/attempts/0190-a" || c.Score != "71 / 100" || c.Name != "Finish the box, two-point, level 4" {
		t.Errorf("recent %+v", c)
	}
}

// TestCannotTell checks that one sheet is not made to say anything.
func TestCannotTell(t *testing.T) {
	at := time.Date(2026, 5, 1, 10, 0, 0, 0, time.UTC)
	r := progress.Of([]progress.Drawing{{
		ID: "a", At: at, Kind: drill.Finish, View: drill.One, Level: 1, Pointer: "mouse", Lines: 2, RMS: ptr(2),
		Sets: []progress.Set{{Name: "depth", Lines: 2, RMS: 2}},
	}}, time.UTC, at)
	s := page.NewProgress(r, nil, at).Skills[0].Sets[0]
	if s.Lately != "can't tell yet" || s.All != "can't tell yet" || s.LatelyRange+s.AllRange != "" {
		t.Errorf("from two lines: %+v", s)
	}
}

func TestPractice(t *testing.T) {
	m := practiceModel()
	if c := m.Cards[3]; c.Drill != "join" || c.View != "none" || c.Seen != "" {
		t.Errorf("join: %+v", c)
	}
	for _, s := range []struct{ level, chosen int }{{0, 1}, {4, 4}, {99, 10}} {
		c := page.NewPractice([]page.Sample{{Kind: drill.Finish, View: drill.Two, Level: s.level}}).Cards[0]
		for i, l := range c.Levels {
			if l.Chosen != (i+1 == s.chosen) {
				t.Errorf("level %d: %+v", s.level, c.Levels)
			}
		}
	}
}

func TestFaultWords(t *testing.T) {
	seen := map[string]int{}
	for _, s := range []int{400, 403, 404, 405, 413, 429, 500, 503} {
		m := page.NewFault(s, "", "r")
		if m.Title == "" || m.Words == "" || len(m.Ways) == 0 {
			t.Errorf("%d: %+v", s, m)
		}
		if o, ok := seen[m.Words]; ok {
			t.Errorf("%d says the same as %d", s, o)
		}
		seen[m.Words] = s
	}
	if m := page.NewFault(404, "Gone fishing.", ""); m.Words != "Gone fishing." {
		t.Errorf("words %q", m.Words)
	}
}
