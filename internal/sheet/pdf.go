package sheet

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"boxwright/internal/geom"
)

// printed is the date that every document carries, so that the same drawing
// gives the same bytes.
var printed = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// coreFont is a face that every reader of PDF has; it covers Windows-1252.
const coreFont = "Helvetica"

// PDF returns d as a one-page document of the sheet's own size, in true
// millimetres, with title in its small print and as the document's name. The
// same drawing and title give the same bytes.
func PDF(d Drawing, title string) ([]byte, error) {
	f := fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P", // the page's two sides are given in order
		UnitStr:        "mm",
		Size:           fpdf.SizeType{Wd: d.Size.Width, Ht: d.Size.Height},
	})
	f.SetCreationDate(printed)
	f.SetModificationDate(printed)
	f.SetCatalogSort(true)
	f.SetTitle(title, true)
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.AddPage()
	p := pdf{f, f.UnicodeTranslatorFromDescriptor(""), 1}
	if title != "" {
		p.group(Group{Style: SheetNote, Marks: []Mark{
			Text{At: geom.Vec{X: 8, Y: d.Size.Height - 5.8}, Size: 3.4, Lines: []string{title}}}})
	}
	for _, l := range d.Layers {
		for _, g := range l.Groups {
			if g.Where&Print != 0 {
				p.group(g)
			}
		}
	}
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		return nil, fmt.Errorf("sheet: pdf: %w", err)
	}
	return b.Bytes(), nil
}

// pdf renders marks on one page.
type pdf struct {
	f    *fpdf.Fpdf
	tr   func(string) string
	bold float64 // factor of line widths
}

func (p pdf) group(g Group) {
	h := looks[g.Style]
	r, gr, b := rgb(colourOf(g.Style, g.Set), h.opacity)
	p.f.SetDrawColor(r, gr, b)
	p.f.SetTextColor(r, gr, b)
	p.f.SetFillColor(r, gr, b)
	draw := ""
	switch h.fill {
	case "none":
	case "colour":
		draw = "F"
	default:
		p.f.SetFillColor(255, 255, 255) // the paper in the printer is white
		draw = "F"
	}
	if h.width > 0 {
		draw += "D"
		p.f.SetLineWidth(h.width * p.bold)
	}
	dash := dashOf(g.Style, g.Set)
	if dash != nil {
		p.f.SetDashPattern(dash, 0)
	}
	cap := "round"
	if dash != nil && dash[0] > 0 {
		cap = "butt"
	}
	p.f.SetLineCapStyle(cap)
	p.f.SetLineJoinStyle("round")
	for _, m := range g.Marks {
		p.mark(m, draw)
	}
	if dash != nil {
		p.f.SetDashPattern(nil, 0)
	}
}

func (p pdf) mark(m Mark, draw string) {
	switch m := m.(type) {
	case Segments:
		for _, s := range m {
			p.f.Line(s.A.X, s.A.Y, s.B.X, s.B.Y)
		}
	case Area:
		p.f.Polygon(corners(m), draw)
	case Dot:
		p.f.Circle(m.At.X, m.At.Y, m.R, draw)
	case Arrow:
		a, b := m.barbs()
		p.way([]geom.Vec{a, m.Tip, b})
		p.f.DrawPath("D")
	case Text:
		p.text(m)
	case Pill:
		p.f.RoundedRect(m.At.X-m.Width/2, m.At.Y-m.Height/2, m.Width, m.Height, m.Height/2, "1234", "F")
		p.f.SetTextColor(255, 255, 255)
		p.text(Text{At: geom.Vec{X: m.At.X, Y: m.At.Y + .36*m.Size}, Size: m.Size, Align: Middle, Lines: []string{m.Text}})
	case Trace:
		p.trace(m)
	}
}

func (p pdf) text(t Text) {
	p.f.SetFont(coreFont, "", 0)
	p.f.SetFontUnitSize(t.Size)
	for i, l := range t.Lines {
		// Windows-1252 has no minus sign; its dash of a digit's width stands in.
		l = p.tr(strings.ReplaceAll(l, "−", "–"))
		x := t.At.X
		switch t.Align {
		case Middle:
			x -= p.f.GetStringWidth(l) / 2
		case End:
			x -= p.f.GetStringWidth(l)
		}
		p.f.Text(x, t.At.Y+leading*t.Size*float64(i), l)
	}
}

func (p pdf) trace(t Trace) {
	switch {
	case len(t.Points) == 0:
	case len(t.Points) == 1:
		p.f.Circle(t.Points[0].X, t.Points[0].Y, t.Widths[0]/2, "F")
	case len(t.Widths) == 1:
		p.f.SetLineWidth(t.Widths[0])
		p.way(t.Points)
		p.f.DrawPath("D")
	default:
		left, right := outline(t)
		for i := len(right) - 1; i >= 0; i-- {
			left = append(left, right[i])
		}
		p.f.Polygon(corners(left), "F")
		last := len(t.Points) - 1
		p.f.Circle(t.Points[0].X, t.Points[0].Y, t.Widths[0]/2, "F")
		p.f.Circle(t.Points[last].X, t.Points[last].Y, t.Widths[last]/2, "F")
	}
}

func (p pdf) way(v []geom.Vec) {
	for i, q := range v {
		if i == 0 {
			p.f.MoveTo(q.X, q.Y)
		} else {
			p.f.LineTo(q.X, q.Y)
		}
	}
}

func corners(v []geom.Vec) []fpdf.PointType {
	out := make([]fpdf.PointType, len(v))
	for i, q := range v {
		out[i] = fpdf.PointType{X: q.X, Y: q.Y}
	}
	return out
}

// rgb returns a colour as it looks on white paper at the given opacity, 0
// meaning opaque.
func rgb(hex string, opacity float64) (r, g, b int) {
	v, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil {
		return 0, 0, 0
	}
	if opacity == 0 {
		opacity = 1
	}
	part := func(shift uint) int {
		return int(255 - opacity*(255-float64(v>>shift&255)) + .5)
	}
	return part(16), part(8), part(0)
}
