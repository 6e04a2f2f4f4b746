package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"boxwright/internal/drill"
	"boxwright/internal/perspective"
	"boxwright/internal/sheet"
)

// Turntable is one position of the turntable, in words and pictures.
type Turntable struct {
	Around, Up           string // whole degrees, as in an address
	AroundWords, UpWords string
	Name                 string // of the view: "Two-point"
	Says                 string // which sets run to points
	View                 drill.View
	Picture, Plan, Side  string // SVG
	Rows                 []TurnRow
	Forms                []TurnForm
	Steps                []TurnStep
}

// TurnRow says of one set, or of the eye level or the box, how it lies.
type TurnRow struct {
	Class string // "set-width"; "": no set
	Name  string
	Words string
}

// TurnForm is a form of the box to choose.
type TurnForm struct {
	Value, Words string
	Chosen       bool
}

// TurnStep is a button that moves the line of sight; To is the address of the
// position it leads to.
type TurnStep struct{ Key, Words, Path, To string }

// Practice is what a sheet of this view is asked for with.
func (m Turntable) Practice() Choice {
	return Choice{Drill: string(drill.Finish), View: string(m.View), Level: strconv.Itoa(drill.MinLevel)}
}

// NewTurntable makes the model of a position.
func NewTurntable(v sheet.Turned) Turntable {
	m := Turntable{
		Around: strconv.Itoa(v.Around), Up: strconv.Itoa(v.Up),
		AroundWords: side(v.Around, "left", "right", "square-on"), UpWords: side(v.Up, "down", "up", "level"),
		View: turnView(v.Seen), Says: turnSays(v.Seen),
		Picture: v.Picture.SVG(), Plan: v.Plan.SVG(), Side: v.Side.SVG(),
		Rows: turnRows(v), Steps: turnSteps(v.Turn),
	}
	m.Name = capital(viewName(m.View))
	for _, f := range sheet.Forms {
		m.Forms = append(m.Forms, TurnForm{string(f), capital(string(f)), f == v.Form})
	}
	return m
}

// side says a signed number of degrees in words.
func side(d int, negative, positive, zero string) string {
	switch {
	case d < 0:
		return strconv.Itoa(-d) + "° " + negative
	case d > 0:
		return strconv.Itoa(d) + "° " + positive
	}
	return zero
}

// turnView names a picture by the number of sets that converge.
func turnView(p perspective.Picture) drill.View {
	return map[int]drill.View{1: drill.One, 2: drill.Two, 3: drill.Three}[p.FinitePoints()]
}

// turnSays says which sets run to points and how the others lie.
func turnSays(p perspective.Picture) string {
	var run, still []string
	for _, k := range perspective.Sets {
		if v := p.Points[k]; v.Finite() {
			run = append(run, k.String())
		} else {
			still = append(still, k.String()+" stays "+lie(v))
		}
	}
	verb := " run to their points"
	if len(run) == 1 {
		verb = " runs to its point"
	}
	said := capital(list(run) + verb)
	if len(still) > 0 {
		said += "; " + list(still)
	}
	return said + "."
}

// list joins words: "width, depth and height".
func list(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// turnRows says of each set how it stands to the picture plane and where its
// point lies, and how high the eye level is.
func turnRows(v sheet.Turned) []TurnRow {
	var rows []TurnRow
	for _, k := range perspective.Sets {
		r := TurnRow{Class: "set-" + k.String(), Name: capital(k.String()), Words: "0°, no point"}
		if at, ok := v.Seen.Points[k].Vec(); ok {
			off := at.Sub(v.Station.Principal)
			where := beside(off.X, "left", "right")
			if k == perspective.Height {
				where = beside(off.Y, "above", "below")
			}
			r.Words = fixed(v.Station.PlaneAngle(v.Box.Direction(k)).Degrees(), 0) + "°, point " + where
		}
		rows = append(rows, r)
	}
	// The horizon is level: its distance from the principal point is its height.
	rise := v.Station.Horizon().Dist(v.Station.Principal)
	level := "through the middle"
	if math.Abs(rise) >= .05 {
		level = beside(-rise, "above", "below") + " the middle"
	}
	return append(rows,
		TurnRow{Name: "Eye level", Words: level},
		TurnRow{Name: "Box", Words: "fills a cone of vision of " + fixed(v.Cone.Degrees(), 0) + "°"})
}

// beside says how far off the principal point something is, to which side.
func beside(mm float64, negative, positive string) string {
	switch {
	case math.Abs(mm) < .05:
		return "in the middle"
	case mm < 0:
		return metres(-mm) + " " + negative
	}
	return metres(mm) + " " + positive
}

// metres prints a length in whole millimetres, in metres from two on.
func metres(mm float64) string {
	if mm >= 2000 {
		return fixed(mm/1000, 1) + " m"
	}
	return fixed(mm, 0) + " mm"
}

// turnBy is the step of the buttons: they go to the next multiple of it, so
// that they meet every position at which a view's name changes.
const turnBy = 5

// turnSteps are the buttons: as links they work without any script.
func turnSteps(t sheet.Turn) []TurnStep {
	next := func(d, by int) int {
		if by > 0 {
			return int(math.Floor(float64(d)/turnBy))*turnBy + turnBy
		}
		return int(math.Ceil(float64(d)/turnBy))*turnBy - turnBy
	}
	around := func(by int) string {
		a := next(t.Around, by)
		if a > sheet.MaxAround || a < -sheet.MaxAround {
			a -= 2 * sheet.MaxAround * by // all the way round
		}
		return turnAddress(sheet.Turn{Around: a, Up: t.Up, Form: t.Form})
	}
	up := func(by int) string {
		u := min(sheet.MaxUp, max(-sheet.MaxUp, next(t.Up, by)))
		return turnAddress(sheet.Turn{Around: t.Around, Up: u, Form: t.Form})
	}
	return []TurnStep{
		{"left", "Around to the left", "m15 5-7 7 7 7", around(-1)},
		{"right", "Around to the right", "m9 5 7 7-7 7", around(1)},
		{"down", "Look down", "m5 9 7 7 7-7", up(-1)},
		{"up", "Look up", "m5 15 7-7 7 7", up(1)},
	}
}

// turnAddress is the address of a position.
func turnAddress(t sheet.Turn) string {
	return fmt.Sprintf("/turntable?around=%d&up=%d&box=%s", t.Around, t.Up, t.Form)
}
