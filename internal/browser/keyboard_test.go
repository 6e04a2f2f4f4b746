package browser_test

import (
	"math"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"boxwright/internal/geom"
)

// said is what the key bar tells of the line that is being made.
type said struct{ X, Y, Angle, Length float64 }

func (b *tab) said() said {
	b.Helper()
	return eval[said](b, "((d) => ({X: +d.x, Y: +d.y, Angle: +d.angle, Length: +d.length}))(document.querySelector('#keysay').dataset)")
}

// dials turns a distance into steps of three sizes: how often each key is
// pressed with shift, plain and with alt. coarse, plain and fine are the sizes.
func (b *tab) dial(distance float64, more, less string, coarse, plain, fine float64) {
	b.Helper()
	for _, step := range []struct {
		size float64
		with []chromedp.Modifier
	}{{coarse, []chromedp.Modifier{chromedp.ModifierShift}}, {plain, nil}, {fine, []chromedp.Modifier{chromedp.ModifierAlt}}} {
		n := math.Round(distance / step.size)
		distance -= n * step.size
		k := more
		if n < 0 {
			k, n = less, -n
		}
		if n > 0 {
			b.key(strings.Repeat(k, int(n)), step.with...)
		}
	}
}

// type draws a line with keys alone, from a start that N offers near from to
// the place to; it answers whether such a start is offered.
func (b *tab) keyLine(from, to geom.Vec) bool {
	b.Helper()
	const near = 1.2 // mm: ends of lines drawn before are not quite corners
	first := ""
	for range 60 {
		at := b.said()
		if math.Hypot(at.X-from.X, at.Y-from.Y) < near {
			d := to.Sub(geom.Vec{X: at.X, Y: at.Y})
			b.dial(turnTo(at.Angle, d.Angle().Degrees()), kb.ArrowRight, kb.ArrowLeft, 5, 0.5, 0.1)
			b.dial(d.Len()-at.Length, kb.ArrowUp, kb.ArrowDown, 10, 1, 0.1)
			b.key(kb.Enter)
			b.wait("document.querySelector('#keysay').textContent.startsWith('Kept')")
			return true
		}
		words := b.text("#keysay")
		if words == first {
			return false // once round
		}
		if first == "" && strings.HasPrefix(words, "Start") {
			first = words
		}
		b.key("n")
	}
	return false
}

// turnTo is the way from one direction to another, in (-180, 180] degrees.
func turnTo(from, to float64) float64 {
	d := math.Mod(to-from, 360)
	switch {
	case d > 180:
		d -= 360
	case d <= -180:
		d += 360
	}
	return d
}

// noPointer makes any pointer event a fault of the test's own.
const noPointer = `(['pointerdown', 'pointermove', 'mousedown', 'touchstart', 'click'].forEach((n) =>
	addEventListener(n, (e) => { if (e.detail !== 0 || n !== 'click') console.error('a pointer was used: ' + n); }, true)), true)`

func TestKeyboardOnly(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.open("/")
	b.ready()
	eval[bool](b, noPointer)
	x := b.exercise()

	// The board has the focus from the start.
	b.key("n")
	b.wait("!document.querySelector('#keybar').hidden && document.querySelector('#keysay').textContent.startsWith('Start 1 of ')")

	todo := answers(x)
	for len(todo) > 0 {
		var left []line
		for _, l := range todo {
			if !b.keyLine(l.A, l.B) && !b.keyLine(l.B, l.A) {
				left = append(left, l)
			}
		}
		if len(left) == len(todo) {
			b.shot("failed")
			t.Fatalf("%d lines have no end to start from", len(left))
		}
		todo = left
	}
	b.has(len(answers(x)))
	b.key(kb.Enter)
	b.wait("document.querySelector('#keysay').textContent.includes('Enter again hands in')")
	b.key(kb.Enter)
	b.redline()

	doc := b.attempt()
	if g := doc.Grade; len(g.Missing) != 0 || g.RMS > 0.3 || g.Score < 90 {
		t.Errorf("missing %v, %.2f° off, score %d", g.Missing, g.RMS, g.Score)
	}
	if doc.Attempt.Input.Pointer != "keyboard" {
		t.Errorf("kept as drawn with %s", doc.Attempt.Input.Pointer)
	}
	for i, s := range doc.Attempt.Strokes {
		if s.By != "keyboard" || len(s.X) != 2 {
			t.Errorf("stroke %d: by %q, %d samples", i, s.By, len(s.X))
		}
	}
	t.Logf("with the keyboard alone: %.2f° off, score %d", doc.Grade.RMS, doc.Grade.Score)

	b.key(kb.Enter)
	b.wait("document.querySelector('#desk')?.dataset.state === 'drawing' && location.pathname.startsWith('/sheets/')")
	if next := b.exercise(); next.ID == x.ID || next.View != x.View || next.Level != x.Level {
		t.Errorf("the next sheet is %s %s %d after %s %s %d", next.ID, next.View, next.Level, x.ID, x.View, x.Level)
	}
}

// TestKeysCountOnlyOnTheBoard: a letter typed elsewhere is not a command.
func TestKeysCountOnlyOnTheBoard(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.open("/")
	b.ready()
	const framed = "getComputedStyle(document.querySelector('#wet')).outlineStyle !== 'none'"
	b.pen(some[0])
	b.has(1)
	if eval[bool](b, framed) {
		t.Error("a frame shows where the keys go to one who uses a pen")
	}
	eval[bool](b, "(document.querySelector('#top a').focus(), true)")
	b.key("urcn")
	b.has(1)
	if eval[string](b, "document.querySelector('#ruler').getAttribute('aria-pressed')") != "false" ||
		!eval[bool](b, "document.querySelector('#keybar').hidden") {
		t.Error("letters typed on a link worked the board")
	}
	b.focus()
	b.key("r")
	b.wait("document.querySelector('#ruler').getAttribute('aria-pressed') === 'true'")
	b.key("u")
	b.has(0)
	if !eval[bool](b, framed) {
		t.Error("no frame shows where the keys go")
	}
}
