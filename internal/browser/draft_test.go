package browser_test

import (
	"testing"

	"github.com/chromedp/chromedp"

	"boxwright/internal/drill"
)

// stored waits until the device keeps n lines of the sheet on the page.
func (b *tab) stored(n int) {
	b.Helper()
	b.wait("import(new URL('vault.js', document.querySelector('script[type=module][src*=sheet]').src).href)" +
		".then((v) => v.draft(document.querySelector('#desk').dataset.exercise)).then((d) => (d?.done.length ?? 0) === " + num(float64(n)) + ")")
}

func TestADraftSurvives(t *testing.T) {
	t.Parallel()
	home := newTab(t, newSite(t), desktop)
	b := home.sibling()
	x := b.issue(drill.Finish, drill.Three, 3)
	for _, s := range some {
		b.pen(s)
	}
	b.has(3)
	b.key("z", chromedp.ModifierCtrl)
	b.has(2)
	b.stored(2)

	b.do(chromedp.Reload())
	b.ready()
	b.has(2)
	b.enabled("#redo", true)
	b.click("#redo")
	b.has(3)
	b.stored(3)

	b.close()
	c := home.sibling()
	c.open("/") // the last sheet that was not handed in
	c.ready()
	if c.exercise().ID != x.ID {
		t.Fatal("the first page shows another sheet than the one begun")
	}
	c.has(3)
	c.handIn()
	if n := len(c.attempt().Attempt.Strokes); n != 3 {
		t.Errorf("%d lines were handed in", n)
	}

	d := home.sibling()
	d.open("/sheets/" + x.ID) // drawn again, it begins empty
	d.ready()
	d.has(0)
}

// TestLinesDrawnAtOnceAreKept: the pen may come down before the page has read
// what it kept; neither drawing may be lost.
func TestLinesDrawnAtOnceAreKept(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.issue(drill.Finish, drill.Two, 3)
	b.pen(some[0])
	b.has(1)
	b.stored(1)
	b.do(chromedp.Reload())
	b.wait("document.querySelector('#wet')")
	b.pen(some[1])
	b.has(2)
	b.stored(2)
}
