package browser_test

import (
	"encoding/json"
	"fmt"
	"strings"

	"github.com/chromedp/cdproto/page"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// asked is what a posed sheet asks to be marked.
type asked struct {
	Edges   []string `json:"edges"`
	Points  []string `json:"points,omitempty"`
	Horizon bool     `json:"horizon,omitempty"`
	Stray   bool     `json:"stray,omitempty"`
}

// pose opens a sheet of a finished box whose document asks for marks: a sheet
// to finish, changed on its way into the page. So the page's part of marking
// is tested with any document; the server takes marks on every sheet. With
// short, edges are printed without their ends and the corners are withheld.
func (b *tab) pose(v drill.View, level int, short bool, a asked) *drill.Exercise {
	b.Helper()
	x := b.issue(drill.Finish, v, level)
	type edge struct {
		ID, Set string
		Corners [2]int
		Given   bool
		Drawn   [][2]float64
	}
	type doc struct {
		Asked   asked
		Corners []*[2]float64
		Edges   []edge
	}
	a.Edges = []string{}
	d := doc{Asked: a, Corners: make([]*[2]float64, len(x.Corners))}
	var lines strings.Builder
	for i, c := range x.Corners {
		if !short {
			d.Corners[i] = &[2]float64{c.X, c.Y}
		}
	}
	for _, e := range x.Edges {
		s := x.Segment(e)
		out := edge{ID: e.ID, Set: e.Set.String(), Corners: e.Corners, Given: true}
		if short {
			s = shortened(s)
			out.Drawn = [][2]float64{{s.A.X, s.A.Y}, {s.B.X, s.B.Y}}
		}
		d.Edges = append(d.Edges, out)
		fmt.Fprintf(&lines, `<line x1="%f" y1="%f" x2="%f" y2="%f"/>`, s.A.X, s.A.Y, s.B.X, s.B.Y)
	}
	text, err := json.Marshal(d)
	b.must(err)
	call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
document.addEventListener('readystatechange', () => {
	const e = document.getElementById('exercise');
	if (document.readyState !== 'interactive' || !e) return;
	const lower = (v) => Array.isArray(v) ? v.map(lower) : v && typeof v === 'object'
		? Object.fromEntries(Object.entries(v).map(([k, w]) => [k.toLowerCase(), lower(w)])) : v;
	e.textContent = JSON.stringify({...JSON.parse(e.textContent), ...lower(` + string(text) + `)});
	const svg = document.querySelector('#paper > svg');
	for (const g of svg.querySelectorAll('.layer:not(.paper)')) g.replaceChildren();
	svg.insertAdjacentHTML('beforeend', '<g class="given-line" fill="none" stroke="currentColor" stroke-width=".5">` + lines.String() + `</g>');
})`})
	b.open("/sheets/" + x.ID)
	b.ready()
	b.wait("document.querySelector('#markbar')")
	return x
}

// shortened cuts a little off both ends, as sheets do whose corners are not
// to be seen.
func shortened(s geom.Segment) geom.Segment {
	d := s.B.Sub(s.A).Scale(.06)
	return geom.Segment{A: s.A.Add(d), B: s.B.Sub(d)}
}

// fast taps with a finger that hardly touches.
func (b *tab) fast(v geom.Vec) {
	b.Helper()
	b.pause(0.2)
	b.touch(touchStart, v)
	b.clock += 0.02
	b.touch(touchEnd)
	b.pause(0.2)
}

// mark is one mark of the drawing or of a kept attempt.
type mark struct {
	For  string
	Edge string
	At   []float64
	Line []float64
}

// marks are the marks of the drawing on the page.
func (b *tab) marks() []mark {
	b.Helper()
	return eval[[]mark](b, sheetModule+".then((m) => m.sheet.drawing.marks)")
}

// marked waits until the drawing has n marks.
func (b *tab) marked(n int) {
	b.Helper()
	b.wait(sheetModule + ".then((m) => m.sheet.drawing.marks.length === " + num(float64(n)) + ")")
}

// kept are the marks of the attempt on the page as the server has it.
func (b *tab) keptMarks() []mark {
	b.Helper()
	return eval[[]mark](b, "fetch('/api/v1/attempts/' + document.querySelector('#desk').dataset.attempt).then((r) => r.json()).then((d) => d.attempt.marks ?? [])")
}
