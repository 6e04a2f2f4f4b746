package browser_test

import (
	"math"
	"testing"

	"boxwright/internal/drill"
)

// TestTheSheetStaysAtHandIn: the redline comes up over the sheet, which keeps
// its place and its size; so does the strip.
func TestTheSheetStaysAtHandIn(t *testing.T) {
	t.Parallel()
	for _, w := range sizes {
		t.Run(w.name, func(t *testing.T) {
			t.Parallel()
			b := newTab(t, newSite(t), w)
			x := b.issue(drill.Finish, drill.Two, 3)
			for _, l := range answers(x)[:2] {
				b.pen(l.Segment)
			}
			before := eval[measures](b, measure)
			b.handIn()
			after := eval[measures](b, measure)
			p, q := before.Paper, after.Paper
			for what, d := range map[string]float64{"left": p.X - q.X, "top": p.Y - q.Y, "width": p.Width - q.Width} {
				if math.Abs(d) > 1.5 {
					t.Errorf("%s of the sheet: %.1f px apart: %+v, then %+v", what, d, p, q)
				}
			}
		})
	}
}

// TestTheBoardHasTheFocus: single keys work at once, and no frame shows
// before a key is pressed.
func TestTheBoardHasTheFocus(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.issue(drill.Finish, drill.Two, 3)
	if eval[string](b, "document.activeElement.id") != "wet" {
		t.Fatal("the board has no focus after loading")
	}
	if eval[bool](b, "getComputedStyle(document.querySelector('#wet')).outlineStyle !== 'none'") {
		t.Error("a frame shows before a key is pressed")
	}
	b.key("r")
	b.wait("document.querySelector('#ruler').getAttribute('aria-pressed') === 'true'")
}

// TestTheRulerTakesFastTaps: a tap is a tap, however short.
func TestTheRulerTakesFastTaps(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), phone)
	b.issue(drill.Finish, drill.Two, 3)
	b.click("#ruler")
	b.fast(some[0].A)
	b.fast(some[0].B)
	b.has(1)
}

// TestLateHandInsAreTold: a drawing that is handed in later, from another
// page, is said and linked.
func TestLateHandInsAreTold(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	home := newTab(t, s, desktop)
	home.offline = true
	first := home.sibling()
	first.draws()
	s.down.Store(true)
	first.click("#handin")
	first.kept()
	first.close()
	s.down.Store(false)

	b := home.sibling()
	b.open("/progress")
	b.wait("document.querySelectorAll('#status a').length === 2")
	links := eval[[]string](b, "[...document.querySelectorAll('#status a')].map((a) => a.textContent)")
	if links[0] != "See its redline" || links[1] != "Count it here" {
		t.Errorf("links %q", links)
	}
	b.click("#status a")
	b.wait("location.pathname.startsWith('/attempts/') && document.querySelector('#next')")
}
