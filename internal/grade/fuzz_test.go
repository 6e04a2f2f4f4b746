package grade

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// source turns fuzz bytes into numbers; it gives zeros when they are used up.
type source []byte

func (s *source) byte() int {
	if len(*s) == 0 {
		return 0
	}
	b := (*s)[0]
	*s = (*s)[1:]
	return int(b)
}

// number is mostly a place on or near the sheet, sometimes anything at all.
func (s *source) number() float64 {
	k := s.byte()
	switch {
	case k < 160:
		return float64(k)*2 + float64(s.byte())/256
	case k < 200:
		return float64(s.byte()-128) * 4
	case k < 210:
		return 0
	case k < 215:
		return float64(s.byte()) * 1e-12
	case k < 218:
		return [3]float64{math.NaN(), math.Inf(1), math.Inf(-1)}[k-215]
	case k < 224:
		var b [8]byte
		n := copy(b[:], *s)
		*s = (*s)[n:]
		return math.Float64frombits(binary.LittleEndian.Uint64(b[:]))
	}
	return 100 + float64(k)
}

func (s *source) vec() geom.Vec { return geom.Vec{X: s.number(), Y: s.number()} }

// exercise makes any exercise that a document can describe.
func (s *source) exercise() *drill.Exercise {
	x := &drill.Exercise{ID: "f", Kind: drill.Finish, View: drill.Two, Sheet: drill.Size{Width: 297, Height: 210}}
	if s.byte() == 255 {
		x.Sheet = drill.Size{Width: s.number(), Height: s.number()}
	}
	if s.byte() > 40 {
		x.Horizon = &drill.Horizon{Line: geom.Line{A: s.number() / 300, B: s.number() / 300, C: s.number()}}
	}
	for range s.byte() % 12 {
		x.Corners = append(x.Corners, s.vec())
	}
	for i := range s.byte() % 14 {
		e := drill.Edge{ID: fmt.Sprint("e", i), Set: perspective.Set(s.byte() % 4), Box: s.byte() / 200, Given: s.byte() < 60}
		e.Corners = [2]int{s.byte() % 12, s.byte() % 12}
		if n := len(x.Corners); n > 0 && s.byte() < 250 {
			e.Corners[0], e.Corners[1] = e.Corners[0]%n, e.Corners[1]%n
		}
		x.Edges = append(x.Edges, e)
		if s.byte() < 100 {
			x.Asked.Edges = append(x.Asked.Edges, e.ID)
		}
	}
	for range s.byte() % 5 {
		p := drill.Point{ID: "p", Set: perspective.Set(s.byte() % 3), At: geom.Point{X: s.number(), Y: s.number(), W: 1}}
		switch k := s.byte(); {
		case k < 60:
			p.At.W = 0
		case k < 80:
			p.At.W = s.number()
		}
		x.Points = append(x.Points, p)
	}
	for i := range s.byte() % 4 {
		x.Targets = append(x.Targets, drill.Target{ID: fmt.Sprint("t", i), A: s.vec(), B: s.vec()})
	}
	return x
}

// attempt makes any attempt that a document can describe.
func (s *source) attempt(x *drill.Exercise) *Attempt {
	a := &Attempt{ID: "f", Input: ink.Input{Pointer: [...]ink.Pointer{ink.Pen, ink.Touch, ink.Mouse, ink.Keyboard, ink.TwoTap, ink.Ruler}[s.byte()%6]}}
	for range s.byte() % 24 {
		var st ink.Stroke
		if s.byte() < 20 {
			st.Role = ink.RoleConstruction
		}
		if n := len(x.Edges); n > 0 && s.byte() < 128 { // along an edge
			e := x.Edges[s.byte()%n]
			if i, j := e.Corners[0], e.Corners[1]; i < len(x.Corners) && j < len(x.Corners) {
				p, q := x.Corners[i], x.Corners[j]
				d := geom.Vec{X: float64(s.byte()-128) / 20, Y: float64(s.byte()-128) / 20}
				m := 2 + s.byte()%9
				for k := range m {
					v := p.Add(q.Sub(p).Scale(float64(k) / float64(m-1))).Add(d.Scale(float64(k % 3)))
					st.X, st.Y = append(st.X, v.X), append(st.Y, v.Y)
				}
			}
		}
		if len(st.X) == 0 {
			for range 2 + s.byte()%7 {
				st.X, st.Y = append(st.X, s.number()), append(st.Y, s.number())
			}
		}
		if s.byte() < 30 {
			for range st.X {
				st.P = append(st.P, float64(s.byte())/255)
			}
		}
		a.Strokes = append(a.Strokes, st)
	}
	return a
}

// FuzzOf grades whatever can be decoded: it never panics, says no only by an
// InputError, and gives finite numbers, a score from 0 to 100, every stroke
// at most once and every asked line either drawn or missing; the order of
// strokes changes nothing.
func FuzzOf(f *testing.F) {
	r := rand.New(rand.NewPCG(2, 3))
	for range 40 {
		b := make([]byte, 700)
		for i := range b {
			b[i] = byte(r.IntN(256))
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) { gradeAnything(t, b) })
}

// The laws of FuzzOf over many seeded inputs, a good share of which must be
// gradable.
func TestOfAnything(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 3))
	n, graded := 6000, 0
	b := make([]byte, 900)
	for range n {
		for i := range b {
			b[i] = byte(r.IntN(256))
			if b[i] >= 210 && r.IntN(4) > 0 { // fewer odd numbers
				b[i] -= 90
			}
		}
		if gradeAnything(t, b) {
			graded++
		}
		if t.Failed() {
			t.FailNow()
		}
	}
	if graded < n/4 {
		t.Errorf("only %d of %d could be graded", graded, n)
	}
}

// gradeAnything makes an exercise and an attempt of b and tests the laws; it
// reports whether they could be graded.
func gradeAnything(t *testing.T, b []byte) bool {
	s := source(b)
	x := s.exercise()
	a := s.attempt(x)
	h := Hand{}
	if s.byte() > 128 {
		h = Hand{SD: geom.Angle(s.number() / 1000), DOF: s.number()}
	}
	g, err := Of(x, a, h)
	if err != nil {
		var in *ink.InputError
		if !errors.As(err, &in) {
			t.Fatalf("error of another kind: %v", err)
		}
		return false
	}
	checkGrade(t, x, a, g)
	c := *a
	c.Strokes = slices.Clone(a.Strokes)
	slices.Reverse(c.Strokes)
	again, err := Of(x, &c, h)
	if err != nil || again.Score != g.Score || !slices.Equal(again.Missing, g.Missing) {
		t.Errorf("reversed order: %v, score %d and missing %v, want %d and %v", err, again.Score, again.Missing, g.Score, g.Missing)
	}
	return true
}

// checkGrade tests what holds for every grade.
func checkGrade(t *testing.T, x *drill.Exercise, a *Attempt, g *Grade) {
	t.Helper()
	if bad := notFinite(reflect.ValueOf(*g), "grade"); bad != "" {
		t.Errorf("%s is not finite", bad)
	}
	if g.Score < 0 || g.Score > 100 {
		t.Errorf("score %d", g.Score)
	}
	seen := map[int]bool{}
	once := func(s int) {
		if seen[s] || s < 0 || s >= len(a.Strokes) {
			t.Errorf("stroke %d is used twice or is none", s)
		}
		seen[s] = true
	}
	drawn := map[string]bool{}
	for _, l := range g.Lines {
		for _, s := range l.Strokes {
			once(s)
		}
		if e := l.Error.Degrees(); !(e > -90.0000001 && e <= 90.0000001) {
			t.Errorf("error %v degrees", e)
		}
		if l.Edge != "" && drawn[l.Edge] && l.Role == ink.RoleEdge {
			t.Errorf("two lines for %s", l.Edge)
		}
		drawn[l.Edge] = true
	}
	for _, s := range g.Unmatched {
		once(s)
	}
	for _, id := range g.Missing {
		if drawn[id] {
			t.Errorf("%s is drawn and missing", id)
		}
	}
	codes := map[string]bool{}
	for _, f := range g.Findings {
		key := fmt.Sprint(f.Code, f.Box, f.Set)
		if codes[key] || f.Text == "" {
			t.Errorf("finding %+v twice or without words", f)
		}
		codes[key] = true
		for _, o := range g.Findings {
			if f.Code == CodeEarly && o.Set == f.Set && o.Box == f.Box && (o.Code == CodeLate || o.Code == CodeParallel || o.Code == CodeWrongSide) {
				t.Errorf("%s and %s at once", f.Code, o.Code)
			}
		}
	}
}

// notFinite returns the path of the first number in v that is not finite.
func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return path
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return notFinite(v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if bad := notFinite(v.Field(i), path+"."+v.Type().Field(i).Name); bad != "" {
				return bad
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if bad := notFinite(v.Index(i), fmt.Sprintf("%s[%d]", path, i)); bad != "" {
				return bad
			}
		}
	}
	return ""
}
