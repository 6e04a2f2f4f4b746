// Package sheet lays an exercise or a redline out as marks in millimetres, a
// display list, and renders that list as SVG, as a small picture and as PDF.
// It also draws the charts of the progress page.
//
// Coordinates are those of the sheet: millimetres from its top left corner, x
// to the right, y down. The board around the sheet continues them beyond the
// sheet's edges. Every drawing is bounded: what runs off the board is clipped
// or becomes an arrow, whatever the exercise holds.
package sheet

import (
	"math"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// Drawing is a display list: layers of groups of marks, back to front.
type Drawing struct {
	Size   drill.Size // of the sheet
	Class  string     // of the picture's root, such as "sheet redline"
	Title  string     // names the picture
	Desc   string     // says in words what is drawn
	Layers []Layer
}

// Layer is one named level of a drawing: paper, board, given, true, rays, ink
// or notes, in this order.
type Layer struct {
	Name   string
	Groups []Group
}

// Group is marks of one style that belong together, such as one drawn line.
type Group struct {
	Style Style
	Set   Hue
	Board bool   // lies on the board, beside the sheet
	Where Where  // the media that show it
	Edge  string // id of the edge or target it shows; may be empty
	Title string // said of the group; may be empty
	Marks []Mark
}

// Hue tells the sets apart by colour and dash. The zero Hue is no set.
type Hue uint8

// NoSet is the Hue of what belongs to no set.
const NoSet Hue = 0

// HueOf returns the Hue of set k.
func HueOf(k perspective.Set) Hue { return Hue(k) + 1 }

// Where says in which media a group is shown, as a sum of Wide, Narrow and
// Print.
type Where uint8

// The media. Wide has the whole board around the sheet, Narrow a small rim
// and larger letters, Print the sheet alone.
const (
	Wide Where = 1 << iota
	Narrow
	Print

	Screen   = Wide | Narrow
	Anywhere = Screen | Print
)

// Mark is one shape: Segments, Area, Dot, Arrow, Text, Pill or Trace.
type Mark interface {
	// points returns the coordinates that must be finite and near the sheet.
	points() []geom.Vec
}

// Segments are straight lines drawn alike.
type Segments []geom.Segment

// Area is a closed polygon.
type Area []geom.Vec

// Dot is a disc or, where the style has no fill, a ring.
type Dot struct {
	At geom.Vec
	R  float64 // mm
}

// Arrow is an open arrow head at Tip that points along the unit vector Dir.
type Arrow struct {
	Tip, Dir geom.Vec
	Size     float64 // length of the head, mm
}

// Text is one or more lines of text. At is on the first line's baseline, at
// its start, middle or end as Align says.
type Text struct {
	At    geom.Vec
	Size  float64 // of the letters' body, mm
	Align Align
	Lines []string
}

// Align is where a text's anchor lies in its line.
type Align uint8

// The alignments.
const (
	Start Align = iota
	Middle
	End
)

// Pill is a text on a rounded plate, both centred at At.
type Pill struct {
	At            geom.Vec
	Width, Height float64 // of the plate, mm
	Size          float64 // of the letters' body, mm
	Text          string
}

// Trace is the way of a pen. Widths has the pen's width at every point, mm;
// with a single entry the width is the same everywhere.
type Trace struct {
	Points []geom.Vec
	Widths []float64
	Stroke int // index of the attempt's stroke
}

func (m Segments) points() []geom.Vec {
	v := make([]geom.Vec, 0, 2*len(m))
	for _, s := range m {
		v = append(v, s.A, s.B)
	}
	return v
}
func (m Area) points() []geom.Vec  { return m }
func (m Dot) points() []geom.Vec   { return []geom.Vec{m.At} }
func (m Arrow) points() []geom.Vec { return []geom.Vec{m.Tip, m.Dir} }
func (m Text) points() []geom.Vec  { return []geom.Vec{m.At} }
func (m Pill) points() []geom.Vec  { return []geom.Vec{m.At} }
func (m Trace) points() []geom.Vec { return m.Points }

// farOff is how far from the origin, in mm, a mark may reach and still be
// drawn. Nothing of use lies out there, and number formats stay short.
const farOff = 1e5

// sound reports whether m can be drawn: finite, and not absurdly far off.
func sound(m Mark) bool {
	for _, p := range m.points() {
		if !p.Finite() || math.Abs(p.X) > farOff || math.Abs(p.Y) > farOff {
			return false
		}
	}
	return true
}

// The layers' names, back to front.
const (
	layerPaper = "paper"
	layerBoard = "board"
	layerGiven = "given"
	layerTrue  = "true"
	layerRays  = "rays"
	layerInk   = "ink"
	layerNotes = "notes"
)

func newDrawing(size drill.Size, class string) Drawing {
	d := Drawing{Size: size, Class: class}
	for _, n := range []string{layerPaper, layerBoard, layerGiven, layerTrue, layerRays, layerInk, layerNotes} {
		d.Layers = append(d.Layers, Layer{Name: n})
	}
	return d
}

// add puts g on the named layer, less any mark that cannot be drawn.
func (d *Drawing) add(layer string, g Group) {
	kept := make([]Mark, 0, len(g.Marks))
	for _, m := range g.Marks {
		if sound(m) {
			kept = append(kept, m)
		}
	}
	if len(kept) == 0 {
		return
	}
	g.Marks = kept
	for i := range d.Layers {
		if d.Layers[i].Name == layer {
			d.Layers[i].Groups = append(d.Layers[i].Groups, g)
		}
	}
}
