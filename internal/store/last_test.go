package store

import (
	"strings"
	"testing"
)

func TestLastGrades(t *testing.T) {
	s := open(t, t.TempDir())
	who, other := guest(t, s, 1), guest(t, s, 2)
	x := issue(t, s, sheet(who, "x"))
	theirs := issue(t, s, sheet(other, "y"))
	for n := 1; n <= 7; n++ {
		a := drawing(x, n)
		switch n {
		case 2:
			a.Pointer = "mouse"
		case 3:
			a.ScatterSumSq, a.ScatterDOF = 0, 0
		case 4:
			a.View = "three"
		}
		add(t, s, a)
	}
	add(t, s, drawing(theirs, 8))
	for _, c := range []struct {
		who   LearnerID
		of    int
		limit int
		want  []int
	}{
		{who, 7, 12, []int{7, 6, 5, 1}},
		{who, 7, 2, []int{7, 6}},
		{who, 5, 12, []int{5, 1}},
		{who, 2, 12, []int{2}},
		{who, 3, 12, []int{1}},
		{other, 8, 12, []int{8}},
		{other, 7, 12, nil},
	} {
		docs, err := s.LastGrades(t.Context(), c.who, uuid(c.of), c.limit)
		if err != nil || len(docs) != len(c.want) {
			t.Fatalf("of %d: %d grades, want %v (%v)", c.of, len(docs), c.want, err)
		}
		for i, n := range c.want {
			if !strings.Contains(string(docs[i]), uuid(n)) {
				t.Errorf("of %d, place %d: %s, want %d", c.of, i, docs[i], n)
			}
		}
	}
}
