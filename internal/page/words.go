package page

import (
	"math"
	"strconv"
	"strings"
	"time"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
	"boxwright/internal/sheet"
)

// minus is the sign of negative numbers in text.
const minus = "−"

// drillName is the name of a drill as pages show it; an unknown one is shown
// as it is.
func drillName(k drill.Kind) string {
	switch k {
	case drill.Join:
		return "Join the dots"
	case drill.Finish:
		return "Finish the box"
	}
	return string(k)
}

// viewName is the name of a view as pages show it.
func viewName(v drill.View) string {
	switch v {
	case drill.One, drill.Two, drill.Three:
		return string(v) + "-point"
	case drill.None:
		return "no points"
	}
	return string(v)
}

// skillName names a drill and its view in one phrase.
func skillName(k drill.Kind, v drill.View) string {
	if v == drill.None || v == "" {
		return drillName(k)
	}
	return drillName(k) + ", " + viewName(v)
}

// fixed prints v with the given number of decimals and a true minus sign;
// what rounds to zero carries no sign.
func fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	if v < 0 && strings.Trim(s, "0.") != "" {
		return minus + s
	}
	return s
}

// degrees prints an angle's size: "1.6°".
func degrees(a geom.Angle) string { return fixed(math.Abs(a.Degrees()), 1) + "°" }

// millimetres prints a length: "1.9 mm", without decimals from 100 mm on.
func millimetres(v float64) string {
	if math.Abs(v) >= 99.95 {
		return fixed(v, 0) + " mm"
	}
	return fixed(v, 1) + " mm"
}

// count prints n with its noun: "1 line", "3 lines".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// day prints a date: "4 May 2026"; the zero time is "".
func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2 January 2006")
}

// capital returns s with its first letter, if it is a–z, as a capital.
func capital(s string) string {
	if s != "" && 'a' <= s[0] && s[0] <= 'z' {
		return string(s[0]-'a'+'A') + s[1:]
	}
	return s
}

// destination says where a set runs: to a point, with toward true, named as
// the redline's own labels name it, or how it lies on the sheet when its
// point is at infinity. A set whose point the exercise does not list gives "".
func destination(x *drill.Exercise, box int, k perspective.Set) (words string, toward bool) {
	p, ok := x.Point(box, k)
	if !ok {
		return "", false
	}
	if !p.At.Finite() {
		return lie(p.At), false
	}
	return sheet.PointName(x, p), true
}

// lie says how lines toward a point at infinity lie on the sheet.
func lie(p geom.Point) string {
	const near = 0.5 // degrees: what the eye takes for level or upright
	a := math.Abs(math.Atan2(p.Y, p.X)) * 180 / math.Pi
	switch {
	case a < near || a > 180-near:
		return "level"
	case math.Abs(a-90) < near:
		return "upright"
	}
	return "parallel"
}

// hue is the colour and dash of a set by its name; "" is no set.
func hue(set string) sheet.Hue {
	for _, k := range perspective.Sets {
		if k.String() == set {
			return sheet.HueOf(k)
		}
	}
	return sheet.NoSet
}
