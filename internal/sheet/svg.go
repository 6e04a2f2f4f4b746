package sheet

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"

	svg "github.com/ajstarks/svgo/float"

	"boxwright/internal/geom"
)

// face is the letters' family; a page that has it loaded shows it.
const face = "Atkinson Hyperlegible Next, Atkinson Hyperlegible, system-ui, sans-serif"

// SVG returns the drawing as one svg element, good inside a page and on its
// own. Its user unit is the sheet's millimetre and its view box the sheet;
// what lies on the board overflows it. Colours are presentation attributes,
// so that style sheets win over them by class.
func (d Drawing) SVG() string {
	w := newWriter()
	w.open(d.Class, rect{Max: geom.Vec{X: d.Size.Width, Y: d.Size.Height}}, `overflow="visible"`)
	w.body(d)
	return w.close()
}

// Picture returns the drawing with its board as one svg element that stands
// alone, as a file: the view box holds the whole wide board.
func (d Drawing) Picture() string {
	w := newWriter()
	all := frame(d.Size, Wide)
	w.open(d.Class, all)
	w.title(d.Title, d.Desc)
	w.c.Rect(all.Min.X, all.Min.Y, all.width(), all.height(), `fill="`+colourBoard+`"`)
	w.layers(d)
	return w.close()
}

// writer renders marks through svgo. It writes the svg element itself and
// escapes every attribute.
type writer struct {
	buf bytes.Buffer
	c   *svg.SVG
}

func newWriter() *writer {
	w := &writer{}
	w.buf.Grow(16 << 10)
	w.c = svg.New(&w.buf)
	return w
}

func (w *writer) open(class string, view rect, more ...string) {
	w.buf.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" role="img"` + attr("class", class) +
		attr("viewBox", num(view.Min.X)+" "+num(view.Min.Y)+" "+num(view.width())+" "+num(view.height())) +
		attr("font-family", face))
	for _, m := range more {
		w.buf.WriteString(" " + m)
	}
	w.buf.WriteString(">\n")
}

func (w *writer) close() string {
	w.c.End()
	return w.buf.String()
}

func (w *writer) title(title, desc string) {
	if title != "" {
		w.c.Title(title)
	}
	if desc != "" {
		w.c.Desc(desc)
	}
}

func (w *writer) body(d Drawing) {
	w.title(d.Title, d.Desc)
	w.layers(d)
}

func (w *writer) layers(d Drawing) {
	for _, l := range d.Layers {
		w.c.Group(attr("class", "layer "+l.Name))
		for _, g := range l.Groups {
			if g.Where&Screen != 0 {
				w.group(g)
			}
		}
		w.c.Gend()
	}
}

// group writes one group with its class, colours and dash.
func (w *writer) group(g Group) {
	w.c.Group(groupAttrs(g, 1))
	if g.Title != "" {
		w.c.Title(g.Title)
	}
	for _, m := range g.Marks {
		w.mark(m)
	}
	w.c.Gend()
}

// groupAttrs writes a group's class, colours and dash, its lines made bolder
// by the given factor.
func groupAttrs(g Group, bold float64) string {
	h := looks[g.Style]
	class := h.class
	if g.Set != NoSet || h.colour == "" {
		class += " " + hues[g.Set].class
	}
	if g.Board {
		class += " on-board"
	}
	var a strings.Builder
	switch g.Where & Screen {
	case Wide:
		class += " wide"
	case Narrow:
		class += " narrow"
		a.WriteString(` display="none"`)
	}
	a.WriteString(attr("color", colourOf(g.Style, g.Set)))
	switch h.fill {
	case "colour":
		a.WriteString(` fill="currentColor"`)
	default:
		a.WriteString(attr("fill", h.fill))
	}
	if h.width > 0 {
		a.WriteString(` stroke="currentColor"` + attr("stroke-width", num(h.width*bold)))
	}
	if h.halo {
		ground := colourPaper
		if g.Board {
			ground = colourBoard
		}
		a.WriteString(attr("stroke", ground) + ` stroke-width="1.2" stroke-linejoin="round" paint-order="stroke"`)
	}
	if dash := dashOf(g.Style, g.Set); dash != nil {
		a.WriteString(dashAttr(dash, bold))
	} else if h.width > 0 {
		a.WriteString(` stroke-linecap="round"`)
	}
	if h.opacity > 0 {
		a.WriteString(attr("opacity", num(h.opacity)))
	}
	if g.Edge != "" {
		a.WriteString(attr("data-edge", g.Edge))
	}
	return attr("class", class) + a.String()
}

// dashAttr writes a dash; one of zero length becomes a round dot.
func dashAttr(dash []float64, bold float64) string {
	parts := make([]string, len(dash))
	for i, v := range dash {
		parts[i] = num(v * bold)
	}
	a := attr("stroke-dasharray", strings.Join(parts, " "))
	if dash[0] == 0 {
		a += ` stroke-linecap="round"`
	}
	return a
}

func (w *writer) mark(m Mark) {
	switch m := m.(type) {
	case Segments:
		var p path
		for _, s := range m {
			p.move(s.A)
			p.line(s.B)
		}
		w.c.Path(p.String())
	case Area:
		w.c.Path(polygon(m))
	case Dot:
		w.c.Circle(m.At.X, m.At.Y, m.R)
	case Arrow:
		a, b := m.barbs()
		var p path
		p.move(a)
		p.line(m.Tip)
		p.line(b)
		w.c.Path(p.String(), `stroke-linejoin="round"`)
	case Text:
		for i, t := range m.Lines {
			w.c.Text(m.At.X, m.At.Y+leading*m.Size*float64(i), t, attr("font-size", num(m.Size))+anchor(m.Align))
		}
	case Pill:
		w.c.Roundrect(m.At.X-m.Width/2, m.At.Y-m.Height/2, m.Width, m.Height, m.Height/2, m.Height/2)
		w.c.Text(m.At.X, m.At.Y+.36*m.Size, m.Text, ` class="pill-text" fill="#FFFFFF" font-weight="700"`+
			attr("font-size", num(m.Size))+anchor(Middle))
	case Trace:
		w.trace(m)
	}
}

// barbs returns the ends of the arrow head's two strokes.
func (m Arrow) barbs() (a, b geom.Vec) {
	back := m.Tip.Sub(m.Dir.Scale(m.Size))
	side := m.Dir.Perp().Scale(.42 * m.Size)
	return back.Add(side), back.Sub(side)
}

func (w *writer) trace(t Trace) {
	stroke := attr("data-stroke", strconv.Itoa(t.Stroke))
	if len(t.Points) == 0 {
		return
	}
	if len(t.Points) == 1 {
		w.c.Circle(t.Points[0].X, t.Points[0].Y, t.Widths[0]/2, `fill="currentColor"`+stroke)
		return
	}
	var p path
	if len(t.Widths) == 1 {
		p.move(t.Points[0])
		for _, q := range t.Points[1:] {
			p.line(q)
		}
		w.c.Path(p.String(), `stroke="currentColor" stroke-linecap="round" stroke-linejoin="round"`+
			attr("stroke-width", num(t.Widths[0]))+stroke)
		return
	}
	left, right := outline(t)
	p.move(left[0])
	for _, q := range left[1:] {
		p.line(q)
	}
	p.arc(t.Widths[len(t.Widths)-1]/2, right[len(right)-1])
	for i := len(right) - 2; i >= 0; i-- {
		p.line(right[i])
	}
	p.arc(t.Widths[0]/2, left[0])
	p.shut()
	w.c.Path(p.String(), `fill="currentColor"`+stroke)
}

func anchor(a Align) string {
	switch a {
	case Middle:
		return ` text-anchor="middle"`
	case End:
		return ` text-anchor="end"`
	}
	return ""
}

// attr writes one attribute with a leading space, its value escaped.
func attr(name, value string) string {
	if strings.ContainsAny(value, "<>&\"'\t\n\r") {
		var b strings.Builder
		xml.Escape(&b, []byte(value))
		value = b.String()
	}
	return " " + name + `="` + value + `"`
}
