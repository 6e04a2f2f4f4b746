package grade

import (
	"math"
	"testing"
)

// Every line of the worked views that are plain, fault-free drawings to read:
// the matched line's error equals the known one to 1e-6 degrees and its miss
// to 1e-6 of itself. (Measured in the drawing's own construction, station
// point and box; the exact strokes come with the views.)
func TestOfWorkedViews(t *testing.T) {
	plain := 0
	for _, d := range documents(t, "view-attempts.jsonl") {
		x, a := d.exercise(), d.attempt()
		g, err := Of(x, a, Hand{})
		if err != nil {
			t.Errorf("%s: %v", x.ID, err)
			continue
		}
		lines := map[string]Line{}
		for _, l := range g.Lines {
			lines[l.Edge] = l
		}
		bad := 0
		for i, w := range d.Truth.Lines {
			l, ok := lines[x.Edges[w.Edge].ID]
			if !ok || len(l.Strokes) != 1 || l.Strokes[0] != i {
				bad++
				if d.Truth.Plain {
					t.Errorf("%s: stroke %d is not edge %s: %+v", x.ID, i, x.Edges[w.Edge].ID, l)
				}
				continue
			}
			if e := l.Error.Degrees() - w.Error; !(math.Abs(e) <= 1e-6) {
				t.Errorf("%s edge %s: error %.9f deg, want %.9f", x.ID, l.Edge, l.Error.Degrees(), w.Error)
			}
			if (l.Miss == nil) != (w.Miss == nil) {
				t.Errorf("%s edge %s: miss %v, want %v", x.ID, l.Edge, l.Miss, w.Miss)
			} else if w.Miss != nil && !(math.Abs(*l.Miss-*w.Miss) <= 1e-6*math.Max(1e-3, *w.Miss)) {
				t.Errorf("%s edge %s: miss %.9f, want %.9f", x.ID, l.Edge, *l.Miss, *w.Miss)
			}
		}
		if d.Truth.Plain {
			plain++
			for k, s := range g.Sets {
				if !(math.Abs(s.RMS.Degrees()-d.Truth.Sets[k].RMS) < 1e-6) {
					t.Errorf("%s %v: rms %.9f, want %.9f", x.ID, s.Set, s.RMS.Degrees(), d.Truth.Sets[k].RMS)
				}
			}
			if len(g.Missing)+len(g.Unmatched) > 0 {
				t.Errorf("%s: missing %v, unmatched %v", x.ID, g.Missing, g.Unmatched)
			}
		} else {
			t.Logf("%s, not plain: %d of %d strokes matched otherwise", x.ID, bad, len(d.Truth.Lines))
		}
	}
	if plain < 40 {
		t.Errorf("only %d plain views", plain)
	}
}
