package sheet

import (
	"strings"

	"boxwright/internal/drill"
)

// medium is one way a drawing is shown, with its own letters and room.
type medium struct {
	where  Where
	letter float64 // body of the letters, mm
	arrow  float64 // length of an arrow head, mm
	inset  float64 // of a ringed point from the frame, mm
	margin float64 // of an arrow's tip from the rim of the room, mm
	dotGap float64 // of a number from the middle of its dot, mm
}

// The media. Letters grow as the sheet shrinks: a phone shows a sheet about
// 370 px wide, a laptop 650 px or more, paper 297 mm.
var media = [3]medium{
	{Wide, 4.9, 4.6, 3.5, 3.5, 2},
	{Narrow, 8.8, 6.5, 2.5, 1.2, 3},
	{Print, 3.6, 4.2, 6, 1, 2},
}

// room returns where labels and arrows may be: on a narrow board the sheet
// alone, for the rim has no room for letters; on paper what printers reach.
func (m medium) room(size drill.Size) rect {
	switch m.where {
	case Narrow:
		return frame(size, Print)
	case Print:
		return frame(size, Print).grow(-printFrom, -printFrom)
	}
	return frame(size, m.where)
}

// leading is the distance of baselines, in bodies.
const leading = 1.22

// advance returns the approximate width of text set at the given body, in
// mm. It errs to the wide side for the usual sans faces, so that what is
// placed by it does not touch.
func advance(text string, body float64) float64 {
	var em float64
	for _, r := range text {
		switch {
		case strings.ContainsRune("iljtf.,:;'|! ()", r):
			em += .32
		case strings.ContainsRune("mwMW", r):
			em += .86
		case r >= 'A' && r <= 'Z':
			em += .68
		case r == '°':
			em += .4
		default:
			em += .6
		}
	}
	return em * body
}

// measure returns the size of the box that holds the lines.
func measure(lines []string, body float64) (w, h float64) {
	for _, l := range lines {
		w = max(w, advance(l, body))
	}
	return w, body * (1 + leading*float64(len(lines)-1))
}

// setIn makes a Text of lines that fills the box r, aligned to the side of r
// that Align names.
func setIn(r rect, lines []string, body float64, a Align) Text {
	const rise = .78 // of the first baseline below the box's top, in bodies
	t := Text{Size: body, Align: a, Lines: lines}
	t.At.Y = r.Min.Y + rise*body
	switch a {
	case Start:
		t.At.X = r.Min.X
	case Middle:
		t.At.X = r.centre().X
	case End:
		t.At.X = r.Max.X
	}
	return t
}
