package sheet

import (
	"bytes"
	"fmt"
	"strconv"

	"codeberg.org/go-pdf/fpdf"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/guide"
)

// panelBold is how much bolder lines are drawn on a panel, a picture about a
// third as large as the sheet.
const panelBold = 1.7

// Panel returns d as a picture for a strip of panels: the sheet with its
// narrow board, bolder lines, large letters. The frame around it is the
// page's matter.
func Panel(d Drawing) string {
	w := newWriter()
	w.open(d.Class+" panel", frame(d.Size, Narrow))
	w.title(d.Title, d.Desc)
	for _, l := range d.Layers {
		for _, g := range l.Groups {
			if g.Where&Narrow == 0 || g.Style == PaperEdge {
				continue
			}
			g.Where, g.Title, g.Edge = Anywhere, "", ""
			w.c.Group(groupAttrs(g, panelBold))
			for _, m := range g.Marks {
				w.mark(m)
			}
			w.c.Gend()
		}
	}
	return w.close()
}

// A panel's place on a page of A4: two columns of three.
const (
	panelColumns, panelRows = 2, 3
	panelMargin             = 12. // of the page
	panelGap                = 8.  // between columns
	panelPitch              = 89. // from row to row
	panelText               = 3.9 // body of the sentences
)

// GuidePDF returns all steps as numbered panels with their sentences, two
// columns of three on an A4 page, with title as its heading and name. The same
// steps and title give the same bytes.
func GuidePDF(x *drill.Exercise, steps []guide.Step, title string) ([]byte, error) {
	f := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: 210, Ht: 297}})
	f.SetCreationDate(printed)
	f.SetModificationDate(printed)
	f.SetCatalogSort(true)
	f.SetTitle(title, true)
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	p := pdf{f, f.UnicodeTranslatorFromDescriptor(""), panelBold}
	for i := range steps {
		if i%(panelColumns*panelRows) == 0 {
			f.AddPage()
			p.words(Text{At: geom.Vec{X: panelMargin, Y: 14}, Size: 5, Lines: []string{title}})
		}
		p.panel(Guide(x, steps, i+1), i, steps[i].Text)
	}
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		return nil, fmt.Errorf("sheet: guide pdf: %w", err)
	}
	return b.Bytes(), nil
}

// panel draws the i-th panel of a strip in its place, with its sentence.
func (p pdf) panel(d Drawing, i int, sentence string) {
	board := frame(d.Size, Narrow)
	width := (210 - 2*panelMargin - (panelColumns-1)*panelGap) / panelColumns
	k := width / board.width()
	at := geom.Vec{
		X: panelMargin + float64(i%panelColumns)*(width+panelGap),
		Y: 20 + float64(i/panelColumns%panelRows)*panelPitch,
	}
	height := k * board.height()
	p.f.ClipRect(at.X, at.Y, width, height, false)
	p.f.TransformBegin()
	p.f.TransformTranslate(at.X-board.Min.X*k, at.Y-board.Min.Y*k)
	p.f.TransformScaleXY(100*k, 0, 0)
	for _, l := range d.Layers {
		for _, g := range l.Groups {
			if g.Where&Narrow != 0 && g.Style != PaperEdge {
				p.group(g)
			}
		}
	}
	p.f.TransformEnd()
	p.f.ClipEnd()
	p.f.SetDrawColor(0x85, 0x8B, 0x99)
	p.f.SetLineWidth(.2)
	p.f.Rect(at.X, at.Y, width, height, "D")
	p.words(Text{At: geom.Vec{X: at.X, Y: at.Y + height + 1.3*panelText}, Size: panelText,
		Lines: p.wrap(strconv.Itoa(i+1)+". "+sentence, width)})
}

// words writes a text in ink.
func (p pdf) words(t Text) {
	p.f.SetTextColor(rgb(colourInk, 1))
	p.text(t)
}

// wrap breaks a sentence into lines of at most width mm.
func (p pdf) wrap(text string, width float64) []string {
	p.f.SetFont(coreFont, "", 0)
	p.f.SetFontUnitSize(panelText)
	return p.f.SplitText(text, width)
}
