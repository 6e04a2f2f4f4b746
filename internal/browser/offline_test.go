package browser_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"

	"boxwright/internal/drill"
)

// noRetry puts off every longer timer of the pages to come, so that what
// happens in a test happened for another reason than that time went by.
func (b *tab) noRetry() {
	b.Helper()
	call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
		Source: `{ const real = setTimeout; window.setTimeout = (f, ms, ...a) => real(f, ms >= 1000 ? 1e8 : ms, ...a); }`})
}

// online tells the pages that the connection is gone or back, as the system
// does.
func (b *tab) online(yes bool) {
	b.Helper()
	throughput := -1.0
	call(b, network.OverrideNetworkState, network.OverrideNetworkStateParams{
		Offline: !yes, DownloadThroughput: throughput, UploadThroughput: throughput})
	b.wait("navigator.onLine === " + map[bool]string{true: "true", false: "false"}[yes])
}

// handed is how many attempts the server has of this tab's learner.
func (b *tab) handed() int {
	b.Helper()
	return eval[int](b, "fetch('/api/v1/progress').then((r) => r.json()).then((p) => p.attempts)")
}

// draws puts some lines on a new sheet.
func (b *tab) draws() *drill.Exercise {
	b.Helper()
	x := b.issue(drill.Finish, drill.Two, 2)
	for _, l := range answers(x)[:3] {
		b.pen(l.Segment)
	}
	b.has(3)
	return x
}

func (b *tab) kept() {
	b.Helper()
	b.wait("document.querySelector('#desk').dataset.state === 'kept'")
	if s := b.text("#status"); !strings.Contains(s, "Kept on this device") {
		b.Errorf("the status line says %q", s)
	}
}

func TestHandsInWhenTheConnectionIsBack(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := newTab(t, s, desktop)
	b.offline = true
	b.noRetry()
	b.draws()
	b.online(false)
	s.down.Store(true)
	b.click("#handin")
	b.kept()
	s.down.Store(false)
	b.online(true)
	b.redline()
	if n := b.handed(); n != 1 || !slices.Equal(s.answers(), []int{201}) {
		t.Errorf("%d attempts, answered with %v", n, s.answers())
	}
}

// TestRetriesByItself: without any sign that the connection is back.
func TestRetriesByItself(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := newTab(t, s, desktop)
	b.offline = true
	b.draws()
	s.ill.Store(true)
	b.click("#handin")
	b.kept()
	s.ill.Store(false)
	b.redline()
	if n := b.handed(); n != 1 || !slices.Equal(s.answers(), []int{201}) {
		t.Errorf("%d attempts, answered with %v", n, s.answers())
	}
}

// TestALostAnswer: the server has the attempt, but the page never heard so.
func TestALostAnswer(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := newTab(t, s, desktop)
	b.offline = true
	b.draws()
	s.mute.Store(true)
	b.click("#handin")
	b.kept()
	s.mute.Store(false)
	b.redline()
	// The browser itself may have sent a broken request once more.
	got := s.answers()
	if n := b.handed(); n != 1 || len(got) < 2 || got[0] != 201 || got[len(got)-1] != 200 {
		t.Errorf("%d attempts, answered with %v", n, got)
	}
	b.opensAgain()
}

func TestHandsInAfterTheTabWasClosed(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	home := newTab(t, s, desktop)
	home.offline = true
	first := home.sibling()
	x := first.draws()
	s.down.Store(true)
	first.click("#handin")
	first.kept()
	first.close()
	s.down.Store(false)

	second := home.sibling()
	second.open("/practice")
	second.wait("document.querySelector('#status').textContent.includes('has been handed in')")
	if n := second.handed(); n != 1 || !slices.Equal(s.answers(), []int{201}) {
		t.Errorf("%d attempts, answered with %v", n, s.answers())
	}
	// Nothing is left to hand in, and the sheet is as new.
	third := home.sibling()
	third.open("/sheets/" + x.ID)
	third.ready()
	third.has(0)
	if n := third.handed(); n != 1 {
		t.Errorf("%d attempts after another page was opened", n)
	}
}

// TestComesBackToAKeptSheet: the same sheet opened again shows the lines as
// waiting, then their redline; with two tabs at once it is still one attempt.
func TestComesBackToAKeptSheet(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	home := newTab(t, s, desktop)
	home.offline = true
	first := home.sibling()
	x := first.draws()
	s.ill.Store(true)
	first.click("#handin")
	first.kept()
	first.close()

	second, third := home.sibling(), home.sibling()
	second.open("/sheets/" + x.ID)
	second.kept()
	second.has(3)
	third.open("/sheets/" + x.ID)
	third.kept()
	s.ill.Store(false)
	second.redline()
	third.redline()
	if n := second.handed(); n != 1 {
		t.Errorf("%d attempts", n)
	}
	for _, code := range s.answers() {
		if code != 200 && code != 201 {
			t.Errorf("answered with %v", s.answers())
		}
	}
}

// TestRefused: what the server will not have stays on the sheet, and the page
// says why.
func TestRefused(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.offline = true // a refused request shows in the log
	b.draws()
	call(b, network.ClearBrowserCookies, cdp.Empty{}) // now it is another's sheet
	b.click("#handin")
	b.wait("document.querySelector('#status').textContent.startsWith('This was not taken')")
	b.wait("document.querySelector('#desk').dataset.state === 'drawing'")
	b.has(3)
	b.enabled("#undo", true)
}
