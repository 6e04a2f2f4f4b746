package server

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/http"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	_ "modernc.org/sqlite" // the bare insert that the requests are compared with

	"boxwright/internal/drill"
)

// fullAttempt is a drawing of 24 strokes of 120 samples, as a pen makes them.
func fullAttempt(x *drill.Exercise, id string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `{"version":1,"attempt":%q,"exercise":%q,"input":{"pointer":"pen","px_per_mm":3.1},"strokes":[`, id, x.ID)
	t := 0.0
	for i := range 24 {
		e := x.Segment(x.Edges[i%len(x.Edges)])
		if i > 0 {
			b.WriteByte(',')
		}
		var cols [4]strings.Builder
		for k := range 120 {
			u := float64(k) / 119
			t += 8.3
			for c, v := range []float64{
				e.A.X + u*(e.B.X-e.A.X) + 0.2*math.Sin(9*u+float64(i)), e.A.Y + u*(e.B.Y-e.A.Y) + 0.2*math.Cos(7*u+float64(i)), t, 0.4 + 0.3*math.Sin(3*u),
			} {
				if k > 0 {
					cols[c].WriteByte(',')
				}
				fmt.Fprintf(&cols[c], "%.*f", []int{2, 2, 1, 3}[c], v)
			}
		}
		fmt.Fprintf(&b, `{"role":"edge","x":[%s],"y":[%s],"t":[%s],"p":[%s]}`, &cols[0], &cols[1], &cols[2], &cols[3])
	}
	b.WriteString(`]}`)
	return b.String()
}

// BenchmarkPostAttempt is a hand-in end to end over a real connection, with
// its two yardsticks in the same run: decoding the same body with
// encoding/json, and one bare durable insert of the same size.
func BenchmarkPostAttempt(b *testing.B) {
	c := newBench(b, nil).client()
	x := c.issue(drill.Finish, drill.Two, 3)
	sample := fullAttempt(x, attemptID(0))
	b.Run("yardstick/encoding-json", func(b *testing.B) {
		b.SetBytes(int64(len(sample)))
		for b.Loop() {
			var v any
			if err := json.Unmarshal([]byte(sample), &v); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("yardstick/bare-insert", func(b *testing.B) {
		db, err := sql.Open("sqlite", "file:"+filepath.Join(b.TempDir(), "bare.db")+"?_pragma=journal_mode(wal)&_pragma=synchronous(full)")
		if err != nil {
			b.Fatal(err)
		}
		defer db.Close()
		db.SetMaxOpenConns(1)
		if _, err := db.Exec("CREATE TABLE t (id INTEGER PRIMARY KEY, b BLOB NOT NULL) STRICT"); err != nil {
			b.Fatal(err)
		}
		blob := make([]byte, 16<<10)
		for b.Loop() {
			if _, err := db.Exec("INSERT INTO t (b) VALUES ($1)", blob); err != nil {
				b.Fatal(err)
			}
		}
	})
	var n atomic.Int64
	post := func(b *testing.B) {
		body := strings.Replace(sample, attemptID(0), attemptID(int(n.Add(1))), 1)
		res, err := c.http.Post(c.url+"/api/v1/exercises/"+x.ID+"/attempts", "application/json", strings.NewReader(body))
		if err != nil {
			b.Fatal(err)
		}
		defer res.Body.Close()
		io.Copy(io.Discard, res.Body)
		if res.StatusCode != http.StatusCreated {
			b.Fatal(res.Status)
		}
	}
	b.Run("one-client", func(b *testing.B) {
		for b.Loop() {
			post(b)
		}
	})
	b.Run("32-clients", func(b *testing.B) {
		c.http.Transport = &http.Transport{MaxIdleConnsPerHost: 32}
		b.SetParallelism(16)
		b.RunParallel(func(pb *testing.PB) {
			for pb.Next() {
				post(b)
			}
		})
	})
}

// BenchmarkPages are the pages that people wait for.
func BenchmarkPages(b *testing.B) {
	c := newBench(b, nil).client()
	x := c.issue(drill.Finish, drill.Two, 3)
	c.want(c.post("/api/v1/exercises/"+x.ID+"/attempts", fullAttempt(x, attemptID(1))), http.StatusCreated)
	for _, path := range []string{"/healthz", "/sheets/" + x.ID, "/attempts/" + attemptID(1) + "/redline", "/progress", "/practice", "/guides", "/guides/" + x.ID} {
		b.Run(strings.ReplaceAll(strings.Trim(path, "/"), x.ID, "id"), func(b *testing.B) {
			for b.Loop() {
				c.want(c.get(path), http.StatusOK)
			}
		})
	}
}
