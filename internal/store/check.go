package store

import (
	"context"
	"encoding/json"
	"fmt"
	"math"

	"boxwright/internal/ink"
)

// maxProblems bounds how many problems of one sort are told.
const maxProblems = 100

// Check tests the data while others use them: the file's structure, its
// references, and that everything stored can be read again and agrees with
// itself. It returns what is wrong in words, nothing when all is sound. An
// error means that the test itself could not be made.
func (s *Store) Check(ctx context.Context) ([]string, error) {
	problems, err := integrity(ctx, s.readers)
	if err != nil {
		return nil, fault("check", err)
	}
	if len(problems) > 0 { // reading on through a broken file tells nothing more
		return problems, nil
	}
	has, err := schemaVersion(ctx, s.readers.db)
	if err != nil {
		return nil, err
	}
	if knows, err := latest(); err != nil {
		return nil, err
	} else if has != knows {
		return nil, fmt.Errorf("store: check: the data are at version %d and this program is at %d: start the server once", has, knows)
	}
	err = s.readers.snapshot(ctx, func(q *snapshot) error {
		for _, test := range []func(*snapshot) ([]string, error){checkExercises, checkAttempts, checkFigures} {
			more, err := test(q)
			if err != nil {
				return err
			}
			problems = append(problems, more...)
		}
		return nil
	})
	if err != nil {
		return nil, fault("check", err)
	}
	return problems, nil
}

// integrity runs SQLite's own tests.
func integrity(ctx context.Context, p *pool) ([]string, error) {
	var problems []string
	rows, err := p.db.QueryContext(ctx, `PRAGMA integrity_check`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var line string
		if err := rows.Scan(&line); err != nil {
			return nil, err
		}
		if line != "ok" {
			problems = append(problems, "file: "+line)
		}
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	refs, err := p.db.QueryContext(ctx, `PRAGMA foreign_key_check`)
	if err != nil {
		return nil, err
	}
	defer refs.Close()
	for refs.Next() && len(problems) < maxProblems {
		var table, parent string
		var row, key any
		if err := refs.Scan(&table, &row, &parent, &key); err != nil {
			return nil, err
		}
		problems = append(problems, fmt.Sprintf("%s: a row refers to a %s that is not there", table, parent))
	}
	return problems, refs.Err()
}

func checkExercises(q *snapshot) ([]string, error) {
	rows, err := q.rows(`SELECT x.id, x.level, x.doc FROM exercise AS x`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var problems []string
	for rows.Next() && len(problems) < maxProblems {
		var id string
		var level int
		var doc []byte
		if err := rows.Scan(&id, &level, &doc); err != nil {
			return nil, err
		}
		var x struct {
			ID    *string
			Level *int
		}
		switch err := json.Unmarshal(doc, &x); {
		case err != nil:
			problems = append(problems, fmt.Sprintf("exercise %s: document: %v", id, err))
		case x.ID != nil && *x.ID != id, x.Level != nil && *x.Level != level:
			problems = append(problems, fmt.Sprintf("exercise %s: its document is another's", id))
		}
	}
	return problems, rows.Err()
}

func checkAttempts(q *snapshot) ([]string, error) {
	rows, err := q.rows(`SELECT a.id, a.exercise, a.score, d.head, d.strokes, d.grade FROM attempt AS a LEFT JOIN attempt_doc AS d ON d.attempt = a.id`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var problems []string
	for rows.Next() && len(problems) < maxProblems {
		var id, exercise string
		var score int
		var head, strokes, grade []byte
		if err := rows.Scan(&id, &exercise, &score, &head, &strokes, &grade); err != nil {
			return nil, err
		}
		for _, p := range documentProblems(id, exercise, score, head, strokes, grade) {
			problems = append(problems, fmt.Sprintf("attempt %s: %s", id, p))
		}
	}
	return problems, rows.Err()
}

func documentProblems(id, exercise string, score int, head, strokes, grade []byte) []string {
	var problems []string
	var h, g struct {
		Attempt, Exercise *string
		Score             *int
	}
	if err := json.Unmarshal(head, &h); err != nil {
		problems = append(problems, fmt.Sprintf("document: %v", err))
	} else if h.Attempt != nil && *h.Attempt != id || h.Exercise != nil && *h.Exercise != exercise {
		problems = append(problems, "its document is another's")
	}
	if _, err := ink.Unpack(strokes); err != nil {
		problems = append(problems, fmt.Sprintf("strokes: %v", err))
	}
	if err := json.Unmarshal(grade, &g); err != nil {
		problems = append(problems, fmt.Sprintf("grade: %v", err))
	} else if g.Attempt != nil && *g.Attempt != id || g.Exercise != nil && *g.Exercise != exercise || g.Score != nil && *g.Score != score {
		problems = append(problems, "its grade is another's")
	}
	return problems
}

// checkFigures recomputes what is kept twice: the owner of an attempt and of
// its sheet, and the hand history against the attempts it sums up.
func checkFigures(q *snapshot) ([]string, error) {
	var problems []string
	var n int
	err := q.row(`SELECT count(*) FROM attempt AS a JOIN exercise AS x ON x.id = a.exercise
		WHERE x.learner <> a.learner OR x.kind <> a.kind OR x.view <> a.view OR x.level <> a.level`, nil, &n)
	if err != nil {
		return nil, err
	}
	if n > 0 {
		problems = append(problems, fmt.Sprintf("%d attempts do not agree with their exercise on learner, drill, view or level", n))
	}
	sums, err := handSums(q, `SELECT a.learner, a.pointer, sum(a.hand_sum_sq), sum(a.hand_dof) FROM attempt AS a GROUP BY a.learner, a.pointer`)
	if err != nil {
		return nil, err
	}
	kept, err := handSums(q, `SELECT h.learner, h.pointer, h.sum_sq, h.dof FROM hand AS h`)
	if err != nil {
		return nil, err
	}
	for key, want := range sums {
		if got := kept[key]; !near(got[0], want[0]) || !near(got[1], want[1]) {
			problems = append(problems, fmt.Sprintf("learner %d: the hand history with %s is not the sum of the attempts", key.learner, key.pointer))
		}
		delete(kept, key)
	}
	for key := range kept {
		problems = append(problems, fmt.Sprintf("learner %d: a hand history with %s without attempts", key.learner, key.pointer))
	}
	return problems, nil
}

type handKey struct {
	learner LearnerID
	pointer string
}

func handSums(q *snapshot, query string) (map[handKey][2]float64, error) {
	rows, err := q.rows(query)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	sums := map[handKey][2]float64{}
	for rows.Next() {
		var k handKey
		var v [2]float64
		if err := rows.Scan(&k.learner, &k.pointer, &v[0], &v[1]); err != nil {
			return nil, err
		}
		sums[k] = v
	}
	return sums, rows.Err()
}

// near allows for sums that were added up in another order.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(b)) }
