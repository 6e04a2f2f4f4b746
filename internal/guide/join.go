package guide

import (
	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// join tells how a straight line is drawn from dot to dot: there is nothing to
// construct, but a way to move.
func join(x *drill.Exercise) ([]Step, error) {
	if len(x.Targets) == 0 {
		return nil, unfixed("no dots")
	}
	line := func(t drill.Target, r Role) Line {
		return Line{Segment: geom.Segment{A: t.A, B: t.B}, Role: r}
	}
	ends := func(t drill.Target) []Dot {
		return []Dot{{At: t.A, Role: Given}, {At: t.B, Role: Given}}
	}
	first := x.Targets[0]
	var rest []Line
	for _, t := range x.Targets[1:] {
		rest = append(rest, line(t, Edge))
	}
	return []Step{
		{Text: "Find both dots of pair 1 and turn the sheet until the way from one to the other suits your arm.", Dots: ends(first)},
		{Text: "Set the pen on the first dot, look at the second one, and pass over the way lightly, without ink, a few times.",
			Lines: []Line{line(first, Construction)}},
		{Text: "Draw the line in one stroke from dot to dot, from the shoulder and not from the wrist, and stop on the dot.",
			Lines: []Line{line(first, Edge)}},
		{Text: "Draw the other pairs in the same way, each as one straight line with its eye on the far dot.", Lines: rest},
		{Text: "Check each line with a straight edge from dot to dot: it shows whether the line bows, and to which side."},
	}, nil
}
