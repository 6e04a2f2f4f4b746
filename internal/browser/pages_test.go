package browser_test

import (
	"net/http"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// draws a whole sheet with every other line turned by degrees, and hands in.
func (b *tab) drawn(x *drill.Exercise, degrees float64) {
	b.Helper()
	for i, l := range answers(x) {
		s := l.Segment
		if i%2 == 0 {
			s = off(s, degrees)
		}
		b.pen(s)
	}
	b.handIn()
}

// learner is a tab whose learner has a record: some sheets handed in, the
// last of which is on the page.
func learner(t *testing.T, w window) *tab {
	t.Helper()
	b := newTab(t, newSite(t), w)
	b.drawn(b.issue(drill.Join, drill.None, 2), 1)
	b.drawn(b.issue(drill.Finish, drill.One, 5), -4)
	b.drawn(b.issue(drill.Finish, drill.Three, 3), 2)
	b.drawn(b.issue(drill.Finish, drill.Two, 9), 5)
	return b
}

// TestEveryPageKeepsToItself goes through every page and every control that
// asks the server for something. What leaves for another origin, throws,
// breaks the content policy or complains on the console fails the test, as in
// all tests of this package.
func TestEveryPageKeepsToItself(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	x := b.issue(drill.Finish, drill.Two, 9)
	b.drawn(x, 5)
	b.click("#replay")
	b.wait("document.querySelector('#desk').dataset.replay === 'playing'")
	attempt := eval[string](b, "location.pathname")
	for _, path := range []string{"/", "/practice", "/progress", attempt, "/sheets/" + x.ID, "/sheets/" + x.ID + ".svg", attempt + ".svg"} {
		b.open(path)
		b.wait("document.readyState === 'complete'")
	}
	// The browser asks for the site's icon by itself, when it gets round to it.
	if more := eval[[]string](b, "performance.getEntriesByType('resource').map((e) => e.name).filter((n) => !n.endsWith('/favicon.ico'))"); len(more) != 0 {
		t.Errorf("a picture asks for more files: %q", more)
	}
}

// TestTheWatchSees: a page that breaks the rules is noticed, so that silence
// in the other tests means something.
func TestTheWatchSees(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.open("/practice")
	for _, c := range []struct{ name, script, want string }{
		{"throws", "(setTimeout(() => { throw new Error('heard') }), new Promise((r) => setTimeout(r)))", "threw"},
		{"console", "(console.error('heard'), true)", "console error"},
		{"inline script", "((s) => (s.textContent = '1', document.head.append(s), true))(document.createElement('script'))", "Content Security Policy"},
		{"another origin", "fetch('http://127.0.0.1:9/x').catch(() => true)", "Content Security Policy"},
		{"a missing file", "fetch('/assets/none/js/none.js').then(() => true)", "404"},
	} {
		b.takeFaults()
		eval[any](b, c.script)
		var got []string
		for range 1000 { // the log may come a little later
			eval[bool](b, "new Promise((r) => setTimeout(() => r(true)))")
			if got = append(got, b.takeFaults()...); strings.Contains(strings.Join(got, "\n"), c.want) {
				break
			}
		}
		if !strings.Contains(strings.Join(got, "\n"), c.want) {
			t.Errorf("%s was not noticed: %v", c.name, got)
		}
	}
	b.takeFaults()
}

// TestNoAnswerInThePage: what the page has received before handing in, its
// own source and every file it asked for, tells no withheld corner. The
// server's tests search its answers; this one searches what a browser holds.
func TestNoAnswerInThePage(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	x := b.issue(drill.Finish, drill.Three, 7)
	given := x.CornersGiven()
	var hidden []geom.Vec
	for i, c := range x.Corners {
		if !given[i] {
			hidden = append(hidden, c)
		}
	}
	if len(hidden) < 2 {
		t.Fatal("nothing is withheld on this sheet")
	}
	holds := func(v geom.Vec) bool {
		return eval[bool](b, `(async (x, y) => {
			const own = performance.getEntriesByType('resource').map((e) => e.name).filter((n) => !n.endsWith('woff2'));
			const files = await Promise.all([location.href, ...own].map((n) => fetch(n).then((r) => r.text())));
			return [document.documentElement.outerHTML, ...files].some((text) => {
				const n = (text.match(/-?\d+(\.\d+)?(e[-+]?\d+)?/gi) || []).map(Number);
				return n.some((v, i) => i > 0 && Math.abs(n[i - 1] - x) <= 0.05 && Math.abs(v - y) <= 0.05);
			});
		})(`+num(v.X)+", "+num(v.Y)+")")
	}
	for _, c := range hidden {
		if holds(c) {
			t.Errorf("the page tells the withheld corner %v", c)
		}
	}
	for i, c := range x.Corners { // the search finds what is there
		if given[i] && !holds(c) {
			t.Errorf("the page does not tell the given corner %v", c)
		}
	}
}

// TestAnotherLearnersSheet is not there, and the page says so.
func TestAnotherLearnersSheet(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	a, b := newTab(t, s, desktop), newTab(t, s, desktop)
	x := a.issue(drill.Finish, drill.Two, 3)
	b.offline = true // the 404 shows in the log
	b.open("/sheets/" + x.ID)
	b.wait("document.body.dataset.page === 'fault'")
	if !strings.Contains(b.text("main"), num(http.StatusNotFound)) {
		t.Errorf("the page says %q", b.text("main"))
	}
}
