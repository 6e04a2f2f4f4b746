package page

import (
	"strconv"
	"strings"

	"boxwright/internal/drill"
	"boxwright/internal/guide"
)

// Guide is a construction shown step by step.
type Guide struct {
	Name   string // "Finish the box, two-point, level 4"
	Cells  []Cell
	SVG    string // all steps, those to come hidden
	Steps  []GuideStep
	Step   int    // which is shown, from 1
	Wall   bool   // large, for a room: no names, no navigation
	Black  bool   // the wall is blacked out
	Print  string // address of the strip of panels as a document
	Draw   string // address of the sheet it is the guide of; "": a sample
	Choice        // of a sheet like it
	// Further is the address of another sample; "" for a learner's own sheet.
	Further string
	base    string // address of the guide, with what chooses a sample
}

// GuideStep is one step as a panel of the strip.
type GuideStep struct {
	Text  string
	Panel string // SVG
}

// GuidePlace says where a guide is shown and how.
type GuidePlace struct {
	Path        string // address without its query
	Query       string // what chooses a sample, "view=two&level=3&n=1"; "" for a learner's own sheet
	Further     string // the same of another sample
	Step        int    // outside the steps it is moved to the nearer end
	Wall, Black bool
}

// NewGuide makes the page of x's construction. svg holds all steps, each a
// group of class "layer step", in order; panels are those of the strip.
func NewGuide(x *drill.Exercise, steps []guide.Step, svg string, panels []string, at GuidePlace) Guide {
	n := max(1, min(at.Step, len(steps)))
	m := Guide{
		Name: sheetName(x), Cells: cells(x, 0), SVG: showStep(svg, n), Step: n,
		Wall: at.Wall, Black: at.Wall && at.Black, Choice: NewChoice(x), Print: at.Path + ".pdf", base: at.Path + "?",
	}
	if at.Query == "" {
		m.Draw = "/sheets/" + x.ID
	} else {
		m.Print += "?" + at.Query
		m.base += at.Query + "&"
		m.Further = at.Path + "?" + at.Further
	}
	for i, s := range steps {
		m.Steps = append(m.Steps, GuideStep{s.Text, panels[i]})
	}
	return m
}

// showStep marks the layers of the steps: those before step n are old, n is
// new, those after it are still to come.
func showStep(svg string, n int) string {
	const layer = `class="layer step`
	var b strings.Builder
	b.Grow(len(svg) + 128)
	for i := 1; ; i++ {
		before, after, ok := strings.Cut(svg, layer)
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		b.WriteString(layer)
		switch {
		case i < n:
			b.WriteString(" old")
		case i == n:
			b.WriteString(" new")
		default:
			b.WriteString(" later")
		}
		svg = after
	}
}

// at is the address of step n, in the room or at the desk as the page is.
func (m Guide) at(n int) string {
	a := m.base + "step=" + strconv.Itoa(n)
	if m.Wall {
		a += "&wall=1"
	}
	return a
}

// walled is the address of the same step in wall mode, or out of it.
func (m Guide) walled(wall bool) string {
	m.Wall = wall
	return m.at(m.Step)
}

// said is the sentence of the step that is shown.
func (m Guide) said() string {
	if len(m.Steps) == 0 {
		return ""
	}
	return m.Steps[m.Step-1].Text
}

// name is the page's data-page: in a room the head of the page is left out.
func (m Guide) name() string {
	if m.Wall {
		return "wall"
	}
	return "guide"
}

// Withheld says of a guide that it is shown later.
type Withheld struct {
	Name  string
	Sheet string // address of the sheet
	Like  string // address of the guide of a sheet like it
}

// NewWithheld makes the page for a sheet that is not handed in yet.
func NewWithheld(x *drill.Exercise) Withheld {
	return Withheld{Name: sheetName(x), Sheet: "/sheets/" + x.ID,
		Like: "/guides/" + string(x.Kind) + "?view=" + string(x.View) + "&level=" + strconv.Itoa(x.Level) + "&n=1"}
}

// Guides is the page of all guides.
type Guides struct{ Cards []Card }

// NewGuides makes the page that lists a guide of each sample, in their order.
func NewGuides(samples []Sample) Guides {
	m := Guides{Cards: NewPractice(samples).Cards}
	for i := range m.Cards {
		m.Cards[i].Key = "guide-" + m.Cards[i].Key
	}
	return m
}

// GuideName is the heading of x's strip of panels.
func GuideName(x *drill.Exercise) string { return "Guide: " + sheetName(x) }
