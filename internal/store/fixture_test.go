package store

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"boxwright/internal/ink"
)

var day0 = time.Date(2031, 3, 3, 18, 0, 0, 0, time.UTC)

// life is how long the tests' sessions last.
const life = 400 * 24 * time.Hour

func open(t testing.TB, dir string) *Store {
	t.Helper()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func token(n int) []byte {
	h := sha256.Sum256(binary.BigEndian.AppendUint64([]byte("token"), uint64(n)))
	return h[:]
}

func guest(t testing.TB, s *Store, n int) LearnerID {
	t.Helper()
	id, err := s.NewGuest(t.Context(), token(n), day0, day0.Add(life))
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func sheet(who LearnerID, id string) Exercise {
	doc, err := json.Marshal(map[string]any{"version": 1, "id": id, "level": 4, "seed": "18446744073709551615"})
	if err != nil {
		panic(err)
	}
	return Exercise{ID: id, Learner: who, Generator: 1, Kind: "finish", View: "two", Level: 4, Seed: 1<<64 - 1, Doc: doc, Issued: day0}
}

func issue(t testing.TB, s *Store, x Exercise) Exercise {
	t.Helper()
	if err := s.IssueExercise(t.Context(), x); err != nil {
		t.Fatal(err)
	}
	return x
}

// strokes is a drawing of n strokes of a pen on a grid of hundredths.
func strokes(n, samples int) []ink.Stroke {
	list := make([]ink.Stroke, n)
	for i := range list {
		s := ink.Stroke{Role: ink.RoleEdge}
		for k := range samples {
			s.X = append(s.X, float64(2000+i*731+k*(97+i))/100)
			s.Y = append(s.Y, float64(15000-i*313-k*41+k*k/30)/100)
			s.T = append(s.T, float64(i*1000+k*8))
			s.P = append(s.P, float64(400+k%7)/1000)
		}
		list[i] = s
	}
	return list
}

// uuid is a UUID-shaped name, another for each n.
func uuid(n int) string { return fmt.Sprintf("01900000-0000-7000-8000-%012x", n) }

func f64(x float64) *float64 { return &x }

// drawing is an attempt at x with every field told.
func drawing(x Exercise, n int) Attempt {
	id := uuid(n)
	head, err := json.Marshal(map[string]any{"version": 1, "attempt": id, "exercise": x.ID})
	if err != nil {
		panic(err)
	}
	grade, err := json.Marshal(map[string]any{"version": 1, "attempt": id, "exercise": x.ID, "score": 78})
	if err != nil {
		panic(err)
	}
	hash := sha256.Sum256([]byte(id))
	return Attempt{
		ID: id, Exercise: x.ID, Learner: x.Learner, Hash: hash[:],
		Received: day0.Add(time.Duration(n) * time.Minute), Started: day0.Add(time.Duration(n)*time.Minute - 40*time.Second),
		Head: head, Strokes: ink.Pack(strokes(3, 20)), Grade: grade,
		Pointer: "pen", Kind: x.Kind, View: x.View, Level: x.Level, Score: 78, Lines: 9, RMS: f64(1.6),
		Sets: []AttemptSet{
			{Box: 0, Set: "depth", Lines: 4, RMS: 1.2, Bias: 0.7, Scatter: 0.9, SumSigned: -2.5},
			{Box: 0, Set: "width", Lines: 5, RMS: 1.9, Bias: 1.7, Scatter: 0.9, SumSigned: 8.25, Turn: f64(0.5), Early: f64(-1.5)},
		},
		ScatterSumSq: 2.5, ScatterDOF: 5,
	}
}

func add(t testing.TB, s *Store, a Attempt) Attempt {
	t.Helper()
	stored, created, err := s.AddAttempt(t.Context(), a)
	if err != nil || !created {
		t.Fatalf("created %v, %v", created, err)
	}
	return stored
}

// sound fails the test when Check finds anything.
func sound(t testing.TB, s *Store) {
	t.Helper()
	problems, err := s.Check(context.WithoutCancel(t.Context()))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		t.Error(p)
	}
}
