package page_test

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"github.com/a-h/templ"
	"golang.org/x/net/html"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
	"boxwright/internal/page"
	"boxwright/internal/perspective"
	"boxwright/internal/progress"
	"boxwright/internal/sheet"
)

const picture = `<svg class="sheet" role="img"><title>A sheet</title></svg>`

// hostile is text that must never reach a page as markup.
const hostile = `"><script>alert(1)</script><b onclick='x'>&amp;`

var frame = page.Frame{Assets: "/assets/v1/"}

// box is a two-point sheet of level 5 with its near corner given. Its numbers
// are chosen to be recognised when they leak.
func box() *drill.Exercise {
	at := func(x, y float64) geom.Point { return geom.Point{X: x, Y: y, W: 1} }
	x := &drill.Exercise{
		ID: "sheet-1", Generator: 1, Kind: drill.Finish, View: drill.Two, Level: 5, Seed: 9007199254740993,
		Sheet:   drill.Size{Width: 297, Height: 210},
		Viewing: &drill.Viewing{Principal: geom.Vec{X: 108.8154, Y: 99.304}, Distance: 326.3531},
		Points: []drill.Point{
			{ID: "p-width", Set: perspective.Width, At: at(-191.9643, 99.304)},
			{ID: "p-depth", Set: perspective.Depth, At: at(462.9162, 99.304)},
			{ID: "p-height", Set: perspective.Height, At: geom.Point{Y: 1}, Shown: true},
		},
		Corners: []geom.Vec{
			{X: 214.9298, Y: 141.5642}, {X: 146.5502, Y: 134.4623}, {X: 253.8515, Y: 134.9315}, {X: 188.9787, Y: 129.7472},
			{X: 214.9298, Y: 51.9134}, {X: 146.5502, Y: 59.8775}, {X: 253.8515, Y: 59.3514}, {X: 188.9787, Y: 65.1651},
		},
		Boxes: []drill.Box{{Corners: [8]int{0, 1, 2, 3, 4, 5, 6, 7}, Proportions: [3]float64{1, 1, 1}, Cube: true}},
	}
	for i, e := range perspective.Edges {
		id := "e" + string(rune('a'+i))
		given := e.Corners[0] == 0
		x.Edges = append(x.Edges, drill.Edge{ID: id, Set: e.Set, Corners: e.Corners, Given: given})
		if !given {
			x.Asked.Edges = append(x.Asked.Edges, id)
		}
	}
	return x
}

// dots is a join of two pairs.
func dots() *drill.Exercise {
	return &drill.Exercise{
		ID: "dots-1", Kind: drill.Join, View: drill.None, Level: 2, Sheet: drill.Size{Width: 297, Height: 210},
		Targets: []drill.Target{{ID: "t0", A: geom.Vec{X: 20, Y: 20}, B: geom.Vec{X: 120, Y: 20}}, {ID: "t1", A: geom.Vec{X: 20, Y: 90}, B: geom.Vec{X: 120, Y: 140}}},
		Asked:   drill.Asked{Targets: []string{"t0", "t1"}},
	}
}

func angle(deg float64) *geom.Angle { a := geom.Degrees(deg); return &a }

func ptr(v float64) *float64 { return &v }

// line is a graded line of a set with an error in degrees.
func line(edge string, k perspective.Set, deg float64, outside bool) grade.Line {
	return grade.Line{
		Edge: edge, Set: k, HasSet: true, Role: ink.RoleEdge, Length: 61,
		Error: geom.Degrees(deg), ErrorSE: geom.Degrees(.5), Outside: outside,
	}
}

// graded is box with its width turned aside, depth within the hand and one
// upright missing.
func graded() (*drill.Exercise, *grade.Attempt, *grade.Grade) {
	g := &grade.Grade{
		Attempt: "0190-a", Exercise: "sheet-1", Score: 78, RMS: angle(1.6), Hand: angle(.7), CornerGap: ptr(1.9),
		Missing: []string{"el"},
		Lines: []grade.Line{
			line("eb", perspective.Width, 3.4, true), line("ec", perspective.Width, 2.6, true), line("ed", perspective.Width, .4, false),
			line("ef", perspective.Depth, -.4, false), line("eg", perspective.Depth, .9, false), line("eh", perspective.Depth, .1, false),
			line("ej", perspective.Height, .3, false), line("ek", perspective.Height, -2.1, true),
		},
		Sets: []grade.SetGrade{
			{Set: perspective.Width, Lines: 3, RMS: geom.Degrees(2.2)},
			{Set: perspective.Depth, Lines: 3, RMS: geom.Degrees(.8)},
			{Set: perspective.Height, Lines: 2, RMS: geom.Degrees(1.5)},
		},
		Findings: []grade.Finding{
			{Code: "turned", Set: perspective.Width, HasSet: true, P: .001, Text: "Your width lines agree with one another but run beside the left point."},
			{Code: "missing", Text: "One upright edge is not drawn."},
		},
	}
	g.Lines[0].Miss = ptr(12.44)
	return box(), &grade.Attempt{ID: "0190-a", Exercise: "sheet-1", Input: ink.Input{Pointer: ink.Pen}}, g
}

func redline() page.Redline {
	x, a, g := graded()
	return page.NewRedline(x, a, g, page.Paper{SVG: picture, Number: 3, Handed: time.Date(2026, 5, 4, 21, 0, 0, 0, time.UTC)})
}

func sheetModel() page.Sheet {
	return page.NewSheet(box(), []byte(`{"id":"sheet-1"}`), page.Paper{SVG: picture, Number: 3, First: true})
}

// report is twelve drawings on four days.
func report() progress.Report {
	var d []progress.Drawing
	for i := range 12 {
		d = append(d, progress.Drawing{
			ID: "a", At: time.Date(2026, 5, 1+2*(i/3), 18, 0, 0, 0, time.UTC), Kind: drill.Finish, View: drill.Two, Level: 4,
			Pointer: "pen", Score: 70, Lines: 6, RMS: ptr(2),
			Sets: []progress.Set{{Name: "width", Lines: 3, RMS: 2.4}, {Name: "depth", Lines: 3, RMS: 1.5}},
		})
	}
	return progress.Of(d, time.UTC, time.Date(2026, 5, 8, 12, 0, 0, 0, time.UTC))
}

func progressModel() page.Progress {
	return page.NewProgress(report(), []page.Recent{{
		Attempt: "0190-a", Handed: time.Date(2026, 5, 7, 18, 0, 0, 0, time.UTC),
		Kind: drill.Finish, View: drill.Two, Level: 4, Score: 71, Picture: `<svg class="sheet thumb"></svg>`,
	}}, time.Date(2026, 5, 8, 12, 0, 0, 0, time.UTC))
}

func practiceModel() page.Practice {
	return page.NewPractice([]page.Sample{
		{Kind: drill.Finish, View: drill.One, Level: 4, Picture: picture}, {Kind: drill.Finish, View: drill.Two, Level: 4},
		{Kind: drill.Finish, View: drill.Three, Level: 4}, {Kind: drill.Join, View: drill.None, Level: 2},
	})
}

// all renders every kind of page.
func all(t testing.TB) map[string]string {
	return map[string]string{
		"sheet":     render(t, page.SheetPage(frame, sheetModel())),
		"attempt":   render(t, page.AttemptPage(frame, redline())),
		"practice":  render(t, page.PracticePage(frame, practiceModel())),
		"progress":  render(t, page.ProgressPage(frame, progressModel())),
		"empty":     render(t, page.ProgressPage(frame, page.NewProgress(progress.Report{}, nil, time.Time{}))),
		"turntable": render(t, page.TurntablePage(frame, page.NewTurntable(sheet.Turntable(sheet.Turn{Around: 30, Form: sheet.CubeForm})))),
		"fault":     render(t, page.FaultPage(frame, page.NewFault(404, "", "r-1"))),
	}
}

func render(t testing.TB, c templ.Component) string {
	t.Helper()
	var b bytes.Buffer
	if err := c.Render(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// elements returns the elements of a document or fragment in order.
func elements(t testing.TB, markup string) []*html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(markup))
	if err != nil {
		t.Fatal(err)
	}
	var list []*html.Node
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			list = append(list, n)
		}
	}
	return list
}

func attr(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

// text is what a reader of n reads, white space folded.
func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// byID returns the element with the id.
func byID(t testing.TB, markup, id string) *html.Node {
	t.Helper()
	for _, n := range elements(t, markup) {
		if v, _ := attr(n, "id"); v == id {
			return n
		}
	}
	t.Fatalf("no element with id %q", id)
	return nil
}
