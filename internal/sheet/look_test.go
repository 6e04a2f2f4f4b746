package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// luminance of a colour laid over a ground at some opacity (WCAG 2.2,
// "relative luminance", formula from memory).
func luminance(hex, ground string, opacity float64) float64 {
	var sum float64
	for i, k := range []float64{.2126, .7152, .0722} {
		part := func(s string) float64 {
			v, err := strconv.ParseUint(s[1+2*i:3+2*i], 16, 8)
			if err != nil {
				panic(err)
			}
			return float64(v) / 255
		}
		c := opacity*part(hex) + (1-opacity)*part(ground)
		if c <= .04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+.055)/1.055, 2.4)
		}
		sum += k * c
	}
	return sum
}

func contrast(hex, ground string, opacity float64) float64 {
	a, b := luminance(hex, ground, opacity), luminance(ground, ground, 1)
	return (max(a, b) + .05) / (min(a, b) + .05)
}

// Text stands out from what it lies on by 4.5:1, lines by 3:1 (WCAG 2.2,
// 1.4.3 and 1.4.11). Exempt are what carries no meaning of its own: the
// paper's rim, and the glow under a line that is drawn besides; and the rays,
// which are meant to be faint and repeat what the true lines say, from 2:1.
func TestContrast(t *testing.T) {
	for s := range styles {
		h := looks[s]
		want := 3.
		switch s {
		case PaperEdge, MissingGlow:
			continue
		case Ray:
			want = 2
		case HorizonLabel, VanishingLabel, TargetLabel, SheetNote:
			want = 4.5
		}
		opacity := h.opacity
		if opacity == 0 {
			opacity = 1
		}
		for set := range hues {
			for _, ground := range []string{colourPaper, colourBoard} {
				if ground == colourBoard && s == InkConstruction {
					want = 2.5 // pale by intent, and seldom there
				}
				if c := contrast(colourOf(s, Hue(set)), ground, opacity); c < want {
					t.Errorf("%s of %s on %s: %.2f, want %.1f", h.class, hues[set].class, ground, c, want)
				}
			}
		}
	}
	if c := contrast("#FFFFFF", colourRed, 1); c < 4.5 {
		t.Errorf("pill: %.2f", c)
	}
}

// Colour is never the only sign: each set has its own dash.
func TestSetsDifferByDash(t *testing.T) {
	for _, s := range []Style{TrueLine, MissingLine, Ray, Tick} {
		seen := map[string]bool{}
		for h := Hue(1); int(h) < len(hues); h++ {
			seen[dashAttr(append([]float64{9}, dashOf(s, h)...), 1)] = true
		}
		if len(seen) != 3 {
			t.Errorf("%s: %d different dashes of 3 sets", looks[s].class, len(seen))
		}
	}
}

// Letters are never smaller than 3.2 mm, and larger where the sheet is small.
func TestLettersAreLegible(t *testing.T) {
	const least, narrow = 3.2, 7.5
	for name, d := range everything(t) {
		for _, l := range d.Layers {
			for _, g := range l.Groups {
				for _, m := range g.Marks {
					var size float64
					switch m := m.(type) {
					case Text:
						size = m.Size
					case Pill:
						size = m.Size
					default:
						continue
					}
					if size < least || g.Where == Narrow && size < narrow {
						t.Errorf("%s: %s has letters of %g mm", name, looks[g.Style].class, size)
					}
				}
			}
		}
	}
}

// extent returns the box of a text or pill, by the widths that placing uses.
func extent(m Mark) (r rect, ok bool) {
	switch m := m.(type) {
	case Pill:
		return box(m.At, m.Width, m.Height), true
	case Text:
		w, h := measure(m.Lines, m.Size)
		x := m.At.X
		switch m.Align {
		case Middle:
			x -= w / 2
		case End:
			x -= w
		}
		top := geom.Vec{X: x, Y: m.At.Y - .78*m.Size}
		return rect{top, top.Add(geom.Vec{X: w, Y: h})}, true
	}
	return rect{}, false
}

// collisions reports letters of d that leave their medium's room or cover
// others, in every medium.
func collisions(d Drawing) (faults []string) {
	for _, m := range media {
		room := m.room(d.Size).grow(.01, .01)
		var all []rect
		var said []string
		for _, l := range d.Layers {
			for _, g := range l.Groups {
				if g.Where&m.where == 0 {
					continue
				}
				for _, mk := range g.Marks {
					r, ok := extent(mk)
					if !ok {
						continue
					}
					class := looks[g.Style].class
					if g.Style != SheetNote && !(room.holds(r.Min) && room.holds(r.Max)) {
						faults = append(faults, fmt.Sprintf("medium %b: %s runs out of its room: %v", m.where, class, r))
					}
					for i, o := range all {
						if a := r.shared(o); a > .5 {
							faults = append(faults, fmt.Sprintf("medium %b: %s covers %s by %.1f mm²", m.where, class, said[i], a))
						}
					}
					all, said = append(all, r), append(said, class)
				}
			}
		}
	}
	return faults
}

// In every medium labels and pills stay inside it and off one another.
func TestLettersDoNotCollide(t *testing.T) {
	for name, d := range everything(t) {
		for _, f := range collisions(d) {
			t.Errorf("%s, %s", name, f)
		}
	}
}

// The same over many sheets as they are generated.
func TestGeneratedSheetsAreLegible(t *testing.T) {
	n := 0
	for _, k := range drill.Kinds {
		for _, v := range drill.Views(k) {
			for seed := range uint64(120) {
				level := 1 + int(seed)%drill.MaxLevel
				x, err := drill.New(k, v, level, seed)
				if err != nil {
					t.Fatal(err)
				}
				n++
				a, g := drawn(x, 2.5, false)
				for _, d := range []Drawing{Exercise(x), Redline(x, a, g)} {
					for _, f := range collisions(d) {
						t.Errorf("%s %s level %d seed %d, %s: %s", k, v, level, seed, d.Class, f)
					}
				}
			}
		}
	}
	if n < 400 {
		t.Errorf("only %d sheets looked at", n)
	}
}

func TestSigned(t *testing.T) {
	for _, c := range []struct {
		deg  float64
		want string
	}{{3.42, "+3.4°"}, {-2.6, "−2.6°"}, {.04, "0.0°"}, {-.04, "0.0°"}, {12, "+12.0°"}, {-90, "−90.0°"}, {math.NaN(), "–"}} {
		if got := Signed(geom.Degrees(c.deg)); got != c.want || strings.Contains(got, "-") {
			t.Errorf("%g: %q, want %q", c.deg, got, c.want)
		}
	}
}
