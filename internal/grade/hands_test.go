package grade

import (
	"testing"

	"boxwright/internal/ink"
)

// tally counts how strokes of known meaning were matched.
type tally struct {
	strokes, right        int // strokes that belong to an edge
	edges, edgesRight     int // edges with at least one right stroke
	others, othersRefused int // strokes that are no edge
}

// count compares the edge of each stroke, "" for none, with the grade.
func (n *tally) count(edge []string, g *Grade) {
	got := make([]string, len(edge))
	for _, l := range g.Lines {
		if l.Role == ink.RoleEdge {
			for _, s := range l.Strokes {
				got[s] = l.Edge
			}
		}
	}
	drawn, right := map[string]bool{}, map[string]bool{}
	for i, e := range edge {
		if e == "" {
			n.others++
			if got[i] == "" {
				n.othersRefused++
			}
			continue
		}
		n.strokes++
		drawn[e] = true
		if got[i] == e {
			n.right++
			right[e] = true
		}
	}
	n.edges += len(drawn)
	n.edgesRight += len(right)
}

func (n *tally) merge(m tally) {
	n.strokes += m.strokes
	n.right += m.right
	n.edges += m.edges
	n.edgesRight += m.edgesRight
	n.others += m.others
	n.othersRefused += m.othersRefused
}

func (d *document) meant() (edge []string) {
	for _, s := range d.Truth.Strokes {
		e := ""
		if s.Edge != nil {
			e = *s.Edge
		}
		edge = append(edge, e)
	}
	return edge
}

func share(a, b int) float64 { return 100 * float64(a) / float64(b) }

// Strokes of simulated hands (hooks, bow, tremor, pieces, restatements,
// blunders, construction lines, strays) find their edges.
func TestOfMatchesHands(t *testing.T) {
	var n tally
	for _, d := range documents(t, "hands.jsonl.gz") {
		if d.Exercise.Drill == "free" {
			continue // judged against itself, its box is not the grader's to know
		}
		g, err := Of(d.exercise(), d.attempt(), Hand{})
		if err != nil {
			t.Fatal(err)
		}
		before := n
		n.count(d.meant(), g)
		if n.strokes-n.right > before.strokes-before.right || n.others-n.othersRefused > before.others-before.othersRefused {
			t.Logf("%s %s: %d wrong, %d not refused", d.Exercise.ID, d.Truth.Profile, n.strokes-n.right-(before.strokes-before.right),
				n.others-n.othersRefused-(before.others-before.othersRefused))
		}
	}
	t.Logf("strokes right %.2f %% of %d, edges with a right stroke %.2f %% of %d, others refused %.2f %% of %d",
		share(n.right, n.strokes), n.strokes, share(n.edgesRight, n.edges), n.edges, share(n.othersRefused, n.others), n.others)
	if share(n.right, n.strokes) < 97.7 || share(n.edgesRight, n.edges) < 98.5 || share(n.othersRefused, n.others) < 90 {
		t.Error("want at least 97.7, 98.5 and 90 %")
	}
}
