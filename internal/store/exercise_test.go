package store

import (
	"errors"
	"reflect"
	"testing"
	"time"
)

func TestExercise(t *testing.T) {
	s := open(t, t.TempDir())
	who, other := guest(t, s, 1), guest(t, s, 2)
	want := issue(t, s, sheet(who, "one"))
	got, err := s.Exercise(t.Context(), who, "one")
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, %v\nwant %+v", got, err, want)
	}
	for name, try := range map[string]struct {
		who LearnerID
		id  string
	}{"another's": {other, "one"}, "unknown": {who, "two"}, "nobody's": {999, "one"}} {
		if x, err := s.Exercise(t.Context(), try.who, try.id); !errors.Is(err, ErrNotFound) || x.ID != "" {
			t.Errorf("%s: %+v, %v", name, x, err)
		}
	}
	if err := s.IssueExercise(t.Context(), sheet(other, "one")); !errors.Is(err, ErrConflict) {
		t.Errorf("an id that is taken: %v", err)
	}
	if err := s.IssueExercise(t.Context(), sheet(999, "three")); !errors.Is(err, ErrNotFound) {
		t.Errorf("for nobody: %v", err)
	}
	wrong := sheet(who, "four")
	wrong.Level = 11
	if err := s.IssueExercise(t.Context(), wrong); err == nil || errors.Is(err, ErrConflict) || errors.Is(err, ErrNotFound) {
		t.Errorf("level 11: %v", err)
	}
	sound(t, s)
}

func TestOpenExercise(t *testing.T) {
	s := open(t, t.TempDir())
	who, other := guest(t, s, 1), guest(t, s, 2)
	if _, err := s.OpenExercise(t.Context(), who); !errors.Is(err, ErrNotFound) {
		t.Errorf("none yet: %v", err)
	}
	var sheets []Exercise
	for i, id := range []string{"a", "b", "c"} {
		x := sheet(who, id)
		x.Issued = day0.Add(time.Duration(i) * time.Hour)
		sheets = append(sheets, issue(t, s, x))
	}
	later := sheet(other, "d")
	later.Issued = day0.Add(9 * time.Hour)
	issue(t, s, later)
	for i := len(sheets) - 1; i >= 0; i-- {
		x, err := s.OpenExercise(t.Context(), who)
		if err != nil || x.ID != sheets[i].ID {
			t.Fatalf("got %q, %v; want %q", x.ID, err, sheets[i].ID)
		}
		add(t, s, drawing(sheets[i], i))
	}
	if x, err := s.OpenExercise(t.Context(), who); !errors.Is(err, ErrNotFound) {
		t.Errorf("all are drawn: %q, %v", x.ID, err)
	}
}
