package browser_test

import (
	"testing"

	"github.com/chromedp/cdproto/input"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

const (
	touchStart  = input.DispatchTouchEventTypeTouchStart
	touchMove   = input.DispatchTouchEventTypeTouchMove
	touchEnd    = input.DispatchTouchEventTypeTouchEnd
	touchCancel = input.DispatchTouchEventTypeTouchCancel
)

// along are places on a line, from its start to its end.
func along(s geom.Segment, n int) []geom.Vec {
	var out []geom.Vec
	for i := range n {
		out = append(out, s.A.Add(s.B.Sub(s.A).Scale(float64(i)/float64(n-1))))
	}
	return out
}

// event sends one mouse or pen event at a place on the sheet.
func (b *tab) event(kind input.DispatchMouseEventPointerType, typ input.DispatchMouseEventType, button input.MouseButton, buttons int64, at geom.Vec) {
	b.Helper()
	x, y := b.paper().px(at)
	b.pause(0.02)
	call(b, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: typ, X: x, Y: y, Button: button, Buttons: buttons,
		PointerType: kind, ClickCount: 1, Force: 0.5, Timestamp: b.hour(0)})
}

func TestACancelledPointerLeavesNothing(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), tablet)
	b.issue(drill.Finish, drill.Two, 3)
	b.finger(some[0])
	b.has(1)
	for i, at := range along(some[1], 6) {
		b.pause(0.05)
		if i == 0 {
			b.touch(touchStart, at)
		} else {
			b.touch(touchMove, at)
		}
	}
	b.wait(sheetModule + ".then((m) => m.sheet.busy())")
	b.touch(touchCancel)
	b.wait(sheetModule + ".then((m) => !m.sheet.busy())")
	b.has(1)
	b.finger(some[2])
	b.has(2)
}

func TestASecondFingerIsIgnored(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), tablet)
	b.issue(drill.Finish, drill.Two, 3)
	one, two := along(some[0], 8), along(some[1], 8)
	for i := range one {
		b.pause(0.05)
		switch {
		case i == 0:
			b.touch(touchStart, one[0])
		case i < 3:
			b.touch(touchMove, one[i])
		case i == 3:
			b.touch(touchStart, one[i], two[i])
		default:
			b.touch(touchMove, one[i], two[i])
		}
	}
	b.touch(touchEnd)
	b.has(1)
	b.still()
	b.handIn()
	s := b.attempt().Attempt.Strokes[0]
	for i := range s.X {
		if d := (some[0]).Dist(geom.Vec{X: s.X[i], Y: s.Y[i]}); d > 1 {
			t.Fatalf("sample %d lies %.1f mm off the first finger's line", i, d)
		}
	}
}

// TestThePalmIsIgnored: while a pen is in use, and shortly after, fingers do
// not draw; later they do again.
func TestThePalmIsIgnored(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), tablet)
	b.issue(drill.Finish, drill.Two, 3)

	// The palm comes down before the pen: what it had begun is dropped.
	b.pause(0.05)
	b.touch(touchStart, some[1].A)
	b.pause(0.05)
	b.touch(touchMove, geom.Mid(some[1].A, some[1].B))
	b.event(pen, pressed, left, 1, some[0].A)
	b.event(pen, moved, left, 1, geom.Mid(some[0].A, some[0].B))
	b.pause(0.05)
	b.touch(touchMove, some[1].B)
	b.event(pen, moved, left, 1, some[0].B)
	b.event(pen, released, left, 0, some[0].B)
	b.pause(0.05)
	b.touch(touchEnd)
	b.has(1)

	b.finger(some[2])
	b.has(1)
	b.pause(1.5)
	b.finger(some[2])
	b.has(2)
	b.handIn()
	for i, s := range b.attempt().Attempt.Strokes {
		if end := (geom.Vec{X: s.X[0], Y: s.Y[0]}); end.Sub(some[2*i].A).Len() > 1 {
			t.Errorf("line %d starts at %v, not %v", i, end, some[2*i].A)
		}
	}
}

// TestHastyTouches: a touch that hardly lasts or moves was not meant.
func TestHastyTouches(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), tablet)
	b.issue(drill.Finish, drill.Two, 3)
	b.pause(0.1)
	b.touch(touchStart, some[0].A)
	b.clock += 0.01
	b.touch(touchMove, some[0].B)
	b.clock += 0.02
	b.touch(touchEnd)
	b.pause(0.1)
	b.touch(touchStart, some[1].A)
	b.pause(0.1)
	b.touch(touchMove, some[1].A.Add(geom.Vec{X: 1}))
	b.pause(0.1)
	b.touch(touchEnd)
	b.finger(some[2])
	b.has(1)
}

func TestOtherButtonsDrawNothing(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), desktop)
	b.issue(drill.Finish, drill.Two, 3)
	for _, c := range []struct {
		button  input.MouseButton
		buttons int64
	}{{input.MouseButtonRight, 2}, {input.MouseButtonMiddle, 4}} {
		b.event(mouse, pressed, c.button, c.buttons, some[0].A)
		b.event(mouse, moved, c.button, c.buttons, geom.Mid(some[0].A, some[0].B))
		b.event(mouse, moved, c.button, c.buttons, some[0].B)
		b.event(mouse, released, c.button, 0, some[0].B)
	}
	b.mouse(some[1])
	b.has(1)
}

// still checks that the page lies where it lay: not scrolled, not zoomed.
func (b *tab) still() {
	b.Helper()
	type view struct{ X, Y, Left, Top, Scale float64 }
	got := eval[view](b, "((v) => ({X: scrollX, Y: scrollY, Left: v.offsetLeft, Top: v.offsetTop, Scale: v.scale}))(visualViewport)")
	if got != (view{Scale: 1}) {
		b.Errorf("the page moved under the pen: %+v", got)
	}
}

// TestThePageStaysUnderTheHand: dragging, pinching and turning the wheel on
// the board move nothing, even in a window too small for the page.
func TestThePageStaysUnderTheHand(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), phone)
	b.issue(drill.Finish, drill.Two, 3)
	b.finger(geom.Segment{A: geom.Vec{X: 150, Y: 180}, B: geom.Vec{X: 150, Y: 20}})
	b.still()
	for i := range 8 { // two fingers, moving apart
		b.pause(0.05)
		d := geom.Vec{X: float64(10 * (i + 1)), Y: float64(6 * (i + 1))}
		mid := geom.Vec{X: 148, Y: 105}
		typ := touchMove
		if i == 0 {
			typ = touchStart
		}
		b.touch(typ, mid.Add(d), mid.Sub(d))
	}
	b.touch(touchEnd)
	b.still()
	x, y := b.paper().px(geom.Vec{X: 150, Y: 100})
	call(b, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: input.DispatchMouseEventTypeMouseWheel, X: x, Y: y, DeltaX: 1, DeltaY: 300})
	b.still()
}
