package browser_test

import (
	"testing"

	"boxwright/internal/drill"
)

// choose picks an option of a setting, as the page's own control would.
func (b *tab) choose(setting, value string) {
	b.Helper()
	eval[bool](b, `((s) => (s.value = '`+value+`', s.dispatchEvent(new Event('change', {bubbles: true})), s.value === '`+value+`'))(document.querySelector('[data-setting=`+setting+`]'))`)
}

// left is where an element begins, in pixels.
func (b *tab) left(css string) float64 {
	b.Helper()
	return eval[float64](b, "document.querySelector('"+css+"').getBoundingClientRect().left")
}

// colour is the computed background of the page.
func (b *tab) colour() string {
	b.Helper()
	return eval[string](b, "getComputedStyle(document.body).backgroundColor")
}

func TestLeftHanded(t *testing.T) {
	t.Parallel()
	for _, w := range []window{desktop, phone} {
		t.Run(w.name, func(t *testing.T) {
			t.Parallel()
			b := newTab(t, newSite(t), w)
			x := b.issue(drill.Finish, drill.Two, 2)
			if b.left("#undo") > b.left("#handin") {
				t.Error("for the right hand, Hand in is not on the right")
			}
			b.open("/practice")
			b.choose("hand", "left")
			b.open("/sheets/" + x.ID)
			b.ready()
			if b.left("#undo") < b.left("#handin") {
				t.Error("for the left hand, the block is not mirrored")
			}
			b.shot("left-" + w.name + "-sheet")
			b.drawn(x, 4)
			if w == desktop && b.left("#panel") > b.left("#board") {
				t.Error("for the left hand, the panel is not on the left")
			}
			b.shot("left-" + w.name + "-redline")
			b.open("/practice")
			b.choose("hand", "right")
			b.open("/sheets/" + x.ID)
			b.ready()
			if b.left("#undo") > b.left("#handin") {
				t.Error("the block stays mirrored")
			}
		})
	}
}

func TestTheme(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.open("/practice")
	day := b.colour()
	b.choose("theme", "dark")
	lamp := b.colour()
	if day == lamp {
		t.Fatalf("the lamp changes nothing: %s", lamp)
	}
	b.open("/")
	b.ready()
	if c := b.colour(); c != lamp {
		t.Errorf("on the next page it is %s, not %s", c, lamp)
	}
	ink := eval[string](b, sheetModule+".then((m) => m.sheet.paper.look.boardEdge)")
	dark := desktop
	dark.dark = true
	b.resize(dark)
	b.open("/practice")
	b.choose("theme", "light")
	if c := b.colour(); c != day {
		t.Errorf("against the system's wish it is %s, not %s", c, day)
	}
	b.choose("theme", "auto")
	if c := b.colour(); c != lamp {
		t.Errorf("as the system wishes it is %s, not %s", c, lamp)
	}
	b.resize(desktop)
	b.open("/")
	b.ready()
	if now := eval[string](b, sheetModule+".then((m) => m.sheet.paper.look.boardEdge)"); now == ink {
		t.Errorf("ink on the board is %s by day and by lamp", ink)
	}
}
