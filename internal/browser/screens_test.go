package browser_test

import (
	"testing"
)

// sizes are the screens that every page is looked at on.
var sizes = []window{
	{name: "phone", width: 390, height: 844, scale: 1, touch: true},
	{name: "phone-side", width: 844, height: 390, scale: 1, touch: true},
	{name: "small-phone", width: 320, height: 568, scale: 1, touch: true},
	{name: "tablet", width: 820, height: 1180, scale: 1, touch: true},
	{name: "tablet-side", width: 1180, height: 820, scale: 1, touch: true},
	{name: "laptop", width: 1280, height: 800, scale: 1},
	{name: "desk", width: 1920, height: 1080, scale: 1},
	{name: "wall", width: 3840, height: 2160, scale: 1},
}

// measures is how a page lies in its window, in pixels.
type measures struct {
	Width, Height             float64 // of the window
	ScrollWidth, ScrollHeight float64
	Board, Paper, Block       rect
	Buttons                   []rect
	Outside                   []string // text or controls beyond the window's sides
}

type rect struct {
	ID                  string
	X, Y, Width, Height float64
}

func (r rect) right() float64  { return r.X + r.Width }
func (r rect) bottom() float64 { return r.Y + r.Height }

// within reports whether r lies in o, but for a rounding.
func (r rect) within(o rect) bool {
	return r.X >= o.X-1 && r.Y >= o.Y-1 && r.right() <= o.right()+1 && r.bottom() <= o.bottom()+1
}

const measure = `(() => {
	const rect = (e) => { const r = e.getBoundingClientRect(); return {ID: e.id || e.textContent.trim(), X: r.left, Y: r.top, Width: r.width, Height: r.height}; };
	// The board without the room that is kept for the panel.
	const board = () => { const e = document.querySelector('#board'); if (!e) return {ID: ''}; const r = rect(e), c = getComputedStyle(e), n = (k) => parseFloat(c['padding' + k]);
		return {...r, X: r.X + n('Left'), Y: r.Y + n('Top'), Width: r.Width - n('Left') - n('Right'), Height: r.Height - n('Top') - n('Bottom')}; };
	const one = (css) => { const e = document.querySelector(css); return e ? rect(e) : {ID: ''}; };
	const seen = (e) => e.checkVisibility({visibilityProperty: true}) && !e.closest('.unseen, .skip, .scroll') && getComputedStyle(e).clipPath === 'none';
	const d = document.documentElement;
	return {
		Width: innerWidth, Height: innerHeight, ScrollWidth: d.scrollWidth, ScrollHeight: d.scrollHeight,
		Board: board(), Paper: one('#paper'), Block: one('#block'),
		Buttons: [...document.querySelectorAll('button, a.button, select, summary')].filter(seen).map(rect),
		Outside: [...document.querySelectorAll('button, a, select, p, li, dt, dd, h1, h2, h3')].filter((e) => {
			const r = e.getBoundingClientRect();
			return seen(e) && r.width > 0 && (r.left < -1 || r.right > innerWidth + 1);
		}).map((e) => e.tagName + ' ' + e.textContent.trim().slice(0, 40)),
	};
})()`

// fits checks what holds of every page in every window: nothing sticks out to
// the side, and what is pressed is large enough for it.
func (b *tab) fits(what string) measures {
	b.Helper()
	m := eval[measures](b, measure)
	// A page too wide makes a phone zoom out, and its window wider.
	if w, h := float64(b.window.width), float64(b.window.height); m.Width != w || m.Height != h {
		b.Errorf("%s: the window has become %v by %v px", what, m.Width, m.Height)
		return m
	}
	if m.ScrollWidth > m.Width {
		b.Errorf("%s: %v px wide in a window of %v", what, m.ScrollWidth, m.Width)
	}
	for _, o := range m.Outside {
		b.Errorf("%s: beyond the window's side: %s", what, o)
	}
	least := 24.0
	if b.window.touch {
		least = 44
	}
	for i, r := range m.Buttons {
		if r.Height < least-0.5 && r.Width < least-0.5 || r.Width < 24 || r.Height < 24 {
			b.Errorf("%s: %q is %.0f by %.0f px", what, r.ID, r.Width, r.Height)
		}
		for _, o := range m.Buttons[:i] {
			if r.X+1 < o.right() && o.X+1 < r.right() && r.Y+1 < o.bottom() && o.Y+1 < r.bottom() {
				b.Errorf("%s: %q and %q overlap", what, r.ID, o.ID)
			}
		}
	}
	return m
}

// drawable checks that the page can be drawn on without moving it: all of it
// is in the window, and the sheet is as large as that allows.
func (b *tab) drawable(what string) {
	b.Helper()
	m := b.fits(what)
	all := rect{Width: m.Width, Height: m.Height}
	if m.ScrollHeight > m.Height {
		b.Errorf("%s: %v px high in a window of %v", what, m.ScrollHeight, m.Height)
	}
	if !m.Block.within(all) || !m.Board.within(all) || !m.Paper.within(m.Board) {
		b.Errorf("%s: block %v, board %v, paper %v do not lie in the window of %v by %v", what, m.Block, m.Board, m.Paper, m.Width, m.Height)
	}
	for _, r := range m.Buttons {
		if !r.within(all) {
			b.Errorf("%s: %q lies beyond the window: %v", what, r.ID, r)
		}
	}
	// The narrow board leaves 8 mm around the sheet; the wide one, on a
	// landscape board with room, a sixth of the sheet beside it and 14 mm
	// above and below. One of the two ways the sheet must fill it.
	across, down := 297.0/313, 210.0/226
	if m.Board.Width >= 854 && m.Board.Height >= 500 && m.Board.Width/m.Board.Height >= 4.0/3 {
		across, down = 0.75, 210.0/238
	}
	if m.Paper.Width < 0.99*across*m.Board.Width && m.Paper.Height < 0.99*down*m.Board.Height {
		b.Errorf("%s: a sheet of %.0f by %.0f px on a board of %.0f by %.0f", what, m.Paper.Width, m.Paper.Height, m.Board.Width, m.Board.Height)
	}
	b.Logf("%s: the sheet takes %.0f%% of the window", what, 100*m.Paper.Width*m.Paper.Height/(m.Width*m.Height))
}

// everywhere shows the page in the tab on every screen, by day and by lamp,
// and leaves a picture of each.
func (b *tab) everywhere(page string, check func(what string)) {
	b.Helper()
	for _, w := range sizes {
		for _, dark := range []bool{false, true} {
			w.dark = dark
			b.resize(w)
			eval[bool](b, `new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(r))).then(() =>
				Promise.all(document.getAnimations().map((a) => a.finished))).then(() => true)`)
			name := page + "-" + w.name
			if dark {
				name += "-dark"
			} else {
				check(name)
			}
			b.shot(name)
		}
	}
}

func TestScreens(t *testing.T) {
	t.Parallel()
	b := learner(t, desktop)
	b.everywhere("redline", func(what string) { b.fits(what) })

	b.resize(desktop)
	b.open("/")
	b.ready()
	for _, l := range answers(b.exercise())[:4] {
		b.pen(l.Segment)
	}
	b.everywhere("sheet", b.drawable)
	b.resize(desktop)
	b.click("#keys")
	b.wait("document.querySelector('#keysay').textContent.startsWith('Start ')")
	b.key("+") // no command: the bar stays as it is
	b.everywhere("keys", b.drawable)

	b.open("/practice")
	b.everywhere("practice", func(what string) { b.fits(what) })
	b.open("/progress")
	b.everywhere("progress", func(what string) { b.fits(what) })
}
