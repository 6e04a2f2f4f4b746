// Package page holds Boxwright's pages: templ components and the view models
// they show. A view model carries strings that are already formatted; the
// functions New… build it from an exercise, an attempt and its grade. The
// package reads no store, no request and no clock.
//
// SVG strings in the models are markup made by package sheet and are written
// as they are; every other string is text and is escaped.
package page

import (
	"strconv"
	"time"

	"boxwright/internal/drill"
	"boxwright/internal/grade"
)

// Frame is what every page shows around its own content.
type Frame struct {
	Assets string // base of the assets, with its closing slash
	Who    string // as whom one practises; "": guest
}

// who says as whom one practises.
func (f Frame) who() string {
	if f.Who == "" {
		return "Practising as guest"
	}
	return f.Who
}

// asset returns the address of an asset.
func (f Frame) asset(name string) string { return f.Assets + name }

// Choice is what a new sheet is asked for with.
type Choice struct {
	Drill, View, Level string
}

// NewChoice returns the choice that makes another sheet like x.
func NewChoice(x *drill.Exercise) Choice {
	return Choice{Drill: string(x.Kind), View: string(x.View), Level: strconv.Itoa(x.Level)}
}

// Cell is one ruled cell of the title block: a caption over a value.
type Cell struct{ Caption, Value string }

// Paper is what surrounds a drawing of the sheet when it becomes a page.
type Paper struct {
	SVG    string          // the sheet's or the redline's picture
	Number int             // how manieth sheet of this learner; 0: not shown
	Handed time.Time       // when it was handed in, in the learner's time zone; zero: not shown
	First  bool            // the learner's first sheet: one line of help
	Pooled []grade.Finding // what the last drawings prove together, said after the drawing's own
}

// cells lists the title block's cells for x.
func cells(x *drill.Exercise, number int) []Cell {
	c := []Cell{{"Drill", drillName(x.Kind)}}
	if x.View != drill.None {
		c = append(c, Cell{"View", viewName(x.View)})
	}
	c = append(c, Cell{"Level", strconv.Itoa(x.Level)})
	if number > 0 {
		c = append(c, Cell{"Sheet", strconv.Itoa(number)})
	}
	return c
}
