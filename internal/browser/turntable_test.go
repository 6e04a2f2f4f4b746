package browser_test

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// turnWindows are the screens that the turntable is looked at on.
var turnWindows = []window{
	{name: "desk", width: 1440, height: 900, scale: 1},
	{name: "tablet", width: 820, height: 1180, scale: 1, touch: true},
	{name: "phone", width: 390, height: 844, scale: 1, touch: true},
	{name: "phone-side", width: 844, height: 390, scale: 1, touch: true},
	{name: "small-phone", width: 320, height: 568, scale: 1, touch: true},
}

func TestTurntableScreens(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	strip := map[string]float64{} // where it begins, by window
	for _, at := range []struct{ name, query string }{
		{"one", "?around=0&up=0"}, {"two", "?around=35&up=0"}, {"three", "?around=-50&up=-32&box=tower"}, {"far", "?around=4&up=20&box=slab"},
	} {
		for _, w := range turnWindows {
			for _, dark := range []bool{false, true} {
				w.dark = dark
				b.resize(w)
				b.turntable(at.query)
				name := "turntable-" + at.name + "-" + w.name
				if dark {
					name += "-dark"
				} else {
					b.fits(name)
					// What the hand holds does not move with what is said.
					top := eval[float64](b, "document.querySelector('#strip').getBoundingClientRect().top")
					if strip[w.name] == 0 {
						strip[w.name] = top
					} else if top != strip[w.name] {
						b.Errorf("%s: the strip begins at %v, before at %v", name, top, strip[w.name])
					}
					b.inSight(name, "#view .paper", "#name", "#around")
				}
				b.shot(name)
			}
		}
	}
}

// turntable opens a position and waits for its script.
func (b *tab) turntable(query string) {
	b.Helper()
	b.open("/turntable" + query)
	b.wait("document.readyState === 'complete' && document.querySelector('#view').dataset.ready")
}

// inSight checks that parts lie in the window without scrolling.
func (b *tab) inSight(what string, parts ...string) {
	b.Helper()
	for _, css := range parts {
		r := eval[rect](b, fmt.Sprintf(`((r) => ({X: r.left, Y: r.top, Width: r.width, Height: r.height}))(document.querySelector(%q).getBoundingClientRect())`, css))
		if !r.within(rect{Width: float64(b.window.width), Height: float64(b.window.height)}) {
			b.Errorf("%s: %s lies at %v", what, css, r)
		}
	}
}

// at waits until the page shows a position: controls, address and all that is
// drawn are those of the page that the server makes of it.
func (b *tab) at(around, up int, box string) {
	b.Helper()
	q := fmt.Sprintf("?around=%d&up=%d&box=%s", around, up, box)
	b.wait("location.search === '" + q + "'")
	b.wait(`fetch(location.href).then((r) => r.text()).then((text) => {
		const page = new DOMParser().parseFromString(text, 'text/html');
		const parts = (d) => [...d.querySelectorAll('main [data-part], main [data-words]')].map((e) => e.innerHTML.trim().replace(/\s+/g, ' ')).join('|') +
			[...d.querySelectorAll('[data-step]')].map((e) => e.getAttribute('href')).join('|') +
			['around', 'up'].map((id) => d.getElementById(id).getAttribute('aria-valuetext')).join('|');
		return parts(page) === parts(document);
	})`)
	if got := eval[[]string](b, "['around', 'up', 'box'].map((id) => document.getElementById(id).value)"); !slices.Equal(got, []string{fmt.Sprint(around), fmt.Sprint(up), box}) {
		b.Errorf("the controls say %v, want %d, %d, %s", got, around, up, box)
	}
}

// hears notes what the live region says from now on, in window.heard.
func (b *tab) hears() {
	b.Helper()
	eval[bool](b, `(window.heard = [], new MutationObserver(() => window.heard.push(document.querySelector('#said').textContent))
		.observe(document.querySelector('#said'), {childList: true}), true)`)
}

func (b *tab) press(typ input.DispatchMouseEventType, x, y float64) {
	b.Helper()
	buttons := int64(1)
	if typ == released {
		buttons = 0
	}
	call(b, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: typ, X: x, Y: y, Button: left, Buttons: buttons, ClickCount: 1})
}

// centre returns the middle of an element in the window.
func (b *tab) centre(css string) (x, y float64) {
	b.Helper()
	v := eval[[]float64](b, fmt.Sprintf("((r) => [r.left + r.width / 2, r.top + r.height / 2])(document.querySelector(%q).getBoundingClientRect())", css))
	return v[0], v[1]
}

func TestTurntableKeys(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.turntable("?around=2&up=0")
	b.hears()
	eval[bool](b, "(document.querySelector('#view').focus(), true)")
	b.key(kb.ArrowLeft) // 1
	b.at(1, 0, "cube")
	b.key(kb.ArrowLeft) // square-on: width ceases to converge
	b.at(0, 0, "cube")
	b.key(kb.ArrowLeft)
	b.at(-1, 0, "cube")
	b.key(kb.ArrowDown)
	b.at(-1, -1, "cube")
	b.key(kb.ArrowDown)
	b.at(-1, -2, "cube")
	b.key(kb.ArrowUp, chromedp.ModifierShift)
	b.at(-1, 8, "cube")
	b.key(kb.Home)
	b.at(0, 0, "cube")
	if got, want := strings.Join(eval[[]string](b, "window.heard.map((s) => s.split('.')[0])"), " "), "One-point Two-point Three-point One-point"; got != want {
		t.Errorf("the live region said %q, want %q", got, want)
	}
	b.key(strings.Repeat(kb.ArrowUp, 3)+strings.Repeat(kb.ArrowLeft, 5), chromedp.ModifierShift)
	b.at(-50, 30, "cube")
	b.key(strings.Repeat(kb.ArrowUp, 9)+strings.Repeat(kb.ArrowLeft, 14), chromedp.ModifierShift) // steepest, and round the back
	b.at(170, 60, "cube")

	// The sliders' own keys go by whole degrees too.
	eval[bool](b, "(document.querySelector('#up').focus(), true)")
	b.key(kb.ArrowLeft)
	b.at(170, 59, "cube")
	eval[bool](b, "(document.querySelector('#around').focus(), true)")
	b.key(kb.End + kb.ArrowLeft)
	b.at(179, 59, "cube")
	b.click(`[data-step="right"]`)
	b.at(180, 59, "cube")
	b.click(`[data-step="right"]`)
	b.at(-175, 59, "cube")
	b.click(`[data-step="down"]`)
	b.at(-175, 55, "cube")
	eval[bool](b, "((s) => (s.value = 'tower', s.dispatchEvent(new Event('change', {bubbles: true}))))(document.querySelector('#box'))")
	b.at(-175, 55, "tower")
	b.open("/turntable?around=12&up=3")
	b.at0("Three-point")
}

// TestTurntableComesBack: controls that the browser has brought back as they
// were get their picture.
func TestTurntableComesBack(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.turntable("?around=30&up=0")
	eval[bool](b, "(document.querySelector('#around').value = -40, dispatchEvent(new PageTransitionEvent('pageshow', {persisted: true})))")
	b.at(-40, 0, "cube")
}

// TestTurntableLeftHanded: the panel changes sides, and the page still fits.
func TestTurntableLeftHanded(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), turnWindows[0])
	b.open("/turntable")
	eval[bool](b, "(localStorage.setItem('boxwright.hand', 'left'), true)")
	b.turntable("?around=40&up=-25")
	if v, f := eval[float64](b, "document.querySelector('#view').getBoundingClientRect().left"), eval[float64](b, "document.querySelector('#facts').getBoundingClientRect().right"); v != f {
		t.Errorf("the picture begins at %v, the panel ends at %v", v, f)
	}
	b.fits("turntable, left-handed")
	b.shot("turntable-left")
	b.resize(phone)
	b.fits("turntable on a phone, left-handed")
	eval[bool](b, "(scrollTo(0, 1e6), new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(() => r(true)))))")
	b.shot("turntable-foot")
}

// at0 waits for a view's name.
func (b *tab) at0(name string) {
	b.Helper()
	b.wait("document.querySelector('#name')?.textContent === '" + name + "'")
}

func TestTurntableDrag(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.turntable("?around=30&up=0")
	x, y := b.centre("#view")
	b.press(pressed, x, y)
	b.press(moved, x+50, y) // 20 degrees: the near side follows the hand
	b.at(10, 0, "cube")
	b.press(moved, x+72, y+3) // 1.2 degrees from square-on and from level: it settles
	b.at(0, 0, "cube")
	b.press(moved, x+72, y+50)
	b.at(0, -20, "cube")
	b.press(moved, x+72, y-400) // no steeper than can be
	b.at(0, 60, "cube")
	b.press(released, x+72, y-400)

	// Under the hand a slider settles, too.
	r := eval[rect](b, "((r) => ({X: r.left, Y: r.top, Width: r.width, Height: r.height}))(document.querySelector('#around').getBoundingClientRect())")
	const thumb = 16 // px: the value runs between the thumb's middles
	for _, want := range []int{90, 0} {
		x, y := r.X+thumb/2+float64(want+180)/360*(r.Width-thumb)+.5, r.Y+r.Height/2
		b.press(pressed, x, y)
		b.press(released, x, y)
		b.at(want, 60, "cube")
	}
}

func TestTurntableTouch(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), phone)
	b.turntable("?around=30&up=-10")
	x, y := b.centre("#view")
	touch := func(typ input.DispatchTouchEventType, at ...float64) {
		e := input.DispatchTouchEventParams{Type: typ, TouchPoints: []*input.TouchPoint{}}
		if len(at) == 2 {
			e.TouchPoints = append(e.TouchPoints, &input.TouchPoint{X: at[0], Y: at[1]})
		}
		call(b, input.DispatchTouchEvent, e)
	}
	touch(touchStart, x, y)
	touch(input.DispatchTouchEventTypeTouchMove, x+20, y+20)
	touch(input.DispatchTouchEventTypeTouchMove, x+50, y+50)
	touch(input.DispatchTouchEventTypeTouchEnd)
	b.at(10, -30, "cube")
	if top := eval[float64](b, "scrollY"); top != 0 {
		t.Errorf("the page has scrolled by %v px", top)
	}
}

// TestTurntableSmooth drags for two seconds and tells how many pictures a
// second were shown; of that it asserts nothing, for test machines are slow
// and shared. At most one request is under way at a time, and the last place
// is the one that stays.
func TestTurntableSmooth(t *testing.T) {
	b := newTab(t, newSite(t), desktop)
	b.turntable("?around=0&up=0")
	x, y := b.centre("#view")
	b.press(pressed, x, y)
	type run struct{ Screens, Pictures, Requests, Overlaps, Moves int }
	r := eval[run](b, fmt.Sprintf(`new Promise((done) => {
		const view = document.querySelector('#view'), from = performance.now();
		let screens = 0, pictures = 0, moves = 0;
		performance.clearResourceTimings();
		performance.setResourceTimingBufferSize(2000);
		new MutationObserver(() => { pictures++; }).observe(view.firstElementChild, {childList: true});
		const step = (now) => {
			screens++;
			const t = now - from;
			// A hand's speed: 300 px a second, up and down as well.
			for (let i = 0; i < 2; i++) {
				moves++;
				view.dispatchEvent(new PointerEvent('pointermove', {pointerId: 1, clientX: %[1]v + t * .3 + i, clientY: %[2]v + 60 * Math.sin(t / 400), bubbles: true, isPrimary: true}));
			}
			if (t < 2000) { requestAnimationFrame(step); return; }
			view.dispatchEvent(new PointerEvent('pointermove', {pointerId: 1, clientX: %[1]v + 100, clientY: %[2]v + 100, bubbles: true, isPrimary: true}));
			setTimeout(() => {
				const asked = performance.getEntriesByType('resource').filter((e) => e.name.includes('/turntable/frame')).sort((a, b) => a.startTime - b.startTime);
				done({Screens: screens, Pictures: pictures, Requests: asked.length, Moves: moves,
					Overlaps: asked.filter((e, i) => i > 0 && e.startTime < asked[i - 1].responseEnd - .2).length});
			}, 500);
		};
		requestAnimationFrame(step);
	})`, x, y))
	b.press(released, x, y)
	t.Logf("in 2 s of dragging: %d pictures for %d moves on %d screen frames, %d requests", r.Pictures, r.Moves, r.Screens, r.Requests)
	if r.Pictures == 0 || r.Requests == 0 || r.Requests > r.Pictures+1 {
		t.Errorf("%d pictures, %d requests", r.Pictures, r.Requests)
	}
	if r.Overlaps != 0 {
		t.Errorf("%d requests began before the one before had ended", r.Overlaps)
	}
	b.at(-40, -40, "cube")
}

// TestTurntableOffline: without the server the page says so, and goes on when
// it is back.
func TestTurntableOffline(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.turntable("?around=20&up=5")
	b.offline = true
	b.site.down.Store(true)
	eval[bool](b, "(document.querySelector('#view').focus(), true)")
	b.key(kb.ArrowLeft)
	b.wait("document.querySelector('#status').textContent.includes('cannot be reached')")
	b.site.down.Store(false)
	b.key(kb.ArrowLeft)
	b.at(18, 5, "cube")
	b.wait("document.querySelector('#status').textContent === ''")
}

func TestTurntableWithoutScripting(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), phone)
	b.noScript()
	b.open("/turntable")
	b.at0("Two-point")
	b.click(`[data-step="down"]`)
	b.at0("Three-point")
	eval[bool](b, "(document.querySelector('#around').value = 0, document.querySelector('#up').value = 0, document.querySelector('#box').value = 'slab', true)")
	b.click("#turn noscript button")
	b.at0("One-point")
	if q := eval[string](b, "location.search"); q != "?"+(url.Values{"around": {"0"}, "up": {"0"}, "box": {"slab"}}).Encode() && q != "?around=0&up=0&box=slab" {
		t.Errorf("the address is %s", q)
	}
	b.fits("turntable without scripting")
	b.shot("turntable-noscript")
	b.click(`[data-part="practise"] button`)
	b.wait("location.pathname.startsWith('/sheets/') && document.querySelector('#paper svg')")
}

func TestTurntablePractise(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.turntable("?around=30&up=0")
	b.click(`[data-step="up"]`)
	b.at(30, 5, "cube")
	b.click(`[data-part="practise"] button`)
	if x := b.exercise(); x.View != "three" || x.Kind != "finish" {
		t.Errorf("a sheet of %s, %s", x.Kind, x.View)
	}
}

func TestTurntableAxe(t *testing.T) {
	t.Parallel()
	for _, w := range []window{desktop, phone} {
		b := newTab(t, newSite(t), w)
		for _, dark := range []bool{false, true} {
			w.dark = dark
			b.resize(w)
			b.turntable("?around=30&up=-20")
			b.sound(fmt.Sprintf("turntable, %s, dark %v", w.name, dark))
		}
	}
}
