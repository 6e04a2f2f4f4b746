package page

import (
	"strconv"

	"boxwright/internal/drill"
)

// Practice is the page on which drill, view and level are chosen.
type Practice struct {
	Cards []Card
	Bands []Band
}

// Card offers one drill in one view.
type Card struct {
	Choice
	Key     string // unique on the page, fit for an id
	Name    string // "Finish the box"
	Seen    string // the view: "two-point"; "": the drill has none
	Words   string
	Picture string // SVG; "": none
	Levels  []Level
}

// Level is one level to choose.
type Level struct {
	Value  string
	Chosen bool
}

// option is one value of a setting, with its words.
type option struct{ Value, Words string }

// Band says what some levels have in common.
type Band struct{ Levels, Words string }

// Sample is what a card is made from: a drill, its view, the level to offer
// first and a small picture of such a sheet (SVG, may be empty).
type Sample struct {
	Kind    drill.Kind
	View    drill.View
	Level   int
	Picture string
}

// NewPractice makes the page that offers the given samples, in their order.
// A level outside drill.MinLevel to drill.MaxLevel is moved to the nearer end.
func NewPractice(samples []Sample) Practice {
	m := Practice{Bands: bands}
	for _, s := range samples {
		chosen := min(drill.MaxLevel, max(drill.MinLevel, s.Level))
		c := Card{
			Choice:  Choice{string(s.Kind), string(s.View), strconv.Itoa(chosen)},
			Key:     string(s.Kind) + "-" + string(s.View),
			Name:    drillName(s.Kind),
			Words:   skillWords(s.Kind, s.View),
			Picture: s.Picture,
		}
		if s.View != drill.None {
			c.Seen = viewName(s.View)
		}
		for l := drill.MinLevel; l <= drill.MaxLevel; l++ {
			c.Levels = append(c.Levels, Level{strconv.Itoa(l), l == chosen})
		}
		m.Cards = append(m.Cards, c)
	}
	return m
}

// bands says what the levels of finish give; common to its three views.
var bands = []Band{
	{"1 to 3", "Three edges or a whole face are given, and the vanishing points are shown, or pointed at where they lie off the sheet."},
	{"4 to 6", "One upright is given, with marks for where the next edges end."},
	{"7 and 8", "Fewer marks, the points farther away."},
	{"9 and 10", "No points, only the eye level is told: the points follow from the given edges."},
}

// skillWords says in one sentence what is practised.
func skillWords(k drill.Kind, v drill.View) string {
	switch {
	case k == drill.Join:
		return "Straight lines from dot to dot: shows how steady your hand is. No perspective in it."
	case v == drill.One:
		return "The box faces you: one set of edges runs to one point, the others stay level and upright."
	case v == drill.Two:
		return "The box is turned: width and depth each run to a point on the horizon, uprights stay upright."
	case v == drill.Three:
		return "You look down or up: uprights meet too, below or above."
	}
	return ""
}
