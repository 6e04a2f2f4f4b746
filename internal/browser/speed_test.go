package browser_test

import (
	"slices"
	"testing"

	"boxwright/internal/drill"
)

// TestHandInToRedline measures how long it takes from Hand in until the
// redline is painted. It tells the figures and asserts nothing about them:
// test machines are slow and shared.
func TestHandInToRedline(t *testing.T) {
	b := newTab(t, newSite(t), desktop)
	var ms []float64
	for range 7 {
		x := b.issue(drill.Finish, drill.Two, 4)
		for _, l := range answers(x) {
			b.pen(off(l.Segment, 3))
		}
		b.has(len(answers(x)))
		// From the click's own time stamp to the frame after the one in which
		// the redline came in: what was painted is then on the screen.
		eval[bool](b, `(window.took = new Promise((done) => {
			let from = 0;
			document.querySelector('#handin').addEventListener('click', (e) => { from = e.timeStamp; }, {capture: true});
			const desk = document.querySelector('#desk');
			new MutationObserver(() => {
				if (desk.dataset.state !== 'redline') return;
				requestAnimationFrame(() => requestAnimationFrame((now) => done(now - from)));
			}).observe(desk, {attributeFilter: ['data-state']});
		}), true)`)
		b.click("#handin")
		ms = append(ms, eval[float64](b, "took"))
		b.redline()
	}
	slices.Sort(ms)
	t.Logf("from Hand in to the painted redline: median %.0f ms, %.0f to %.0f ms in %d drawings", ms[len(ms)/2], ms[0], ms[len(ms)-1], len(ms))
}
