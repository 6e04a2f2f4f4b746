package browser_test

import (
	"encoding/json"
	"math"
	"strconv"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// call runs a protocol command on the tab.
func call[P, R any](b *tab, cmd cdp.Command[P, R], params P) R {
	b.Helper()
	r, err := chromedp.Call(b.ctx, cmd, params)
	b.must(err)
	return r
}

// exercise makes the sheet that the page shows, with its answers: what a
// perfect learner would see.
func (b *tab) exercise() *drill.Exercise {
	b.Helper()
	var doc struct {
		ID, Drill, View, Seed string
		Level                 int
	}
	b.must(json.Unmarshal([]byte(eval[string](b, "document.querySelector('#exercise').textContent")), &doc))
	seed, err := strconv.ParseUint(doc.Seed, 10, 64)
	b.must(err)
	x, err := drill.New(drill.Kind(doc.Drill), drill.View(doc.View), doc.Level, seed)
	b.must(err)
	x.ID = doc.ID
	return x
}

// paper maps sheet millimetres to the pixels of the window.
type paper struct{ X, Y, Width float64 }

func (b *tab) paper() paper {
	b.Helper()
	return eval[paper](b, `(r => ({X: r.left, Y: r.top, Width: r.width}))(document.querySelector('#paper').getBoundingClientRect())`)
}

func (p paper) px(v geom.Vec) (x, y float64) {
	k := p.Width / 297
	return p.X + float64(k*v.X), p.Y + float64(k*v.Y)
}

// off returns s turned by degrees about its middle: a line with a known
// error, drawn straight.
func off(s geom.Segment, degrees float64) geom.Segment {
	mid := geom.Mid(s.A, s.B)
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	turn := func(v geom.Vec) geom.Vec {
		d := v.Sub(mid)
		return mid.Add(geom.Vec{X: float64(cos*d.X) - float64(sin*d.Y), Y: float64(sin*d.X) + float64(cos*d.Y)})
	}
	return geom.Segment{A: turn(s.A), B: turn(s.B)}
}

// pointer draws one straight line with samples along it.
func (b *tab) pointer(kind input.DispatchMouseEventPointerType, s geom.Segment) {
	b.Helper()
	p := b.paper()
	const steps = 30
	send := func(typ input.DispatchMouseEventType, t float64, buttons int64) {
		x, y := p.px(s.A.Add(s.B.Sub(s.A).Scale(t)))
		e := input.DispatchMouseEventParams{Type: typ, X: x, Y: y, Button: input.Left, Buttons: buttons, PointerType: kind, ClickCount: 1}
		if kind == input.Pen && buttons != 0 {
			e.Force = 0.3 + 0.4*math.Sin(math.Pi*t)
		}
		call(b, input.DispatchMouseEvent, e)
	}
	send(input.MousePressed, 0, 1)
	for i := 1; i <= steps; i++ {
		send(input.MouseMoved, float64(i)/steps, 1)
	}
	send(input.MouseReleased, 1, 0)
}

func (b *tab) pen(s geom.Segment)   { b.Helper(); b.pointer(input.Pen, s) }
func (b *tab) mouse(s geom.Segment) { b.Helper(); b.pointer(input.Mouse, s) }

// finger draws one straight line with a touch.
func (b *tab) finger(s geom.Segment) {
	b.Helper()
	p := b.paper()
	const steps = 20
	at := func(t float64) []*input.TouchPoint {
		x, y := p.px(s.A.Add(s.B.Sub(s.A).Scale(t)))
		return []*input.TouchPoint{{X: x, Y: y}}
	}
	call(b, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.TouchStart, TouchPoints: at(0)})
	for i := 1; i <= steps; i++ {
		call(b, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.TouchMove, TouchPoints: at(float64(i) / steps)})
	}
	call(b, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.TouchEnd, TouchPoints: []*input.TouchPoint{}})
}

// tap presses and releases in one place.
func (b *tab) tap(v geom.Vec) {
	b.Helper()
	x, y := b.paper().px(v)
	b.do(chromedp.MouseClickXY(x, y))
}

// asked returns the true segments of the edges asked for.
func asked(x *drill.Exercise) []drill.Edge {
	var out []drill.Edge
	for _, e := range x.Edges {
		for _, id := range x.Asked.Edges {
			if id == e.ID {
				out = append(out, e)
			}
		}
	}
	return out
}
