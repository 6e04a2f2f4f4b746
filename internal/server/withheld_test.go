package server

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"net/http"
	"regexp"
	"strconv"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
)

// TestAnswersAreWithheld searches everything a learner can get of a sheet
// before handing in for the numbers of what they are to find. The sheets are
// picked so that no withheld number happens to be one that is shown.
func TestAnswersAreWithheld(t *testing.T) {
	c := newBench(t, nil).client()
	looked := 0
	for _, v := range drill.Views(drill.Finish) {
		for level := drill.MinLevel; level <= drill.MaxLevel; level++ {
			x := c.issue(drill.Finish, v, level)
			secret := secrets(x)
			if len(secret) == 0 {
				t.Errorf("%s %d: nothing is withheld", v, level)
			}
			for _, path := range []string{"/sheets/" + x.ID, "/sheets/" + x.ID + ".svg", "/sheets/" + x.ID + ".pdf", "/api/v1/exercises/" + x.ID} {
				body := c.want(c.get(path), http.StatusOK).body
				scale := func(v geom.Vec) geom.Vec { return v }
				if bytes.HasPrefix(body, []byte("%PDF-")) {
					body, scale = inflate(t, body), points
				}
				for what, n := range secret {
					looked++
					if found := near(body, scale(n)); found != "" {
						t.Errorf("%s %d: %s holds %s of %s", v, level, path[:7], found, what)
					}
				}
			}
		}
	}
	if looked < 4*30*2 {
		t.Errorf("only %d searches", looked)
	}
}

// secrets are the withheld corners and points of x, each as its pair of
// coordinates: one coordinate alone may well be that of something shown.
func secrets(x *drill.Exercise) map[string]geom.Vec {
	s := map[string]geom.Vec{}
	for i, given := range x.CornersGiven() {
		if !given {
			s[fmt.Sprintf("corner %d", i)] = x.Corners[i]
		}
	}
	for _, p := range x.Points {
		if at, ok := p.At.Vec(); ok && !p.Shown {
			s["point "+p.ID] = at
		}
	}
	return s
}

var number = regexp.MustCompile(`-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?`)

// points are the units of a PDF: 72 to the inch, from the lower edge.
func points(v geom.Vec) geom.Vec {
	const pt = 72 / 25.4
	return geom.Vec{X: v.X * pt, Y: (210 - v.Y) * pt}
}

// near looks for the coordinates of v one after the other in text, to a tenth
// of a unit or closer. Numbers farther apart do not count: in a one-point view
// a withheld corner shares x with one given corner and y with another.
func near(text []byte, v geom.Vec) string {
	all := number.FindAll(text, -1)
	n := make([]float64, len(all))
	for i, s := range all {
		n[i], _ = strconv.ParseFloat(string(s), 64)
	}
	for i := range n {
		if i > 0 && math.Abs(n[i-1]-v.X) <= 0.05 && math.Abs(n[i]-v.Y) <= 0.05 {
			return string(all[i-1]) + ", " + string(all[i])
		}
	}
	return ""
}

// inflate returns the uncompressed streams of a PDF.
func inflate(t *testing.T, pdf []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	for rest := pdf; ; {
		_, after, ok := bytes.Cut(rest, []byte("stream\n"))
		if !ok {
			break
		}
		rest = after
		if z, err := zlib.NewReader(bytes.NewReader(after)); err == nil {
			io.Copy(&out, z)
		}
	}
	if out.Len() == 0 {
		t.Fatal("no stream of the PDF could be read")
	}
	return out.Bytes()
}

// TestAnswersAreToldAfterwards: the search above can find what is there.
func TestAnswersAreToldAfterwards(t *testing.T) {
	c := newBench(t, nil).client()
	x := c.issue(drill.Finish, drill.Three, 10)
	c.handIn(x, attemptID(1))
	doc := c.want(c.get("/api/v1/attempts/"+attemptID(1)), http.StatusOK).body
	picture := c.want(c.get("/attempts/"+attemptID(1)), http.StatusOK).body
	for what, at := range secrets(x) {
		if near(doc, at) == "" {
			t.Errorf("the attempt's document does not tell %s at %v", what, at)
		}
		if what[0] == 'c' && near(picture, at) == "" {
			t.Errorf("the redline does not show %s at %v", what, at)
		}
	}
}
