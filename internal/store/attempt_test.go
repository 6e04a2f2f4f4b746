package store

import (
	"errors"
	"reflect"
	"sync"
	"testing"
	"time"
)

func TestAttemptComesBack(t *testing.T) {
	s := open(t, t.TempDir())
	x := issue(t, s, sheet(guest(t, s, 1), "one"))
	full := drawing(x, 1)
	bare := drawing(x, 2)
	bare.Started, bare.RMS, bare.Lines, bare.Sets, bare.ScatterSumSq, bare.ScatterDOF = time.Time{}, nil, 0, nil, 0, 0
	for _, want := range []Attempt{full, bare} {
		if got := add(t, s, want); !reflect.DeepEqual(got, want) {
			t.Errorf("answer %+v\nwant %+v", got, want)
		}
		got, err := s.Attempt(t.Context(), x.Learner, want.ID)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("got %+v, %v\nwant %+v", got, err, want)
		}
	}
	if n, err := s.AttemptCount(t.Context(), x.Learner); n != 2 || err != nil {
		t.Errorf("%d attempts, %v", n, err)
	}
	for i, want := range []Attempt{full, bare} {
		if n, err := s.AttemptNumber(t.Context(), x.Learner, want.ID); n != i+1 || err != nil {
			t.Errorf("attempt %d is number %d, %v", i+1, n, err)
		}
	}
	if n, err := s.AttemptNumber(t.Context(), x.Learner+1, full.ID); n != 0 || err != nil {
		t.Errorf("another's attempt is number %d, %v", n, err)
	}
	sound(t, s)
}

func TestAttemptIsItsOwners(t *testing.T) {
	s := open(t, t.TempDir())
	mine := issue(t, s, sheet(guest(t, s, 1), "mine"))
	other := guest(t, s, 2)
	a := add(t, s, drawing(mine, 1))
	if got, err := s.Attempt(t.Context(), other, a.ID); !errors.Is(err, ErrNotFound) || got.ID != "" {
		t.Errorf("another's attempt: %+v, %v", got, err)
	}
	if list, err := s.Attempts(t.Context(), other, time.Time{}, 0); len(list) != 0 || err != nil {
		t.Errorf("another's list: %+v, %v", list, err)
	}
	b := drawing(mine, 2)
	b.Learner = other
	if _, _, err := s.AddAttempt(t.Context(), b); !errors.Is(err, ErrNotFound) {
		t.Errorf("on another's sheet: %v", err)
	}
	b = drawing(mine, 2)
	b.Exercise = "no such"
	if _, _, err := s.AddAttempt(t.Context(), b); !errors.Is(err, ErrNotFound) {
		t.Errorf("on no sheet: %v", err)
	}
	if n := countRows(t, s, "attempt"); n != 1 {
		t.Errorf("%d attempts are stored", n)
	}
}

// TestAttemptAgain: the same drawing again is answered with the stored one,
// whatever else has changed; anything else under its id is a conflict.
func TestAttemptAgain(t *testing.T) {
	s := open(t, t.TempDir())
	who := guest(t, s, 1)
	x, y := issue(t, s, sheet(who, "x")), issue(t, s, sheet(who, "y"))
	other := issue(t, s, sheet(guest(t, s, 2), "z"))
	first := add(t, s, drawing(x, 1))

	again := drawing(x, 1)
	again.Received, again.Grade, again.Score = again.Received.Add(time.Hour), []byte(`{}`), 1
	got, created, err := s.AddAttempt(t.Context(), again)
	if err != nil || created || !reflect.DeepEqual(got, first) {
		t.Errorf("again: created %v, %v\n%+v\n%+v", created, err, got, first)
	}
	changed := drawing(x, 1)
	changed.Hash = token(5)
	elsewhere := drawing(y, 1)
	theirs := drawing(other, 1)
	for name, a := range map[string]Attempt{"another drawing": changed, "another sheet": elsewhere, "another learner": theirs} {
		if got, created, err := s.AddAttempt(t.Context(), a); !errors.Is(err, ErrConflict) || created || got.ID != "" {
			t.Errorf("%s: %+v, %v, %v", name, got, created, err)
		}
	}
	if sumSq, dof, err := s.Hand(t.Context(), who, "pen"); sumSq != 2.5 || dof != 5 || err != nil {
		t.Errorf("the hand counts a repeat: %v, %v, %v", sumSq, dof, err)
	}
	sound(t, s)
}

// TestAttemptRefused: a drawing that breaks a rule of the schema leaves no
// part of itself behind.
func TestAttemptRefused(t *testing.T) {
	s := open(t, t.TempDir())
	x := issue(t, s, sheet(guest(t, s, 1), "x"))
	for name, spoil := range map[string]func(*Attempt){
		"score":       func(a *Attempt) { a.Score = 101 },
		"hash":        func(a *Attempt) { a.Hash = a.Hash[:31] },
		"no strokes":  func(a *Attempt) { a.Strokes = nil },
		"empty set":   func(a *Attempt) { a.Sets[1].Lines = 0 },
		"same set":    func(a *Attempt) { a.Sets[1].Set = a.Sets[0].Set },
		"minus sums":  func(a *Attempt) { a.ScatterSumSq = -1 },
		"no pointer":  func(a *Attempt) { a.Pointer = "" },
		"strange set": func(a *Attempt) { a.Sets[1].Box = -1 },
	} {
		a := drawing(x, 1)
		spoil(&a)
		if _, created, err := s.AddAttempt(t.Context(), a); err == nil || created {
			t.Errorf("%s: kept", name)
		}
	}
	for _, table := range []string{"attempt", "attempt_doc", "attempt_set", "hand"} {
		if n := countRows(t, s, table); n != 0 {
			t.Errorf("%d rows are left in %s", n, table)
		}
	}
}

func TestAttempts(t *testing.T) {
	s := open(t, t.TempDir())
	who := guest(t, s, 1)
	var want []Attempt
	for i := range 7 {
		x := issue(t, s, sheet(who, string(rune('a'+i))))
		a := add(t, s, drawing(x, i))
		a.Head, a.Strokes, a.Grade = nil, nil, nil
		want = append([]Attempt{a}, want...) // newest first
	}
	for name, c := range map[string]struct {
		since time.Time
		limit int
		want  []Attempt
	}{
		"all":      {time.Time{}, 0, want},
		"last two": {time.Time{}, 2, want[:2]},
		"since":    {want[3].Received, 0, want[:4]},
		"both":     {want[3].Received, 3, want[:3]},
		"none":     {want[0].Received.Add(time.Millisecond), 0, nil},
	} {
		got, err := s.Attempts(t.Context(), who, c.since, c.limit)
		if err != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: got %+v, %v\nwant %+v", name, got, err, c.want)
		}
	}
}

func TestHand(t *testing.T) {
	s := open(t, t.TempDir())
	who, other := guest(t, s, 1), guest(t, s, 2)
	x := issue(t, s, sheet(who, "x"))
	for i, p := range []string{"pen", "mouse", "pen"} {
		a := drawing(x, i)
		a.Pointer, a.ScatterSumSq, a.ScatterDOF = p, 0.25*float64(i+1), float64(i)
		add(t, s, a)
	}
	for _, c := range []struct {
		who        LearnerID
		pointer    string
		sumSq, dof float64
	}{{who, "pen", 1, 2}, {who, "mouse", 0.5, 1}, {who, "touch", 0, 0}, {other, "pen", 0, 0}} {
		if sumSq, dof, err := s.Hand(t.Context(), c.who, c.pointer); err != nil || sumSq != c.sumSq || dof != c.dof {
			t.Errorf("%d with %s: %v, %v, %v", c.who, c.pointer, sumSq, dof, err)
		}
	}
	sound(t, s)
}

// TestRacedAttempt: many hand in the same drawing at the same time, among
// others' drawings. It is stored once, one of them created it, and all get
// the same answer.
func TestRacedAttempt(t *testing.T) {
	s := open(t, t.TempDir())
	const racers, own = 24, 10
	x := issue(t, s, sheet(guest(t, s, 1), "raced"))
	var wg sync.WaitGroup
	answers := make([]Attempt, racers)
	created := make([]bool, racers)
	for i := range racers {
		y := issue(t, s, sheet(guest(t, s, 100+i), uuid(i)))
		wg.Go(func() {
			for n := range own {
				a := drawing(x, 1)
				a.Received, a.Score = a.Received.Add(time.Duration(i)*time.Second), 78
				got, made, err := s.AddAttempt(t.Context(), a)
				if err != nil {
					t.Error(err)
				}
				if n == 0 {
					answers[i] = got
				}
				created[i] = created[i] || made
				if _, made, err := s.AddAttempt(t.Context(), drawing(y, 1000*(i+1)+n)); err != nil || !made {
					t.Errorf("racer %d's own %d: %v, %v", i, n, made, err)
				}
			}
		})
	}
	wg.Wait()
	n := 0
	for i := range racers {
		if created[i] {
			n++
		}
		if !reflect.DeepEqual(answers[i], answers[0]) {
			t.Errorf("racer %d got another answer:\n%+v\n%+v", i, answers[i], answers[0])
		}
	}
	if n != 1 {
		t.Errorf("%d racers created it", n)
	}
	if n := countRows(t, s, "attempt"); n != racers*own+1 {
		t.Errorf("%d attempts are stored", n)
	}
	if sumSq, dof, err := s.Hand(t.Context(), x.Learner, "pen"); sumSq != 2.5 || dof != 5 || err != nil {
		t.Errorf("the raced drawing counts as %v, %v, %v", sumSq, dof, err)
	}
	sound(t, s)
}
