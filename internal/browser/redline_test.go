package browser_test

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp/kb"

	"boxwright/internal/drill"
)

// shown reports whether a layer of the redline is to be seen.
func (b *tab) shown(layer string) bool {
	b.Helper()
	return eval[string](b, "getComputedStyle(document.querySelector('#paper .layer."+layer+"')).display") != "none"
}

func TestLayers(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	x := b.issue(drill.Finish, drill.Two, 3)
	b.drawn(x, 6)
	check := func(how string, press func(layer, key string)) {
		t.Helper()
		for key, layer := range map[string]string{"1": "ink", "2": "true", "3": "rays"} {
			for _, want := range []bool{false, true} {
				press(layer, key)
				pressed := eval[string](b, "document.querySelector('[data-toggle="+layer+"]').getAttribute('aria-pressed')") == "true"
				if pressed != want || b.shown(layer) != want {
					t.Errorf("%s by %s: shown %v, pressed %v, want %v", layer, how, b.shown(layer), pressed, want)
				}
			}
		}
	}
	check("key", func(_, key string) { b.key(key) })
	check("button", func(layer, _ string) { b.click("[data-toggle=" + layer + "]") })
	b.open(eval[string](b, "location.pathname"))
	check("button of the attempt's page", func(layer, _ string) { b.click("[data-toggle=" + layer + "]") })

	b.click("#again")
	b.wait("document.querySelector('#desk')?.dataset.state === 'drawing'")
	b.ready()
	if b.exercise().ID != x.ID {
		t.Error("drawn again, it is another sheet")
	}
	b.drawn(x, 0)
	if n := b.handed(); n != 2 {
		t.Errorf("%d attempts after the second drawing", n)
	}
}

// countInk lets the page note every bit of ink that is painted: growing is
// on any canvas but that of whole lines, and each is noted with the time of
// its frame. The pixels themselves cannot be read back where they go to the
// screen at once.
const countInk = `(window.growing = [], window.whole = [], ['stroke', 'fill'].forEach((name) => {
	const real = CanvasRenderingContext2D.prototype[name];
	CanvasRenderingContext2D.prototype[name] = function (...a) {
		(this.canvas.id === 'dry' ? whole : growing).push(document.timeline.currentTime);
		return real.apply(this, a);
	};
}), true)`

// replayed is what was painted in a replay, and how long it took from the
// first ink to the last.
type replayed struct {
	Growing, Whole int
	MS             float64
	Hidden         bool // the drawing's own layer was out of sight
}

// replays starts the replay and waits for its end.
func (b *tab) replays() replayed {
	b.Helper()
	eval[bool](b, countInk)
	b.click("#replay")
	b.wait("document.querySelector('#desk').dataset.replay === 'playing'")
	hidden := !b.shown("ink")
	b.wait("!document.querySelector('#desk').dataset.replay")
	if !b.shown("ink") || b.text("#replay") != "Replay" {
		b.Errorf("after the replay: ink shown %v, button %q", b.shown("ink"), b.text("#replay"))
	}
	got := eval[replayed](b, "({Growing: growing.length, Whole: whole.length, MS: whole.at(-1) - Math.min(whole[0], ...growing)})")
	got.Hidden = hidden
	return got
}

func TestReplay(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.issue(drill.Finish, drill.Two, 3)
	for _, s := range some {
		b.pen(s)
	}
	b.handIn()
	strokes := b.attempt().Attempt.Strokes
	end := strokes[len(strokes)-1].T
	took := end[len(end)-1] - strokes[0].T[0]
	// As slow as it was drawn; a busy machine is later, never sooner. Times are
	// handed in to a tenth of a millisecond.
	const half = .05
	if got := b.replays(); got.Growing < 3*2 || got.Whole < 3 || !got.Hidden || got.MS < took-half {
		t.Errorf("%+v of three lines drawn in %.0f ms", got, took)
	}

	b.open(eval[string](b, "location.pathname"))
	calm := desktop
	calm.still = true
	b.resize(calm)
	if got := b.replays(); got.Growing != 0 || got.Whole < 3 || !got.Hidden {
		t.Errorf("%+v without motion: whole lines appear one by one", got)
	}

	// It can be stopped.
	b.click("#replay")
	b.wait("document.querySelector('#desk').dataset.replay === 'playing'")
	b.key(kb.Escape)
	b.wait("!document.querySelector('#desk').dataset.replay")
	if eval[bool](b, inked) || !b.shown("ink") {
		t.Error("a stopped replay leaves its ink or hides the drawing")
	}
}

// TestTheRedlineOnlyFades: nothing moves without being asked, and for those
// who want no motion nothing fades either.
func TestTheRedlineOnlyFades(t *testing.T) {
	t.Parallel()
	for _, still := range []bool{false, true} {
		w := desktop
		w.still = still
		b := newTab(t, newSite(t), w)
		b.issue(drill.Finish, drill.Two, 3)
		b.pen(some[0])
		eval[bool](b, "(window.seen = [], document.addEventListener('animationstart', (e) => seen.push(...e.target.getAnimations().map((a) => a.effect.getComputedTiming().duration))), true)")
		b.handIn()
		b.wait("Promise.all(document.getAnimations().map((a) => a.finished)).then(() => true)")
		fades := eval[[]float64](b, "seen")
		if (len(fades) == 0) != still {
			t.Errorf("without motion %v: %d parts fade in", still, len(fades))
		}
		for _, ms := range fades {
			if ms > 150 {
				t.Errorf("a fade of %.0f ms", ms)
			}
		}
	}
}

// TestEnterIsPressedAnew: the Enter that hands in, held down, does not go on
// to the next sheet.
func TestEnterIsPressedAnew(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.issue(drill.Finish, drill.Two, 3)
	b.pen(some[0])
	b.has(1)
	b.focus()
	hold := func(repeated bool) {
		for _, e := range kb.Encode('\r')[:2] { // down, and the character that presses a button
			if e.Type == input.DispatchKeyEventTypeKeyDown {
				e.Type = input.DispatchKeyEventTypeRawKeyDown // a page can keep the character from following it
			}
			e.AutoRepeat = &repeated
			call(b, input.DispatchKeyEvent, *e)
		}
	}
	hold(false)
	b.redline()
	for range 5 {
		hold(true)
	}
	call(b, input.DispatchKeyEvent, *kb.Encode('\r')[2])
	// The way to the next sheet begins with one question to the server; after
	// ten, it would have been taken.
	if _, err := try[bool](b, "(async () => { for (let i = 0; i < 10; i++) await fetch('/healthz'); return true; })()"); err != nil {
		t.Errorf("a held Enter leads away: %v", err)
	}
	if at := eval[string](b, "location.pathname"); !strings.HasPrefix(at, "/attempts/") {
		t.Errorf("a held Enter leads to %s", at)
	}
	b.key(kb.Enter)
	b.wait("location.pathname.startsWith('/sheets/') && document.querySelector('#desk')?.dataset.state === 'drawing'")
}
