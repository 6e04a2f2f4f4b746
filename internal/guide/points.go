package guide

import (
	"fmt"
	"strings"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// level is the eye level as a line of the drawing: three sheets wide.
func level(x *drill.Exercise) Line {
	l := x.Horizon.Line.Normalised()
	foot := geom.Vec{X: x.Sheet.Width / 2, Y: x.Sheet.Height / 2}
	foot = foot.Sub(geom.Vec{X: l.A, Y: l.B}.Scale(l.Dist(foot)))
	d := geom.Vec{X: l.B, Y: -l.A}.Scale(1.5 * x.Sheet.Width)
	return Line{Segment: geom.Segment{A: foot.Sub(d), B: foot.Add(d)}, Role: Horizon}
}

// horizonStep begins every construction that has an eye level.
func horizonStep(x *drill.Exercise) Step {
	return Step{Text: "Start from the horizon: it is the eye level, and all level edges that recede meet on it.",
		Lines: []Line{level(x)}}
}

// name says which of the box's points that of set k is.
func (b *box) name(k perspective.Set) string {
	at, ok := b.points[k].Vec()
	if !ok {
		return "point at infinity"
	}
	if k == perspective.Height {
		if at.Y > b.x.Sheet.Height/2 {
			return "lower point"
		}
		return "upper point"
	}
	other, ok := b.points[perspective.Width+perspective.Depth-k].Vec()
	switch {
	case !ok:
		return "vanishing point"
	case at.X > other.X:
		return "right point"
	}
	return "left point"
}

// dot marks the point of set k.
func (b *box) dot(k perspective.Set) Dot {
	v, _ := b.points[k].Vec()
	return Dot{At: v, Role: Point, Label: b.name(k), HasSet: true, Set: k}
}

// rest of the sets, in words: what runs to no point.
func (b *box) parallel() string {
	lies := func(k perspective.Set) string {
		p := b.points[k]
		switch {
		case k == perspective.Height:
			return "uprights stay upright"
		case p.Y == 0:
			return k.String() + " stays level"
		}
		return k.String() + " stays parallel"
	}
	var s []string
	for _, k := range perspective.Sets {
		if b.have[k] && !b.points[k].Finite() {
			s = append(s, lies(k))
		}
	}
	return strings.Join(s, " and ")
}

// findPoints makes the steps in which the points are marked where they are
// shown, or found: a level set's where a given edge meets the horizon, that of
// the uprights where two of them meet.
func (b *box) findPoints() ([]Step, error) {
	var shown []perspective.Set
	var open []perspective.Set
	for _, k := range perspective.Sets {
		switch {
		case !b.have[k]:
			open = append(open, k)
		case b.points[k].Finite():
			shown = append(shown, k)
		}
	}
	var steps []Step
	found := map[perspective.Set][]Line{}
	for _, k := range open {
		lines, err := b.findPoint(k)
		if err != nil {
			return nil, err
		}
		found[k] = lines
	}
	if len(shown) > 0 {
		steps = append(steps, b.shownStep(shown))
	}
	// Names of level points need both of them, so the words come last.
	for _, k := range open {
		text := fmt.Sprintf("Extend the given %s edge lightly until it meets the horizon: there lies the %s, to which all %s edges run.", k, b.name(k), k)
		if k == perspective.Height {
			text = fmt.Sprintf("Extend the two given uprights lightly until they meet: there lies the %s, to which all uprights run.", b.name(k))
		}
		steps = append(steps, Step{Text: text, Lines: found[k], Dots: []Dot{b.dot(k)}})
	}
	return steps, nil
}

// shownStep points out the points that are drawn on the sheet.
func (b *box) shownStep(shown []perspective.Set) Step {
	s := Step{}
	var runs []string
	for _, k := range shown {
		what := k.String()
		if k == perspective.Height {
			what = "uprights"
		}
		verb := " runs to the "
		if k == perspective.Height {
			verb = " run to the "
		}
		runs = append(runs, what+verb+b.name(k))
		s.Dots = append(s.Dots, b.dot(k))
	}
	if p := b.parallel(); p != "" {
		runs = append(runs, p)
	}
	s.Text = "Mark the points: " + list(runs) + "."
	if len(shown) == 1 && b.name(shown[0]) == "vanishing point" {
		s.Text = fmt.Sprintf("Mark the vanishing point on the horizon: %s runs to it, %s.", shown[0], b.parallel())
	}
	return s
}

// list joins phrases with commas and an "and".
func list(s []string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	return strings.Join(s[:len(s)-1], ", ") + " and " + s[len(s)-1]
}

// findPoint finds the point of set k and returns the extended edges.
func (b *box) findPoint(k perspective.Set) ([]Line, error) {
	given := b.given(k)
	need := 1
	if k == perspective.Height {
		need = 2
	}
	if len(given) < need {
		return nil, unfixed("no %s point", k)
	}
	through := func(i int) geom.Line { s := b.segment(i); return geom.Through(s.A, s.B) }
	other := b.horizon
	if need == 2 {
		other = through(given[1])
	}
	p := geom.Meet(through(given[0]), other).Canonical()
	if !p.Finite() {
		return nil, unfixed("the %s edges do not meet", k)
	}
	b.points[k], b.have[k] = p, true
	var lines []Line
	for _, i := range given[:need] {
		c := perspective.Edges[i].Corners
		lines = append(lines, b.rail(k, c[0], c[1]))
	}
	return lines, nil
}
