package browser_test

import (
	"math"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

var twoPoints = asked{Points: []string{"p-width", "p-depth"}, Horizon: true}

// point is where a vanishing point of x truly is.
func point(t *testing.T, x *drill.Exercise, id string) geom.Vec {
	t.Helper()
	for _, p := range x.Points {
		if at, ok := p.At.Vec(); ok && p.ID == id {
			return at
		}
	}
	t.Fatalf("the sheet has no finite point %s", id)
	return geom.Vec{}
}

// wholeBoard shows the board as small as it gets.
func (b *tab) wholeBoard() {
	b.Helper()
	for eval[bool](b, "!document.querySelector('#smaller').disabled") {
		b.click("#smaller")
	}
}

// near reports whether a mark lies within so many millimetres of a place.
func (m mark) near(v geom.Vec, mm float64) bool {
	return len(m.At) >= 2 && math.Hypot(m.At[0]-v.X, m.At[1]-v.Y) <= mm
}

// TestPointsAreMarkedOffTheSheet marks two points and the horizon with
// fingers, far off the sheet, takes steps back, loads the page again and
// hands in.
func TestPointsAreMarkedOffTheSheet(t *testing.T) {
	t.Parallel()
	for _, w := range []window{phone, tablet, desktop} {
		t.Run(w.name, func(t *testing.T) {
			t.Parallel()
			b := newTab(t, newSite(t), w)
			x := b.pose(drill.Two, 5, false, twoPoints)
			before := b.paper()
			b.wholeBoard()
			board := eval[rect](b, "(r => ({X: r.left, Y: r.top, Width: r.width, Height: r.height}))(document.querySelector('#board').getBoundingClientRect())")
			if l, r := b.paper().mm(board.X), b.paper().mm(board.right()); l > -2.9*297 || r < 3.9*297 {
				t.Errorf("the board shows from %.0f to %.0f mm", l, r)
			}
			b.click("#home")
			if after := b.paper(); after != before {
				t.Errorf("the sheet lies at %+v, at first at %+v", after, before)
			}
			for range 4 {
				b.click("#smaller")
			}
			px := 297 / b.paper().Width
			left, right := point(t, x, "p-width"), point(t, x, "p-depth")
			b.click("#mark-p-width")
			b.finger1(left)
			b.marked(1)
			b.click("#mark-p-depth")
			b.finger1(right.Add(geom.Vec{X: 9, Y: 30}))
			b.marked(2)
			b.finger1(right) // a second tap moves it
			b.wait(sheetModule + ".then((m) => m.sheet.drawing.history.done.length === 3)")
			b.click("#mark-horizon")
			b.finger1(geom.Vec{X: -50, Y: left.Y})
			b.finger1(geom.Vec{X: 350, Y: left.Y + 20})
			b.marked(3)
			b.key("z", chromedp.ModifierCtrl)
			b.key("z", chromedp.ModifierCtrl)
			b.marked(2)
			b.click("#redo")
			b.click("#redo")
			b.marked(3)
			b.click("#clear")
			b.marked(0)
			b.click("#undo")
			b.marked(3)
			b.stored(5)
			b.do(chromedp.Reload())
			b.ready()
			b.marked(3)
			b.handIn()
			got := b.keptMarks()
			if len(got) != 3 {
				t.Fatalf("kept %+v", got)
			}
			for _, m := range got {
				switch m.For {
				case "p-width":
					if !m.near(left, px+.1) {
						t.Errorf("%+v lies off %v", m, left)
					}
				case "p-depth":
					if !m.near(right, px+.1) {
						t.Errorf("%+v lies off %v", m, right)
					}
				case "horizon":
					tilt := math.Atan2(-m.Line[0], m.Line[1]) * 180 / math.Pi
					if want := math.Atan2(20, 400) * 180 / math.Pi; math.Abs(tilt-want) > 2*px/400*60 {
						t.Errorf("the horizon is tilted by %.2f°, want %.2f°", tilt, want)
					}
				}
			}
			if now := b.paper(); math.Abs(now.Width-before.Width) > 1.5 {
				t.Errorf("in the redline the sheet is %.0f px wide, at first %.0f", now.Width, before.Width)
			}
		})
	}
}

// mm maps a pixel of the window to millimetres across the sheet.
func (p paper) mm(x float64) float64 { return (x - p.X) * 297 / p.Width }

// finger1 taps with a finger, or with the mouse where there is none.
func (b *tab) finger1(v geom.Vec) {
	b.Helper()
	if b.window.touch {
		b.fast(v)
		return
	}
	b.tap(v)
}

// slide draws with each event taken before the next: here it matters where
// the last one is, which a straight line does not mind.
func (b *tab) slide(kind input.DispatchMouseEventPointerType, s geom.Segment) {
	b.Helper()
	places := along(s, 8)
	b.event(kind, pressed, left, 1, places[0])
	for _, at := range places[1:] {
		b.event(kind, moved, left, 1, at)
	}
	b.event(kind, released, left, 0, s.B)
}

func (b *tab) slideFinger(s geom.Segment) {
	b.Helper()
	typ := touchStart
	for _, at := range along(s, 8) {
		b.pause(0.05)
		b.touch(typ, at)
		typ = touchMove
	}
	b.pause(0.05)
	b.touch(touchEnd)
}

// TestAMarkIsDraggedAndTheRestDraws: a drag that begins on the chosen mark
// moves it, every other draws a construction line.
func TestAMarkIsDraggedAndTheRestDraws(t *testing.T) {
	t.Parallel()
	for name, draw := range map[string]func(*tab, geom.Segment){
		"mouse":  func(b *tab, s geom.Segment) { b.slide(mouse, s) },
		"pen":    func(b *tab, s geom.Segment) { b.slide(pen, s) },
		"finger": (*tab).slideFinger,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w := desktop
			if name == "finger" {
				w = tablet
			}
			b := newTab(t, newSite(t), w)
			b.pose(drill.Two, 5, false, twoPoints)
			at, to := geom.Vec{X: 60, Y: 40}, geom.Vec{X: 100, Y: 90}
			b.click("#mark-p-width")
			b.tap(at)
			b.marked(1)
			draw(b, geom.Segment{A: at.Add(geom.Vec{X: 2}), B: to.Add(geom.Vec{X: 2})})
			b.has(0)
			b.wait(sheetModule + ".then((m) => m.sheet.drawing.history.done.length === 2)")
			if m := b.marks(); !m[0].near(to, .8) {
				t.Errorf("dragged to %v, not %v", m[0].At, to)
			}
			draw(b, some[2])
			b.has(1)
			b.click("#undo")
			b.click("#undo")
			b.has(0)
			if m := b.marks(); len(m) != 1 || !m[0].near(at, .8) {
				t.Errorf("taken back to %+v, not %v", m, at)
			}
			b.click("#redo")
			b.click("#redo")
			b.has(1)
			b.click("#handin")
			b.wait("document.querySelector('#status').textContent.includes('depth point, horizon')")
			b.handIn()
			if s := b.attempt().Attempt.Strokes; len(s) != 1 || s[0].Role != "construction" {
				t.Errorf("handed in %d lines", len(s))
			}
		})
	}
}

// TestMarksWithKeysAlone marks a point and the horizon by keys.
func TestMarksWithKeysAlone(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.pose(drill.Two, 5, false, twoPoints)
	eval[bool](b, noPointer)
	b.key("1")
	b.key(kb.ArrowRight) // puts it in the middle
	b.key(strings.Repeat(kb.End, 6))
	b.key(strings.Repeat(kb.ArrowRight, 3), chromedp.ModifierShift)
	b.key(strings.Repeat(kb.ArrowLeft, 3))
	b.key(strings.Repeat(kb.ArrowUp, 4), chromedp.ModifierAlt)
	b.key("2")
	b.key("3")
	b.key(kb.ArrowDown)
	b.key(kb.PageUp)
	b.key(strings.Repeat(kb.ArrowRight, 2), chromedp.ModifierShift)
	b.marked(2)
	b.wait("document.querySelector('#marksay').textContent === 'Horizon: 10.0° down to the right, through 55.0 mm down.'")
	for _, k := range []string{"-", "-", "+", "0"} {
		b.key(k)
	}
	b.key("2")
	b.key(kb.ArrowUp)
	b.marked(3)
	b.key(kb.Delete)
	b.marked(2)
	b.key("u")
	b.marked(3)
	b.key("u")
	b.marked(2)
	b.key(kb.Enter)
	b.wait("document.querySelector('#status').textContent.includes('Not marked yet: depth point')")
	b.key(kb.Enter)
	b.redline()
	for _, m := range b.keptMarks() {
		if m.For == "p-width" && !m.near(geom.Vec{X: 148.5 + 300 + 15 - 1.5, Y: 105 - .4}, .011) {
			t.Errorf("the point was put at %v", m.At)
		}
	}
	if p := b.attempt().Attempt.Input.Pointer; p != "keyboard" {
		t.Errorf("kept as drawn with %q", p)
	}
}

// TestMarksWithButtonsAlone: what the arrow keys do, buttons do as well.
func TestMarksWithButtonsAlone(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), phone)
	b.pose(drill.One, 3, false, asked{Points: []string{"p-depth"}, Horizon: true})
	b.click("#mark-p-depth")
	b.click("#mark-left")
	b.click("#mark-left")
	b.click("#mark-step")
	b.click("#mark-down")
	if m := b.marks(); len(m) != 1 || !m[0].near(geom.Vec{X: 148, Y: 110}, .001) {
		t.Errorf("nudged to %+v", m)
	}
	b.click("#mark-horizon")
	b.fast(geom.Vec{X: 20, Y: 50})
	b.fast(geom.Vec{X: 200, Y: 70}) // in a one-point view it stays level
	b.enabled("#mark-left", false)
	b.handIn()
	for _, m := range b.keptMarks() {
		if m.For == "horizon" && (m.Line[0] != 0 || math.Abs(m.Line[2]+70) > 1) {
			t.Errorf("the horizon is %v", m.Line)
		}
	}
}

// TestStrayEdgesAreTapped: a tap beside an edge marks the nearest one, another
// one takes the mark away; drags draw; none marked is an answer, asked for
// once more.
func TestStrayEdgesAreTapped(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), tablet)
	x := b.pose(drill.Three, 4, true, asked{Stray: true})
	p := b.paper()
	beside := func(i int, px float64) geom.Vec {
		s := x.Segment(x.Edges[i])
		d, _ := s.B.Sub(s.A).Unit()
		return s.A.Add(s.B.Sub(s.A).Scale(.3)).Add(geom.Vec{X: -d.Y, Y: d.X}.Scale(px * 297 / p.Width))
	}
	b.fast(beside(3, 5))
	b.marked(1)
	if m := b.marks(); m[0].Edge != x.Edges[3].ID {
		t.Errorf("marked %+v, not %s", m, x.Edges[3].ID)
	}
	if n := eval[int](b, "document.querySelectorAll('.marks .stray path').length"); n != 1 {
		t.Errorf("%d crosses", n)
	}
	b.fast(beside(3, -5))
	b.marked(0)
	b.fast(geom.Vec{X: 8, Y: 8})
	b.marked(0)
	b.finger(some[0])
	b.has(1)
	b.click("#handin")
	b.wait("document.querySelector('#status').textContent.includes('none breaks the rule')")
	b.fast(beside(7, 4))
	b.marked(1)
	b.wait("document.querySelector('#status').textContent === ''")
	b.fast(beside(7, 4))
	b.click("#clear")
	b.has(0)
	b.click("#handin")
	b.wait("document.querySelector('#status').textContent.includes('none breaks the rule')")
	b.handIn()
	if m := b.keptMarks(); len(m) != 0 || len(b.attempt().Attempt.Strokes) != 0 {
		t.Errorf("handed in %+v", m)
	}
}

// TestStrayEdgesWithKeysAlone goes through the edges by arrow keys.
func TestStrayEdgesWithKeysAlone(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.pose(drill.Two, 3, true, asked{Stray: true})
	eval[bool](b, noPointer)
	const said = "document.querySelector('#marksay').textContent"
	b.key(kb.ArrowRight)
	b.wait(said + ".startsWith('Edge 1 of 12, ')")
	b.key(" ")
	b.wait(said + ".includes('marked, it breaks the rule. 1 edge is marked.')")
	b.key(kb.ArrowLeft)
	b.key(kb.Enter)
	b.wait(said + ".startsWith('Edge 12 of 12, ') && " + said + ".includes('2 edges are marked.')")
	b.key(kb.Enter)
	b.marked(1)
	b.key("n") // construction lines by keys as well
	b.wait("!document.querySelector('#keybar').hidden")
	b.key(kb.ArrowUp)
	b.key(kb.Enter)
	b.has(1)
	b.key(kb.Escape)
	b.key(kb.Enter, chromedp.ModifierCtrl)
	b.redline()
	if m := b.keptMarks(); len(m) != 1 || m[0].For != "stray" {
		t.Errorf("handed in %+v", m)
	}
	if s := b.attempt().Attempt.Strokes; len(s) != 1 || s[0].Role != "construction" || s[0].By != "keyboard" {
		t.Errorf("lines %+v", s)
	}
}

// TestMarksWaitForTheConnection: marks without a line are kept like lines.
func TestMarksWaitForTheConnection(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := newTab(t, s, desktop)
	b.offline = true
	b.noRetry()
	x := b.pose(drill.Two, 3, true, asked{Stray: true})
	b.tap(geom.Mid(x.Segment(x.Edges[2]).A, x.Segment(x.Edges[2]).B))
	b.marked(1)
	s.down.Store(true)
	b.click("#handin")
	b.kept()
	s.down.Store(false)
	b.do(chromedp.Reload())
	b.redline()
	if m := b.keptMarks(); len(m) != 1 {
		t.Errorf("handed in %+v", m)
	}
}

// TestMarkScreens looks at sheets that ask for marks on every screen.
func TestMarkScreens(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.pose(drill.Three, 4, false, asked{Points: []string{"p-width", "p-depth", "p-height"}, Horizon: true})
	b.click("#mark-horizon")
	b.tap(geom.Vec{X: 20, Y: 30})
	b.tap(geom.Vec{X: 280, Y: 40})
	b.click("#mark-p-depth")
	b.tap(geom.Vec{X: 250, Y: 44})
	b.everywhere("meet", b.drawable)
	b.resize(desktop)
	b.wholeBoard()
	b.click("#mark-p-height")
	b.tap(geom.Vec{X: 160, Y: 500})
	b.everywhere("meet-small", func(what string) { b.fits(what) })

	b = newTab(t, newSite(t), desktop)
	x := b.pose(drill.Two, 4, true, asked{Stray: true})
	b.tap(geom.Mid(x.Segment(x.Edges[2]).A, x.Segment(x.Edges[2]).B))
	b.click("#keys")
	b.everywhere("stray", b.drawable)
}

func TestMarksAxe(t *testing.T) {
	t.Parallel()
	for _, a := range []asked{twoPoints, {Stray: true}} {
		b := newTab(t, newSite(t), phone)
		x := b.pose(drill.Two, 4, a.Stray, a)
		if a.Stray {
			b.click("#keys")
			b.fast(geom.Mid(x.Segment(x.Edges[2]).A, x.Segment(x.Edges[2]).B))
		} else {
			b.click("#mark-p-width")
			b.fast(geom.Vec{X: 20, Y: 30})
		}
		for _, dark := range []bool{false, true} {
			w := phone
			w.dark = dark
			b.resize(w)
			b.sound("marks")
		}
	}
}
