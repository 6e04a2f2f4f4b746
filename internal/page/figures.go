package page

import (
	"math"
	"strconv"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/sheet"
)

// boxFigures are the figures of a box besides its sets.
func boxFigures(x *drill.Exercise, g *grade.Grade) []Figure {
	var f []Figure
	if g.CornerGap != nil {
		f = append(f, Figure{"Corners", "close within " + millimetres(*g.CornerGap)})
	}
	if n := len(g.Missing); n > 0 {
		f = append(f, Figure{"Not drawn", count(n, "edge", "edges")})
	}
	if n := len(g.Unmatched); n > 0 {
		f = append(f, Figure{"No edge", count(n, "stroke", "strokes")})
	}
	if g.Proportions != nil && len(x.Boxes) > 0 {
		f = append(f, Figure{"Proportions", ratio(*g.Proportions) + ", true " + ratio(x.Boxes[0].Proportions)})
	}
	if g.HorizonError != nil {
		f = append(f, Figure{"Horizon", degrees(*g.HorizonError) + " off"})
	}
	return f
}

// handFigures are the figures of a join with these lines: the hand itself.
func handFigures(lines []grade.Line, g *grade.Grade) []Figure {
	if len(lines) == 0 {
		return nil
	}
	var bow, wobble, ends float64
	for _, l := range lines {
		bow += math.Abs(l.Bow)
		wobble += float64(l.Wobble * l.Wobble)
		ends += float64(l.StartGap*l.StartGap) + float64(l.EndGap*l.EndGap)
	}
	n := float64(len(lines))
	f := []Figure{}
	if g.RMS != nil {
		f = append(f, Figure{"Direction", "±" + degrees(*g.RMS)})
	}
	f = append(f,
		Figure{"Bow", millimetres(bow/n) + " on average"},
		Figure{"Wobble", millimetres(math.Sqrt(wobble / n))},
		Figure{"Ends", "within " + millimetres(math.Sqrt(ends/(2*n))) + " of the dots"},
	)
	if m := len(g.Missing); m > 0 {
		f = append(f, Figure{"Not drawn", count(m, "line", "lines")})
	}
	return f
}

// handFigure says what is known of the hand, or why this attempt adds
// nothing to it.
func handFigure(a *grade.Attempt, g *grade.Grade) Figure {
	v := "no history of your hand yet"
	if g.Hand != nil {
		v = "±" + degrees(*g.Hand) + " on a line of 80\u00a0mm"
	}
	if p := a.Input.Pointer; p != "" && !p.FreeHand() {
		v += "; this sheet was not drawn free-hand and is not counted to it"
	}
	return Figure{"Your hand", v}
}

// ratio prints proportions with the first as the unit: "1 : 1.02 : 0.97".
func ratio(p [3]float64) string {
	if !(p[0] > 0) {
		return ""
	}
	return "1 : " + fixed(p[1]/p[0], 2) + " : " + fixed(p[2]/p[0], 2)
}

// bandNote explains the shaded band of the strips.
func bandNote(hand *geom.Angle) string {
	if hand == nil {
		return "The shaded band is twice 1.5°, until enough lines have shown how steady your hand is."
	}
	return "The shaded band is twice your hand's own scatter, ±" + degrees(*hand) + "."
}

// lineRows makes the table behind the picture.
func lineRows(x *drill.Exercise, g *grade.Grade) []LineRow {
	rows := make([]LineRow, 0, len(g.Lines))
	seen := map[string]int{}
	for _, l := range matched(g) {
		name := "Line"
		if l.HasSet {
			name = capital(l.Set.String())
			if len(x.Boxes) > 1 {
				name += ", box " + strconv.Itoa(l.Box+1)
			}
		}
		seen[name]++
		r := LineRow{
			Name:        name + " " + strconv.Itoa(seen[name]),
			Length:      fixed(l.Length, 0) + " mm",
			Error:       sheet.Signed(l.Error),
			Uncertainty: "±" + degrees(l.ErrorSE),
			Miss:        "–",
			Outside:     l.Outside,
		}
		if l.Miss != nil {
			r.Miss = millimetres(*l.Miss)
		}
		rows = append(rows, r)
	}
	return rows
}
