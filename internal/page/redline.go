package page

import (
	"strconv"
	"strings"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
	"boxwright/internal/sheet"
)

// Redline is the correction of one attempt: the picture, the panel beside it
// and the title block.
type Redline struct {
	Attempt, Exercise string
	Name              string
	Handed            string // date, "": not told
	Cells             []Cell
	SVG               string
	Score             string // "78"
	Off               string // "1.6° off on average"; "" when no line was graded
	Findings          []Finding
	Sets              []SetRow
	BandNote          string // what the shaded band in the strips is
	Figures           []Figure
	Lines             []LineRow
	Rays              bool // there are rays to show and hide
	Next              Choice
	Again             string // address of the same sheet
}

// Finding is one sentence with the words that carry it set strong. Plain is a
// sentence that names no fault.
type Finding struct {
	Parts []Part
	Plain bool
}

// Part is a piece of a sentence.
type Part struct {
	Text   string
	Strong bool
}

// SetRow is one set of edges in the panel.
type SetRow struct {
	Class  string // "set-width", "set-depth", "set-height"; "" for a join
	Name   string // "Width"
	Toward string // "right point"; "" when the set runs to no point
	Lie    string // "upright", "level"; "" when it runs to a point
	Facts  string // "3 lines, 2.2° off, all to one side"
	Strip  string // SVG: each line's error as a dot
}

// Figure is one measured figure beside the score.
type Figure struct{ Name, Value string }

// LineRow is one drawn line in the table behind the picture.
type LineRow struct {
	Name, Length, Error, Uncertainty, Miss string
	Outside                                bool
}

// NewRedline makes the redline of attempt a, graded as g against x.
func NewRedline(x *drill.Exercise, a *grade.Attempt, g *grade.Grade, p Paper) Redline {
	m := Redline{
		Attempt: a.ID, Exercise: x.ID,
		Name:     sheetName(x),
		Handed:   day(p.Handed),
		Cells:    cells(x, p.Number),
		SVG:      p.SVG,
		Score:    strconv.Itoa(g.Score),
		Findings: findings(x, g),
		Sets:     setRows(x, g),
		BandNote: bandNote(g.Hand),
		Lines:    lineRows(x, g),
		Rays:     len(x.Points) > 0,
		Next:     NewChoice(x),
		Again:    "/sheets/" + x.ID,
	}
	for _, s := range p.Pooled {
		m.Findings = append(m.Findings, Finding{Parts: emphasise(s)})
	}
	if g.RMS != nil {
		m.Off = degrees(*g.RMS) + " off on average"
	}
	if x.Kind == drill.Join {
		m.Figures = handFigures(matched(g), g)
	} else {
		m.Figures = boxFigures(x, g)
	}
	m.Figures = append(m.Figures, handFigure(a, g))
	return m
}

// findings turns the grade's findings into sentences. Without any it says
// only what follows from that, and no more.
func findings(x *drill.Exercise, g *grade.Grade) []Finding {
	var f []Finding
	for _, s := range g.Findings {
		f = append(f, Finding{Parts: emphasise(s)})
	}
	if len(f) > 0 {
		return f
	}
	plain := "Nothing stands out from the scatter of the lines."
	outside := 0
	for _, l := range g.Lines {
		if l.Outside {
			outside++
		}
	}
	switch {
	case len(matched(g)) == 0 && x.Kind == drill.Join:
		plain = "No line could be matched to a pair of dots."
	case len(matched(g)) == 0:
		plain = "No line could be matched to an edge of the box."
	case len(g.Missing) > 0:
		plain = "Not drawn: " + strconv.Itoa(len(g.Missing)) + " of " +
			strconv.Itoa(len(x.Asked.Edges)+len(x.Asked.Targets)) + "."
	case outside == 1 && x.Kind == drill.Join:
		plain = "One line lies outside the band."
	case outside > 1 && x.Kind == drill.Join:
		plain = strconv.Itoa(outside) + " lines lie outside the band."
	case outside == 1:
		plain = "One line lies outside the band; no fault of a whole set is proven."
	case outside > 1:
		plain = strconv.Itoa(outside) + " lines lie outside the band; no fault of a whole set is proven."
	}
	return []Finding{{Parts: []Part{{Text: plain}}, Plain: true}}
}

// emphasise sets the name of the finding's set strong where the sentence
// first speaks of it.
func emphasise(s grade.Finding) []Part {
	if s.HasSet {
		w := s.Set.String()
		if i := strings.Index(s.Text, w); i >= 0 {
			return []Part{{Text: s.Text[:i]}, {w, true}, {Text: s.Text[i+len(w):]}}
		}
	}
	return []Part{{Text: s.Text}}
}

// setRows makes the panel's rows: the grade's sets, or for a join the one row
// of all lines.
func setRows(x *drill.Exercise, g *grade.Grade) []SetRow {
	if x.Kind == drill.Join {
		lines := matched(g)
		if len(lines) == 0 {
			return nil
		}
		return []SetRow{{
			Name:  "Lines from dot to dot",
			Facts: facts(lines, g.RMS, g.Hand != nil, false),
			Strip: strip("from dot to dot", sheet.NoSet, lines, g.Hand),
		}}
	}
	rows := make([]SetRow, 0, len(g.Sets))
	for _, s := range g.Sets {
		row := SetRow{Class: setClass(s.Set), Name: capital(s.Set.String())}
		if len(x.Boxes) > 1 {
			row.Name += ", box " + strconv.Itoa(s.Box+1)
		}
		if words, toward := destination(x, s.Box, s.Set); toward {
			row.Toward = words
		} else {
			row.Lie = words
		}
		lines := linesOf(g, s.Box, s.Set)
		row.Facts = facts(lines, &s.RMS, g.Hand != nil, named(g, s.Box, s.Set))
		row.Strip = strip(row.Name, sheet.HueOf(s.Set), lines, g.Hand)
		rows = append(rows, row)
	}
	return rows
}

// setClass is the class that carries a set's colour and dash.
func setClass(k perspective.Set) string { return "set-" + k.String() }

// matched returns the lines that are an edge or a target.
func matched(g *grade.Grade) []grade.Line {
	l := make([]grade.Line, 0, len(g.Lines))
	for _, e := range g.Lines {
		if e.Edge != "" && e.Role != ink.RoleConstruction {
			l = append(l, e)
		}
	}
	return l
}

// linesOf returns the matched lines of one set.
func linesOf(g *grade.Grade, box int, k perspective.Set) []grade.Line {
	var l []grade.Line
	for _, e := range matched(g) {
		if e.HasSet && e.Box == box && e.Set == k {
			l = append(l, e)
		}
	}
	return l
}

// unknownHand is the scatter that stands in for a hand without history, at a
// line of 80 mm; package grade judges by the same.
var unknownHand = geom.Degrees(1.5)

// strip draws the errors of some lines beside the band of the hand.
func strip(name string, h sheet.Hue, l []grade.Line, hand *geom.Angle) string {
	s := sheet.Strip{Name: name, Set: h, Band: 2 * unknownHand}
	if hand != nil {
		s.Band = 2 * *hand
	}
	for _, e := range l {
		s.Dots = append(s.Dots, sheet.StripDot{Error: e.Error, Outside: e.Outside})
	}
	return sheet.DotStrip(s)
}

// named reports whether a finding names the set.
func named(g *grade.Grade, box int, k perspective.Set) bool {
	for _, f := range g.Findings {
		if f.HasSet && f.Box == box && f.Set == k && f.P > 0 {
			return true
		}
	}
	return false
}

// facts says what the numbers of some lines say. "All to one side" is said
// only where a finding has proved the set's fault, "within your hand" only
// where the hand is known, no line leaves its band and no finding names the
// set.
func facts(l []grade.Line, rms *geom.Angle, handKnown, named bool) string {
	if len(l) == 0 {
		return "no line drawn"
	}
	s := count(len(l), "line", "lines")
	if rms != nil {
		s += ", " + degrees(*rms) + " off"
	}
	outside := 0
	for _, e := range l {
		if e.Outside {
			outside++
		}
	}
	switch {
	case named && oneSided(l):
		return s + ", all to one side"
	case outside > 0:
		return s + ", " + strconv.Itoa(outside) + " outside the band"
	case named:
		return s
	case handKnown:
		return s + ", within your hand"
	}
	return s + ", within the band"
}

// oneSided reports whether at least two lines err, all in the same sense.
func oneSided(l []grade.Line) bool {
	plus := 0
	for _, e := range l {
		if e.Error > 0 {
			plus++
		}
	}
	return len(l) >= 2 && (plus == 0 || plus == len(l))
}
