package sheet

import (
	"compress/gzip"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
)

// elements parses s as XML and returns its elements; it fails the test on a
// fault and on what the content security policy forbids.
func elements(t testing.TB, s string) []xml.StartElement {
	t.Helper()
	var out []xml.StartElement
	for d := xml.NewDecoder(strings.NewReader(s)); ; {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, s)
		}
		if e, ok := tok.(xml.StartElement); ok {
			out = append(out, e)
			seen := map[string]bool{}
			for _, a := range e.Attr {
				if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "id" {
					t.Errorf("<%s> has the attribute %s", e.Name.Local, a.Name.Local)
				}
				if seen[a.Name.Local] {
					t.Errorf("<%s> has the attribute %s twice", e.Name.Local, a.Name.Local)
				}
				seen[a.Name.Local] = true
			}
			if n := e.Name.Local; n == "style" || n == "script" {
				t.Errorf("has a <%s>", n)
			}
		}
	}
	if len(out) == 0 || out[0].Name.Local != "svg" || out[0].Name.Space != "http://www.w3.org/2000/svg" {
		t.Fatalf("the root is no svg element: %.80s", s)
	}
	if strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
		t.Error("a number is not finite")
	}
	return out
}

func get(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// everything is every drawing that the tests look at.
func everything(t testing.TB) map[string]Drawing {
	all := map[string]Drawing{}
	for i, v := range views {
		x := scene(t, v)
		all[v.name] = Exercise(x)
		a, g := drawn(x, 2.5, i%2 == 0)
		all["redline of "+v.name] = Redline(x, a, g)
	}
	x := dots(12)
	all["join"] = Exercise(x)
	a, g := drawn(x, 2, true)
	all["redline of join"] = Redline(x, a, g)
	return all
}

func TestPicturesAreWellFormed(t *testing.T) {
	for name, d := range everything(t) {
		for kind, s := range map[string]string{"svg": d.SVG(), "picture": d.Picture(), "thumb": Thumb(d)} {
			e := elements(t, s)
			if get(e[0], "role") != "img" || e[1].Name.Local != "title" {
				t.Errorf("%s, %s: the root must be an image with a title first", name, kind)
			}
		}
		root := elements(t, d.SVG())[0]
		if get(root, "viewBox") != "0 0 297 210" || get(root, "overflow") != "visible" || get(root, "width") != "" {
			t.Errorf("%s: root %v", name, root.Attr)
		}
	}
}

// The layers come in order, and each but paper and board may be hidden alone.
func TestLayers(t *testing.T) {
	want := []string{"paper", "board", "given", "true", "rays", "ink", "notes"}
	for name, d := range everything(t) {
		var got []string
		for _, e := range elements(t, d.SVG()) {
			if c, ok := strings.CutPrefix(get(e, "class"), "layer "); ok {
				got = append(got, c)
			}
		}
		if strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("%s: layers %v", name, got)
		}
	}
}

func TestThumbHasNoLetters(t *testing.T) {
	for name, d := range everything(t) {
		for _, e := range elements(t, Thumb(d)) {
			if e.Name.Local == "text" || strings.Contains(get(e, "class"), "on-board") {
				t.Errorf("%s: the small picture has a <%s class=%q>", name, e.Name.Local, get(e, "class"))
			}
		}
	}
}

func TestEscaping(t *testing.T) {
	x := scene(t, views[1])
	const nasty = `"><script>alert('&')</script>`
	for i := range x.Edges {
		x.Edges[i].ID = nasty
	}
	x.Kind, x.View = drill.Kind(nasty), drill.View(nasty)
	a, g := drawn(x, 3, true)
	d := Redline(x, a, g)
	d.Title, d.Desc, d.Class = nasty, nasty, nasty
	n := 0
	for _, s := range []string{d.SVG(), d.Picture(), Thumb(d),
		DotStrip(Strip{Name: nasty}), ErrorChart(ErrorTrend{Name: nasty, Series: []ErrorSeries{{Name: nasty}}})} {
		for _, e := range elements(t, s) {
			if get(e, "data-edge") == nasty {
				n++
			}
		}
	}
	if n == 0 {
		t.Error("no edge carries its id")
	}
}

// A hostile or broken document gives a bounded picture of finite numbers.
func TestBrokenExercises(t *testing.T) {
	huge, nan := 1e300, math.NaN()
	for _, bad := range []geom.Vec{{X: huge, Y: -huge}, {X: nan, Y: 3}, {X: math.Inf(1)}, {X: 9e4, Y: 5e4}} {
		x := scene(t, views[1])
		for i := range x.Corners {
			if i%3 == 0 {
				x.Corners[i] = bad
			}
		}
		x.Points[0].At, x.Points[1].At = geom.At(bad), geom.Point{}
		x.Horizon.Line = geom.Line{A: bad.X, B: bad.Y, C: huge}
		a, g := drawn(x, 2, true)
		a.Strokes[0].X[3] = nan
		a.Strokes = append(a.Strokes, ink.Stroke{}, ink.Stroke{X: []float64{1}, Y: []float64{2}})
		g.Lines[0].Strokes = []int{-1, 999}
		for _, d := range []Drawing{Exercise(x), Redline(x, a, g)} {
			elements(t, d.SVG())
			elements(t, Thumb(d))
			if _, err := PDF(d, "x"); err != nil {
				t.Error(err)
			}
		}
	}
	empty := &drill.Exercise{}
	elements(t, Exercise(empty).SVG())
	elements(t, Redline(empty, &grade.Attempt{}, &grade.Grade{}).SVG())
}

// Thirty redlines at once must be quick to send, too.
func TestRedlineSize(t *testing.T) {
	const most = 15 << 10
	for name, d := range everything(t) {
		var n counter
		z := gzip.NewWriter(&n)
		if _, err := io.WriteString(z, d.SVG()); err != nil {
			t.Fatal(err)
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		if n > most {
			t.Errorf("%s: %d bytes compressed, at most %d wanted", name, n, most)
		}
	}
}

type counter int

func (c *counter) Write(p []byte) (int, error) { *c += counter(len(p)); return len(p), nil }

func BenchmarkRedline(b *testing.B) {
	for _, v := range views[1:3] {
		b.Run(v.name, func(b *testing.B) {
			x := scene(b, v)
			a, g := drawn(x, 2.5, true)
			n := 0
			for b.Loop() {
				n = len(Redline(x, a, g).SVG())
			}
			b.ReportMetric(float64(n), "bytes")
		})
	}
}

func BenchmarkExercise(b *testing.B) {
	x := scene(b, views[2])
	for b.Loop() {
		_ = Exercise(x).SVG()
	}
}
