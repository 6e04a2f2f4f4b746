package page

import (
	"bytes"
	"strconv"

	"boxwright/internal/drill"
)

// Sheet is the drawing page.
type Sheet struct {
	ID     string
	Name   string // "Finish the box, two-point, level 4"
	Cells  []Cell
	Help   string // one line on the sheet, gone after the first stroke; "": none
	SVG    string
	Submit string // where the attempt is posted
	Print  string // the sheet as a document to print
	// Exercise is the withheld exercise document as JSON, safe to stand
	// inside a script element.
	Exercise string
}

// NewSheet makes the drawing page of x. doc is the JSON document of x with
// its answers withheld; it is written into the page as data, so nothing that
// is to stay unknown may be in it.
func NewSheet(x *drill.Exercise, doc []byte, p Paper) Sheet {
	m := Sheet{
		ID:       x.ID,
		Name:     sheetName(x),
		Cells:    cells(x, p.Number),
		SVG:      p.SVG,
		Submit:   "/api/v1/exercises/" + x.ID + "/attempts",
		Print:    "/sheets/" + x.ID + ".pdf",
		Exercise: inScript(doc),
	}
	if p.First {
		m.Help = help(x.Kind)
	}
	return m
}

// sheetName names a sheet in one phrase, as its page's title does.
func sheetName(x *drill.Exercise) string {
	return skillName(x.Kind, x.View) + ", level " + strconv.Itoa(x.Level)
}

// help is the line that a first visit finds on the sheet.
func help(k drill.Kind) string {
	if k == drill.Join {
		return "Join each pair of dots with one straight line, then hand in."
	}
	return "Draw the rest of the box, hidden edges too, then hand in."
}

// inScript makes a JSON text safe inside a script element: "<" can stand only
// within JSON strings, where its escape means the same, and without it no tag
// or comment can begin.
func inScript(doc []byte) string {
	return string(bytes.ReplaceAll(doc, []byte("<"), []byte(`\u003c`)))
}
