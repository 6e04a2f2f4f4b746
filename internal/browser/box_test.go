package browser_test

import (
	"math"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// roomy is large enough that pixels do not matter: at 3 px per mm and more,
// and with 30 samples to a line, the direction of a 20 mm line is known to
// some hundredths of a degree, so that 3.0 cannot read 2.9 or 3.1.
var roomy = window{name: "roomy", width: 1920, height: 1080, scale: 1}

// graded is the part of an attempt's document that the tests read.
type graded struct {
	Attempt struct {
		Attempt string
		Input   struct{ Pointer string }
		Strokes []struct {
			Role, By   string
			X, Y, T, P []float64
		}
	}
	Grade struct {
		Score   int
		RMS     float64 `json:"rms_error_deg"`
		Missing []string
		Lines   []struct {
			Edge, Set string
			Error     float64 `json:"error_deg"`
		}
	}
}

// attempt returns what the server keeps of the attempt on the page.
func (b *tab) attempt() graded {
	b.Helper()
	return eval[graded](b, "fetch('/api/v1/attempts/' + document.querySelector('#desk').dataset.attempt).then((r) => r.json())")
}

// set is what the panel says of a set of edges.
func (b *tab) set(name string) string {
	b.Helper()
	return strings.TrimSpace(b.text(".sets .set-" + name + " p"))
}

// countMoves lets the page count the move events of the pen and the samples
// that the browser put into them.
const countMoves = `(window.moves = {events: 0, samples: 0}, document.addEventListener('pointermove', (e) => {
	if (e.buttons === 0) return;
	moves.events++;
	moves.samples += e.getCoalescedEvents().length;
}, {capture: true}), true)`

func TestWidthLinesThreeDegreesOff(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t), roomy)
	b.open("/")
	b.ready()
	x := b.exercise()
	if x.View != drill.Two {
		t.Fatalf("the first sheet is a %s-point view", x.View)
	}
	eval[bool](b, countMoves)
	want := map[string]float64{}
	for _, l := range answers(x) {
		s := l.Segment
		if l.set == "width" {
			s = off(s, 3)
			want[l.id] = 3
		}
		b.pen(s)
	}
	if len(want) < 2 {
		t.Fatalf("the sheet asks for %d width lines", len(want))
	}
	moves := eval[struct{ Events, Samples int }](b, "moves")
	b.handIn()

	if got := b.set("width"); !strings.Contains(got, "3.0° off") {
		t.Errorf("width reads %q, want 3.0°", got)
	}
	for _, set := range []string{"depth", "height"} {
		if got := b.set(set); !strings.Contains(got, " 0.0° off") {
			t.Errorf("%s reads %q, want 0.0°", set, got)
		}
	}
	doc := b.attempt()
	if len(doc.Grade.Missing) != 0 || len(doc.Grade.Lines) != len(answers(x)) {
		t.Errorf("missing %v, %d lines", doc.Grade.Missing, len(doc.Grade.Lines))
	}
	for _, l := range doc.Grade.Lines {
		if math.Abs(l.Error-want[l.Edge]) > 0.05 {
			t.Errorf("%s: %.3f° off, want %.0f°", l.Edge, l.Error, want[l.Edge])
		}
	}
	doc.checkPen(t, moves.Events)
	if moves.Samples < 9*steps {
		t.Errorf("the browser told %d samples of the %d sent", moves.Samples, 9*steps)
	}
	b.opensAgain()
}

// checkPen checks what is kept of a drawing made with the pen: times,
// pressures, and every sample, also those that came together in one event.
func (g graded) checkPen(t *testing.T, events int) {
	t.Helper()
	if g.Attempt.Input.Pointer != "pen" {
		t.Errorf("drawn with %q", g.Attempt.Input.Pointer)
	}
	samples := 0
	for i, s := range g.Attempt.Strokes {
		if len(s.T) != len(s.X) || len(s.P) != len(s.X) {
			t.Fatalf("stroke %d: %d x, %d times, %d pressures", i, len(s.X), len(s.T), len(s.P))
		}
		if len(s.X) < steps+1 {
			t.Errorf("stroke %d: %d samples of %d sent", i, len(s.X), steps+1)
		}
		if s.P[0] == s.P[len(s.P)/2] || s.T[0] == s.T[len(s.T)-1] {
			t.Errorf("stroke %d: pressure or time stand still", i)
		}
		samples += len(s.X) - 1 // the first is where the pen came down
	}
	if events >= samples {
		t.Errorf("%d move events told %d samples: none came together", events, samples)
	}
}

// opensAgain checks that the redline's own address shows the same picture and
// panel as the redline over the sheet, and that the tab is at that address.
func (b *tab) opensAgain() {
	b.Helper()
	const parts = `[document.querySelector('#paper > svg'), document.querySelector('#panel'), document.querySelector('#block')].map((e) => e.innerHTML.replace(/\s+/g, ' '))`
	path := "/attempts/" + eval[string](b, "document.querySelector('#desk').dataset.attempt")
	before := eval[[]string](b, parts)
	if at := eval[string](b, "location.pathname"); at != path {
		b.Errorf("the address is %s, not %s", at, path)
	}
	b.open(path)
	b.wait("document.body.dataset.page === 'attempt' && document.readyState === 'complete'")
	for i, after := range eval[[]string](b, parts) {
		if after != before[i] || len(after) < 100 {
			b.Errorf("part %d is another at the redline's own address:\n%s\n%s", i, before[i], after)
		}
	}
}

// TestEveryViewEveryPointer draws each kind of sheet true, each with another
// pointer.
func TestEveryViewEveryPointer(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind   drill.Kind
		view   drill.View
		level  int
		window window
		draw   func(*tab, geom.Segment)
		by     string
	}{
		{drill.Finish, drill.One, 4, desktop, (*tab).mouse, "mouse"},
		{drill.Finish, drill.Two, 6, phone, (*tab).finger, "touch"},
		{drill.Finish, drill.Three, 8, tablet, (*tab).pen, "pen"},
		{drill.Join, drill.None, 5, tablet, (*tab).finger, "touch"},
	} {
		t.Run(string(c.kind)+" "+string(c.view)+" "+c.by, func(t *testing.T) {
			t.Parallel()
			b := newTab(t, newSite(t), c.window)
			x := b.issue(c.kind, c.view, c.level)
			for _, l := range answers(x) {
				c.draw(b, l.Segment)
			}
			b.handIn()
			doc := b.attempt()
			if g := doc.Grade; len(g.Missing) != 0 || len(g.Lines) != len(answers(x)) || g.RMS > 0.3 || g.Score < 90 {
				t.Errorf("drawn true: missing %v, %d lines, %.2f° off, score %d", g.Missing, len(g.Lines), g.RMS, g.Score)
			}
			if got := doc.Attempt.Input.Pointer; got != c.by {
				t.Errorf("drawn with %s, kept as %s", c.by, got)
			}
			if n := eval[int](b, "document.querySelectorAll('#paper .pill').length"); n != 0 {
				t.Errorf("%d marks on a true drawing", n)
			}
			b.opensAgain()
		})
	}
}
