package browser_test

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"sync"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// Short names for what the protocol calls pointers and events.
const (
	pen      = input.DispatchMouseEventPointerTypePen
	mouse    = input.DispatchMouseEventPointerTypeMouse
	pressed  = input.DispatchMouseEventTypeMousePressed
	moved    = input.DispatchMouseEventTypeMouseMoved
	released = input.DispatchMouseEventTypeMouseReleased
	left     = input.MouseButtonLeft
)

// exercise makes the sheet that the page shows, with its answers: what a
// perfect learner would see.
func (b *tab) exercise() *drill.Exercise {
	b.Helper()
	b.wait("document.querySelector('#exercise')")
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

// issue opens a sheet of the chosen kind and waits until it can be drawn on.
func (b *tab) issue(k drill.Kind, v drill.View, level int) *drill.Exercise {
	b.Helper()
	if eval[string](b, "location.origin") != b.site.url {
		b.open("/practice")
	}
	id := eval[string](b, `fetch('/api/v1/exercises', {method: 'POST', headers: {'Content-Type': 'application/json'},
		body: JSON.stringify({drill: "`+string(k)+`", view: "`+string(v)+`", level: `+strconv.Itoa(level)+`})}).then((r) => r.json()).then((x) => x.id)`)
	b.open("/sheets/" + id)
	b.ready()
	return b.exercise()
}

// ready waits until the page can be drawn on in every way.
func (b *tab) ready() {
	b.Helper()
	b.wait("document.querySelector('#wet')?.tabIndex === 0 && document.readyState === 'complete' && document.fonts.status === 'loaded'")
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

// off returns s turned by degrees about its middle, clockwise positive: a
// line with a known error, for the error is measured from the middle.
func off(s geom.Segment, degrees float64) geom.Segment {
	mid := geom.Mid(s.A, s.B)
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	turn := func(v geom.Vec) geom.Vec {
		d := v.Sub(mid)
		return mid.Add(geom.Vec{X: float64(cos*d.X) - float64(sin*d.Y), Y: float64(sin*d.X) + float64(cos*d.Y)})
	}
	return geom.Segment{A: turn(s.A), B: turn(s.B)}
}

// steps is how many moves a line is drawn with, and takes how many seconds
// that lasts by the time stamps of the events.
const (
	steps = 30
	takes = 0.25
)

// hour is when the next event of the hand happens. Lines are sent as fast as
// they are taken, but stamped as a hand would draw them: the program's rules
// about hasty touches go by that.
func (b *tab) hour(t float64) input.TimeSinceEpoch {
	return input.TimeSinceEpoch(b.clock + float64(t*takes))
}

// pause lets the hand's clock run on, at least to now.
func (b *tab) pause(seconds float64) {
	b.clock = max(b.clock+seconds, float64(time.Now().UnixMicro())/1e6)
}

// pointer draws one straight line with a pen or mouse. The moves are sent
// without waiting for each to be taken, as a device does, so that the browser
// puts several into one event; two neighbours may swap on the way, which a
// straight line does not mind.
func (b *tab) pointer(kind input.DispatchMouseEventPointerType, s geom.Segment) {
	b.Helper()
	p := b.paper()
	b.pause(0.1)
	at := func(typ input.DispatchMouseEventType, t float64, buttons int64) input.DispatchMouseEventParams {
		x, y := p.px(s.A.Add(s.B.Sub(s.A).Scale(t)))
		e := input.DispatchMouseEventParams{Type: typ, X: x, Y: y, Button: left, Buttons: buttons, PointerType: kind,
			ClickCount: 1, Timestamp: b.hour(t)}
		if kind == pen && buttons != 0 {
			e.Force = 0.3 + 0.4*math.Sin(math.Pi*t)
		}
		return e
	}
	call(b, input.DispatchMouseEvent, at(pressed, 0, 1))
	stream(b, input.DispatchMouseEvent, func(t float64) input.DispatchMouseEventParams { return at(moved, t, 1) })
	call(b, input.DispatchMouseEvent, at(released, 1, 0))
	b.pause(takes)
}

// stream sends one command for each step of a line, t from 0 to 1, without
// waiting for the answers until the last is sent.
func stream[P, R any](b *tab, cmd cdp.Command[P, R], at func(t float64) P) {
	b.Helper()
	var sent sync.WaitGroup
	for i := 1; i <= steps; i++ {
		started := make(chan struct{})
		sent.Go(func() {
			close(started)
			if _, err := chromedp.Call(b.ctx, cmd, at(float64(i)/steps)); err != nil {
				b.Error(err)
			}
		})
		<-started
	}
	sent.Wait()
}

func (b *tab) pen(s geom.Segment)   { b.Helper(); b.pointer(pen, s) }
func (b *tab) mouse(s geom.Segment) { b.Helper(); b.pointer(mouse, s) }

// touch sends a touch event with fingers at the given places of the sheet.
func (b *tab) touch(typ input.DispatchTouchEventType, at ...geom.Vec) {
	b.Helper()
	call(b, input.DispatchTouchEvent, b.fingers(b.paper(), typ, 0, at...))
}

func (b *tab) fingers(p paper, typ input.DispatchTouchEventType, t float64, at ...geom.Vec) input.DispatchTouchEventParams {
	e := input.DispatchTouchEventParams{Type: typ, TouchPoints: []*input.TouchPoint{}, Timestamp: b.hour(t)}
	for i, v := range at {
		x, y := p.px(v)
		id := float64(i)
		e.TouchPoints = append(e.TouchPoints, &input.TouchPoint{X: x, Y: y, ID: &id})
	}
	return e
}

// finger draws one straight line with a finger.
func (b *tab) finger(s geom.Segment) {
	b.Helper()
	p := b.paper()
	b.pause(0.1)
	b.touch(input.DispatchTouchEventTypeTouchStart, s.A)
	stream(b, input.DispatchTouchEvent, func(t float64) input.DispatchTouchEventParams {
		return b.fingers(p, input.DispatchTouchEventTypeTouchMove, t, s.A.Add(s.B.Sub(s.A).Scale(t)))
	})
	b.pause(takes)
	b.touch(input.DispatchTouchEventTypeTouchEnd)
}

// tap presses and releases the mouse in one place on the sheet.
func (b *tab) tap(v geom.Vec) {
	b.Helper()
	x, y := b.paper().px(v)
	b.do(chromedp.MouseClickXY(x, y))
}

// click clicks an element as a person does: where it is on the screen.
func (b *tab) click(css string) {
	b.Helper()
	type place struct{ X, Y float64 }
	at := eval[place](b, `((e) => { e.scrollIntoView({block: 'nearest'}); const r = e.getBoundingClientRect(); return {X: r.left + r.width / 2, Y: r.top + r.height / 2}; })(document.querySelector(`+strconv.Quote(css)+`))`)
	if !eval[bool](b, `((e, hit) => !!hit && (e.contains(hit) || hit.contains(e)))(document.querySelector(`+strconv.Quote(css)+`), document.elementFromPoint(`+num(at.X)+`, `+num(at.Y)+`))`) {
		b.shot("failed")
		b.Fatalf("%s cannot be clicked: something lies over it or it is off the screen", css)
	}
	b.do(chromedp.MouseClickXY(at.X, at.Y))
}

func num(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// A line is one true line of a sheet.
type line struct {
	id  string
	set string // "" for pairs of dots
	geom.Segment
}

// answers returns the lines that a sheet asks for, where they truly are.
func answers(x *drill.Exercise) []line {
	var out []line
	for _, e := range x.Edges {
		if slices.Contains(x.Asked.Edges, e.ID) {
			out = append(out, line{e.ID, e.Set.String(), x.Segment(e)})
		}
	}
	for _, t := range x.Targets {
		if slices.Contains(x.Asked.Targets, t.ID) {
			out = append(out, line{t.ID, "", geom.Segment{A: t.A, B: t.B}})
		}
	}
	return out
}

// handIn hands in and waits for the redline.
func (b *tab) handIn() {
	b.Helper()
	b.click("#handin")
	b.redline()
}

// redline waits until the redline lies over the sheet.
func (b *tab) redline() {
	b.Helper()
	b.wait("document.querySelector('#desk')?.dataset.state === 'redline' && document.querySelector('#next')")
}
