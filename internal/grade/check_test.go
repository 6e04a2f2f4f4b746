package grade

import (
	"errors"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/ink"
)

// TestReach: a sample may lie three sheet widths off the sheet, in whatever
// direction.
func TestReach(t *testing.T) {
	x := &drill.Exercise{Sheet: drill.A4}
	for _, c := range []struct {
		x, y    float64
		pointer string // "": near enough
	}{
		{-891, 100, ""}, {-891.1, 100, "/strokes/0/x/1"}, {297 + 891, 210, ""}, {297 + 891.1, 210, "/strokes/0/x/1"},
		{0, -891, ""}, {0, -891.1, "/strokes/0/y/1"}, {297, 210 + 891, ""}, {297, 210 + 891.1, "/strokes/0/y/1"},
		{-630, -630, ""}, {-631, -631, "/strokes/0/x/1"}, {-600, 210 + 700, "/strokes/0/y/1"},
	} {
		err := Check(x, &Attempt{Strokes: []ink.Stroke{{X: []float64{5, c.x}, Y: []float64{5, c.y}}}})
		var input *ink.InputError
		switch {
		case c.pointer == "" && err != nil:
			t.Errorf("%g, %g: %v", c.x, c.y, err)
		case c.pointer != "" && (!errors.As(err, &input) || input.Pointer != c.pointer):
			t.Errorf("%g, %g: %v, want %s", c.x, c.y, err, c.pointer)
		}
	}
}
