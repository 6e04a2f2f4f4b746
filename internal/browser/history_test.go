package browser_test

import (
	"testing"

	"github.com/chromedp/chromedp"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// key presses keys; uppercase letters come with the shift key.
func (b *tab) key(keys string, with ...chromedp.Modifier) {
	b.Helper()
	b.do(chromedp.KeyEvent(keys, chromedp.KeyModifiers(with...)))
}

// has waits until the sheet holds n lines, on the canvas as in the record.
func (b *tab) has(n int) {
	b.Helper()
	b.wait(sheetModule + ".then((m) => m.sheet.drawing.strokes.length === " + num(float64(n)) + ")")
	if painted := eval[bool](b, inked); painted != (n > 0) {
		b.Errorf("%d lines, painted: %v", n, painted)
	}
}

// enabled waits until a button can be pressed, or cannot.
func (b *tab) enabled(css string, can bool) {
	b.Helper()
	if can {
		b.wait("!document.querySelector('" + css + "').disabled")
		return
	}
	b.wait("document.querySelector('" + css + "').disabled")
}

const (
	// sheetModule is the drawing page's own module, already loaded.
	sheetModule = "import(document.querySelector('script[type=module][src*=sheet]').src)"
	// inked tells whether there is anything on the canvas of finished lines.
	inked = `((c) => {
		const copy = new OffscreenCanvas(300, 300).getContext('2d');
		copy.drawImage(c, 0, 0, 300, 300);
		return copy.getImageData(0, 0, 300, 300).data.some((v) => v);
	})(document.querySelector('#dry'))`
)

// some lines that fit on any sheet.
var some = []geom.Segment{
	{A: geom.Vec{X: 40, Y: 40}, B: geom.Vec{X: 120, Y: 60}},
	{A: geom.Vec{X: 50, Y: 150}, B: geom.Vec{X: 200, Y: 140}},
	{A: geom.Vec{X: 230, Y: 30}, B: geom.Vec{X: 220, Y: 180}},
}

func TestUndoRedoClear(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name              string
		undo, redo, clear func(*tab)
	}{
		{"buttons",
			func(b *tab) { b.enabled("#undo", true); b.click("#undo") },
			func(b *tab) { b.enabled("#redo", true); b.click("#redo") },
			func(b *tab) { b.enabled("#clear", true); b.click("#clear") }},
		{"letters",
			func(b *tab) { b.focus(); b.key("u") },
			func(b *tab) { b.focus(); b.key("U") },
			func(b *tab) { b.click("#clear") }},
		{"control keys",
			func(b *tab) { b.key("z", chromedp.ModifierCtrl) },
			func(b *tab) { b.key("y", chromedp.ModifierCtrl) },
			func(b *tab) { b.click("#clear") }},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			b := newTab(t, newSite(t), desktop)
			b.issue(drill.Finish, drill.Two, 3)
			b.enabled("#undo", false)
			b.enabled("#clear", false)
			for _, s := range some {
				b.pen(s)
			}
			b.has(3)
			b.enabled("#redo", false)
			c.undo(b)
			b.has(2)
			c.undo(b)
			b.has(1)
			c.redo(b)
			b.has(2)
			b.pen(some[0]) // what was undone is gone now
			b.has(3)
			b.enabled("#redo", false)
			c.clear(b)
			b.has(0)
			c.undo(b)
			b.has(3)
			c.redo(b)
			b.has(0)
			c.undo(b)
			b.has(3)
			b.handIn()
			if n := len(b.attempt().Attempt.Strokes); n != 3 {
				t.Errorf("%d lines were handed in, 3 were on the sheet", n)
			}
		})
	}
}

// TestAnEmptySheetIsNotHandedIn: there is nothing to grade.
func TestAnEmptySheetIsNotHandedIn(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.issue(drill.Finish, drill.One, 1)
	b.click("#handin")
	b.wait("document.querySelector('#status').textContent.includes('no line')")
	if n := len(b.site.answers()); n != 0 {
		t.Errorf("%d attempts were sent", n)
	}
}

// focus puts the focus on the board, where single keys count.
func (b *tab) focus() {
	b.Helper()
	eval[bool](b, "(document.querySelector('#wet').focus(), true)")
}
