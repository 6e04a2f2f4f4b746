package browser_test

import (
	"testing"

	"github.com/chromedp/chromedp/kb"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// TestRulerOnly draws a box with two taps a line and no dragging.
func TestRulerOnly(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), roomy)
	x := b.issue(drill.Finish, drill.Two, 4)
	b.click("#ruler")
	b.wait("document.querySelector('#ruler').getAttribute('aria-pressed') === 'true'")
	n := 0
	for _, l := range answers(x) {
		b.tap(l.A)
		b.wait("document.querySelector('#status').textContent.includes('ends')")
		b.tap(l.B)
		n++
		b.has(n)
	}
	b.handIn()
	doc := b.attempt()
	if g := doc.Grade; len(g.Missing) != 0 || g.RMS > 0.3 || g.Score < 90 {
		t.Errorf("missing %v, %.2f° off, score %d", g.Missing, g.RMS, g.Score)
	}
	for i, s := range doc.Attempt.Strokes {
		if s.By != "ruler" || len(s.X) != 2 {
			t.Errorf("stroke %d: by %q, %d samples", i, s.By, len(s.X))
		}
	}
}

// TestRulerDropsAFirstTap: Escape takes a start back, and the ruler away.
func TestRulerDropsAFirstTap(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.issue(drill.Finish, drill.Two, 4)
	b.click("#ruler")
	b.tap(some[0].A)
	b.key(kb.Escape)
	b.tap(some[1].A)
	b.tap(some[1].B)
	b.has(1)
	b.click("#ruler")
	b.pen(some[2])
	b.has(2)
	b.handIn()
	s := b.attempt().Attempt.Strokes
	if len(s) != 2 || s[0].By != "ruler" || s[1].By != "" {
		t.Fatalf("%+v", s)
	}
	at := geom.Vec{X: s[0].X[0], Y: s[0].Y[0]}
	if at.Sub(some[1].A).Len() > 0.5 {
		t.Errorf("the line starts at %v, not at %v: the dropped tap counted", at, some[1].A)
	}
}

// TestNudgeButtons draws a line with the buttons of the key bar alone.
func TestNudgeButtons(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.issue(drill.Join, drill.None, 1)
	b.click("#keys")
	b.wait("document.querySelector('#keysay').textContent.startsWith('Start 1 of ')")
	before := b.said()
	b.click("[data-nudge=turn-right]")
	b.click("[data-nudge=turn-right]")
	b.click("[data-nudge=longer]")
	b.click("[data-nudge=turn-left]")
	if s := b.said(); s.Angle != before.Angle+0.5 || s.Length != before.Length+1 {
		t.Errorf("turned from %+v to %+v", before, s)
	}
	b.click("[data-nudge=drop]")
	b.has(0)
	b.click("[data-nudge=longer]")
	b.click("[data-nudge=keep]")
	b.has(1)
	b.click("[data-nudge=start-next]")
	b.wait("document.querySelector('#keysay').textContent.startsWith('Start ')")
	b.key(kb.Escape)
	b.wait("document.querySelector('#keybar').hidden")
}

// TestConstructionLines are kept as such and not graded.
func TestConstructionLines(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	x := b.issue(drill.Finish, drill.Two, 4)
	b.click("#role")
	b.pen(some[0])
	b.click("#role")
	b.pen(answers(x)[0].Segment)
	b.has(2)
	b.handIn()
	doc := b.attempt()
	if s := doc.Attempt.Strokes; s[0].Role != "construction" || s[1].Role != "edge" {
		t.Errorf("kept as %s and %s", s[0].Role, s[1].Role)
	}
	if n := len(doc.Grade.Missing); n != len(answers(x))-1 {
		t.Errorf("%d edges missing of %d, one was drawn", n, len(answers(x)))
	}
}
