package sheet

import (
	"fmt"
	"math"
	"strings"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// Signed writes an angle in degrees with its sign and one decimal, such as
// "+3.4°" or, with a proper minus sign, "−2.6°". What rounds to nothing has
// no sign.
func Signed(a geom.Angle) string {
	d := a.Degrees()
	if math.IsNaN(d) || math.IsInf(d, 0) {
		return "–"
	}
	s := fmt.Sprintf("%.1f°", math.Abs(d))
	switch {
	case s == "0.0°":
		return s
	case d < 0:
		return "−" + s
	}
	return "+" + s
}

// PointName says which vanishing point p is as the learner sees it: "left
// point" and "right point" on the horizon, "upper point" and "lower point"
// for uprights, plain "vanishing point" where it is the only level one. Left
// and right go by the other level point where that is shown too, else by the
// sheet's middle.
func PointName(x *drill.Exercise, p drill.Point) string {
	at, ok := p.At.Vec()
	if !ok {
		return "point at infinity"
	}
	if p.Set == perspective.Height {
		if at.Y > x.Sheet.Height/2 {
			return "lower point"
		}
		return "upper point"
	}
	if x.View == drill.One {
		return "vanishing point"
	}
	other, level := x.Sheet.Width/2, false
	for _, q := range x.Points {
		if q.Box != p.Box || q.Set == p.Set || q.Set == perspective.Height || !q.At.Finite() {
			continue
		}
		if v, _ := q.At.Vec(); q.Shown || !p.Shown {
			other, level = v.X, true
		}
	}
	if !level && x.View == drill.None {
		return "vanishing point"
	}
	if at.X > other {
		return "right point"
	}
	return "left point"
}

// past says how far off something is: whole millimetres, metres from two on.
func past(mm float64) string {
	switch {
	case !(mm < 1e6): // no drawing needs it
		return "over 1 km"
	case mm >= 2000:
		return fmt.Sprintf("%.1f m", mm/1000)
	}
	return fmt.Sprintf("%.0f mm", mm)
}

// The words for drills and views, as pages say them.
var (
	drillWords = map[drill.Kind]string{drill.Join: "Join the dots", drill.Finish: "Finish the box"}
	viewWords  = map[drill.View]string{drill.One: "one-point", drill.Two: "two-point", drill.Three: "three-point"}
)

// name says what the sheet is, such as "Finish the box, two-point, level 4".
func name(x *drill.Exercise) string {
	w := drillWords[x.Kind]
	if w == "" {
		w = "Sheet"
	}
	if v := viewWords[x.View]; v != "" {
		w += ", " + v
	}
	return fmt.Sprintf("%s, level %d", w, x.Level)
}

// describe says in words what the learner is shown.
func describe(x *drill.Exercise) string {
	var said []string
	edges, dots := 0, len(x.Marks)
	for _, e := range x.Edges {
		if e.Given {
			edges++
		}
	}
	if n := len(x.Targets); n > 0 {
		said = append(said, fmt.Sprintf("%d pairs of numbered dots to join.", n))
	}
	if x.Horizon != nil && x.Horizon.Shown {
		said = append(said, "The eye level is drawn.")
	}
	paper := frame(x.Sheet, Print)
	for _, p := range x.Points {
		at, ok := p.At.Vec()
		if !p.Shown || !ok {
			continue
		}
		where := "on the sheet"
		if d := paper.dist(at); d > 0 {
			where = past(d) + " past the sheet"
		}
		said = append(said, fmt.Sprintf("The %s, for %s, lies %s.", PointName(x, p), p.Set, where))
	}
	if edges > 0 {
		said = append(said, count(edges, "edge is given.", "edges are given."))
	}
	if dots > 0 {
		said = append(said, count(dots, "corner is marked by a dot.", "corners are marked by dots."))
	}
	return strings.Join(said, " ")
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
