// Package guide shows how an exercise is constructed, step by step as one
// draws it on the wall: horizon, points, first face or upright, light
// construction lines through to the points, far uprights or edges, hidden
// edges, a check.
//
// A construction starts from what the learner is given and told, and every
// further place is where two lines cross: nothing is read off the answers.
// The words are those of the trade (common practice); constructions that a
// handbook teaches name it.
package guide

import (
	"errors"
	"fmt"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// What Of refuses.
var (
	// ErrKind: there is no construction for the kind of exercise.
	ErrKind = errors.New("guide: no guide for this drill")
	// ErrGivens: what is given does not fix what is asked.
	ErrGivens = errors.New("guide: the givens do not fix the drawing")
)

// Role says what a line or dot of a construction is.
type Role uint8

// The roles.
const (
	Given        Role = iota // drawn for the learner; the step starts from it
	Horizon                  // the eye level
	Construction             // light, run through to its point
	Edge                     // firm
	Hidden                   // firm, behind the box
	Point                    // a vanishing, measuring, distance or station point
	Corner                   // where lines cross
)

// Line is one line that a step adds, in millimetres on the sheet. It may run
// far off the sheet.
type Line struct {
	geom.Segment
	Role   Role
	HasSet bool // it belongs to the set Set
	Set    perspective.Set
}

// Dot is one place that a step finds or points out.
type Dot struct {
	At     geom.Vec
	Role   Role   // Given, Point or Corner
	Label  string // "": none
	HasSet bool   // it is a point of the set Set
	Set    perspective.Set
}

// Step is one step of a construction: a sentence, and what it adds to what
// the steps before it drew.
type Step struct {
	Text  string
	Lines []Line
	Dots  []Dot
}

// Of returns the steps of x's construction. The error wraps ErrKind or
// ErrGivens.
func Of(x *drill.Exercise) ([]Step, error) {
	course, ok := courses[x.Kind]
	if !ok {
		return nil, fmt.Errorf("%w: %q", ErrKind, x.Kind)
	}
	return course(x)
}

// courses are the constructions, by kind.
var courses = map[drill.Kind]func(*drill.Exercise) ([]Step, error){
	drill.Join:   join,
	drill.Finish: finish,
}

// Has reports whether exercises of kind k have a guide.
func Has(k drill.Kind) bool { return courses[k] != nil }

func unfixed(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrGivens, fmt.Sprintf(format, args...))
}
