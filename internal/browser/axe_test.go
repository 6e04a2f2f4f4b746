package browser_test

import (
	"os"
	"testing"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"boxwright/internal/drill"
)

// violation is what axe-core finds wrong on a page.
type violation struct {
	ID, Impact, Help string
	Nodes            []struct{ HTML, FailureSummary string }
}

// axe runs axe-core, all of its rules, over the page in the tab.
func (b *tab) axe() []violation {
	b.Helper()
	src, err := os.ReadFile("../../testdata/axe/axe.min.js")
	b.must(err)
	// By the protocol, for the page's own content policy lets no script in.
	r, err := chromedp.Call(b.ctx, runtime.Evaluate, runtime.EvaluateParams{Expression: string(src) + "; undefined"})
	b.must(err)
	if r.ExceptionDetails != nil {
		b.Fatalf("axe-core does not load: %s", r.ExceptionDetails.Text)
	}
	// Animations are over first: half-faded letters have little contrast.
	return eval[[]violation](b, `Promise.all(document.getAnimations().map((a) => a.finished)).then(() => axe.run(document, {resultTypes: ['violations']})).then((r) =>
		r.violations.map((v) => ({ID: v.id, Impact: v.impact, Help: v.help, Nodes: v.nodes.map((n) => ({HTML: n.html, FailureSummary: n.failureSummary}))})))`)
}

// sound reports every violation on the page in the tab.
func (b *tab) sound(what string) {
	b.Helper()
	for _, v := range b.axe() {
		for _, n := range v.Nodes {
			b.Errorf("%s: %s (%s): %s\n%s\n%s", what, v.ID, v.Impact, v.Help, n.HTML, n.FailureSummary)
		}
	}
}

// TestAxeSees: faults put into a page are found, so that silence means
// something.
func TestAxeSees(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.open("/practice")
	eval[bool](b, `((m) => (m.insertAdjacentHTML('beforeend', '<p id="faint">faint</p><button></button>'),
		document.querySelector('#faint').style.color = '#d8d5cb', true))(document.querySelector('main'))`)
	found := map[string]bool{}
	for _, v := range b.axe() {
		found[v.ID] = true
	}
	if !found["color-contrast"] || !found["button-name"] {
		t.Errorf("axe-core found %v", found)
	}
}

func TestAxe(t *testing.T) {
	t.Parallel()
	for _, w := range []window{desktop, phone} {
		t.Run(w.name, func(t *testing.T) {
			t.Parallel()
			b := learner(t, w)
			both := func(what string) {
				t.Helper()
				for _, dark := range []bool{false, true} {
					w.dark = dark
					b.resize(w)
					scheme := " by day"
					if dark {
						scheme = " by lamp"
					}
					b.sound(what + scheme)
				}
			}
			both("redline")
			b.open(eval[string](b, "location.pathname"))
			eval[bool](b, "(document.querySelectorAll('details').forEach((d) => d.open = true), true)")
			both("attempt page")
			b.open("/")
			b.ready()
			both("sheet")
			b.click("#keys")
			b.wait("document.querySelector('#keysay').textContent.startsWith('Start ')")
			both("sheet with the key bar")
			b.open("/practice")
			both("practice")
			b.open("/progress")
			eval[bool](b, "(document.querySelectorAll('details').forEach((d) => d.open = true), true)")
			both("progress")
			b.offline = true // the 404 shows in the log
			b.open("/sheets/none")
			both("fault")
		})
	}
	t.Run("newcomer", func(t *testing.T) {
		t.Parallel()
		b := newTab(t, newSite(t), phone)
		b.issue(drill.Join, drill.None, 1)
		b.sound("first sheet")
		b.open("/progress")
		b.sound("empty progress")
	})
}
