package api

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"boxwright/internal/drill"
	"boxwright/internal/geom"
	"boxwright/internal/grade"
	"boxwright/internal/ink"
	"boxwright/internal/perspective"
)

// twoPoint is a tower below the eye level, its near corner's edges given, the
// height's point and the horizon withheld.
func twoPoint() *drill.Exercise {
	st := perspective.Station{
		Eye:       geom.Vec3{Z: 1.7},
		Principal: geom.Vec{X: 148.5, Y: 70}, Distance: 280,
	}
	box := perspective.Box{Base: geom.Vec3{X: 0.2, Y: 6}, Yaw: geom.Degrees(35), Size: [3]float64{1.1, 0.9, 1.3}}
	x := &drill.Exercise{
		ID: "lamp-room-12", Generator: drill.Generator, Kind: drill.Finish, View: drill.Two, Level: 9,
		Seed: 9007199254740993, Sheet: drill.Size{Width: 297, Height: 210},
		Viewing: &drill.Viewing{Principal: st.Principal, Distance: st.Distance, Yaw: geom.Degrees(12.5), Pitch: 0},
		Horizon: &drill.Horizon{Line: st.Horizon(), Shown: false},
		Marks:   []int{3},
		Boxes:   []drill.Box{{Corners: [8]int{0, 1, 2, 3, 4, 5, 6, 7}, Proportions: [3]float64{1.1, 0.9, 1.3}}},
	}
	for _, c := range box.Corners() {
		v, ok := st.Project(c)
		if !ok {
			panic("fixture behind the eye")
		}
		x.Corners = append(x.Corners, v)
	}
	for _, k := range perspective.Sets {
		x.Points = append(x.Points, drill.Point{ID: "p-" + k.String(), Set: k, At: st.Vanishing(box.Direction(k)), Shown: k == perspective.Height})
	}
	hidden := perspective.HiddenEdges(box.VisibleFaces(st.Eye))
	for i, e := range perspective.Edges {
		given := e.Corners[0] == 0
		id := "e" + strconv.Itoa(i)
		x.Edges = append(x.Edges, drill.Edge{ID: id, Set: e.Set, Corners: e.Corners, Given: given, Hidden: hidden[i]})
		if !given {
			x.Asked.Edges = append(x.Asked.Edges, id)
		}
	}
	return x
}

// dots is a sheet of dots to be joined.
func dots() *drill.Exercise {
	x := &drill.Exercise{
		ID: "slip-4", Generator: drill.Generator, Kind: drill.Join, View: drill.None, Level: 2, Seed: math.MaxUint64,
		Sheet: drill.Size{Width: 297, Height: 210},
	}
	for i := range 8 {
		t := drill.Target{ID: "t" + strconv.Itoa(i), A: geom.Vec{X: 20, Y: 20 + 20*float64(i)}, B: geom.Vec{X: 100.25, Y: 30 + 20*float64(i)}}
		x.Targets = append(x.Targets, t)
		x.Asked.Targets = append(x.Asked.Targets, t.ID)
	}
	return x
}

// everyDrill is an exercise that uses every field the drills besides finish
// and join have.
func everyDrill() *drill.Exercise {
	x := twoPoint()
	turn, cone, distance, difficulty := geom.Degrees(25), geom.Degrees(60), 280.0, 1.25
	x.Targets = []drill.Target{
		{ID: "t0", A: geom.Vec{X: 31, Y: 41}, B: geom.Vec{X: 59, Y: 26}, Hidden: [2]bool{false, true}, HasSet: true, Set: perspective.Depth},
		{ID: "t1", A: geom.Vec{X: 53, Y: 58}, B: geom.Vec{X: 97, Y: 93}, Hidden: [2]bool{true, true}, Depth: 0.5},
	}
	x.Asked.Targets = []string{"t0", "t1"}
	x.Asked.Stray = true
	x.Lines = []drill.GivenLine{{ID: "s0", Role: drill.StopLine, Segment: geom.Segment{A: geom.Vec{X: 12, Y: 13}, B: geom.Vec{X: 14, Y: 150}}}}
	x.Edges[0].Drawn = &geom.Segment{A: geom.Vec{X: 61, Y: 62}, B: geom.Vec{X: 83, Y: 84}}
	x.Bent = []drill.Bent{{Edge: x.Edges[0].ID, By: geom.Degrees(-4.5)}}
	x.Told = &drill.Told{Turn: &turn, Cube: true, Distance: &distance, Cone: &cone, Stand: drill.Across, Form: drill.SlabForm,
		Points: []drill.ToldPoint{{ID: "m-width", Role: drill.MeasuringPoint, HasSet: true, Set: perspective.Width, At: geom.Vec{X: 71, Y: 72}}}}
	x.Difficulty = &difficulty
	return x
}

// drawn is an attempt at x as a pen would leave it: strokes along the asked
// edges, n samples each, rounded as clients round.
func drawn(x *drill.Exercise, strokes, n int) *grade.Attempt {
	rnd := rand.New(rand.NewPCG(4, 20))
	a := &grade.Attempt{
		ID: "0190163d-8694-739b-aea5-966c26f8ad91", Exercise: x.ID,
		Started: time.Date(2031, 3, 9, 18, 30, 0, 250e6, time.UTC),
		Input:   ink.Input{Pointer: ink.Pen, PxPerMM: 3.78},
	}
	t := 1200.0
	for i := range strokes {
		s := ink.Stroke{Role: ink.RoleEdge}
		seg := x.Segment(x.Edges[i%len(x.Edges)])
		for j := range n {
			p := seg.A.Add(seg.B.Sub(seg.A).Scale(float64(j) / float64(n-1)))
			s.X = append(s.X, round(p.X+0.1*rnd.NormFloat64(), 100))
			s.Y = append(s.Y, round(p.Y+0.1*rnd.NormFloat64(), 100))
			s.T = append(s.T, round(t, 10))
			s.P = append(s.P, round(0.3+0.4*rnd.Float64(), 1000))
			t += 7 + rnd.Float64()
		}
		a.Strokes = append(a.Strokes, s)
	}
	return a
}

func round(v, parts float64) float64 { return math.Round(v*parts) / parts }

// attemptAllWays is an attempt that uses every field there is.
func attemptAllWays() *grade.Attempt {
	x := twoPoint()
	a := drawn(x, 4, 9)
	a.Strokes[1].Role = ink.RoleConstruction
	a.Strokes[2] = ink.Stroke{Role: ink.RoleEdge, By: ink.Ruler, X: []float64{12.5, 80}, Y: []float64{-3.25, 40.01}}
	a.Strokes[3].P = nil
	a.Marks = []grade.Mark{
		{For: "p-width", At: &geom.Point{X: 431.2, Y: 70, W: 1}},
		{For: "p-depth", At: &geom.Point{X: 0.6, Y: 0.8}},
		{For: "horizon", Line: &geom.Line{A: 0, B: 1, C: -70.5}},
		{For: "stray", Edge: "e5"},
	}
	return a
}

// gradeAllWays is a grade that uses every field there is.
func gradeAllWays() *grade.Grade {
	deg := func(d float64) *geom.Angle { a := geom.Degrees(d); return &a }
	miss, gap := 12.412345678901234, 1.9
	return &grade.Grade{
		Attempt: "0190163d-8694-739b-aea5-966c26f8ad91", Exercise: "lamp-room-12", Score: 78, RMS: deg(1.6), Hand: deg(0.7),
		Lines: []grade.Line{
			{Strokes: []int{2, 3}, Edge: "e4", Set: perspective.Depth, HasSet: true, Role: ink.RoleEdge,
				From: geom.Vec{X: 10.5, Y: 20}, To: geom.Vec{X: 70, Y: 33.3333333333333}, Length: 61, Error: geom.Degrees(2.6), ErrorSE: geom.Degrees(0.5),
				Miss: &miss, StartGap: 0.8, EndGap: -2.1, Bow: -0.6, Wobble: 0.2, Score: 53.5, Excess: 2.4, Outside: true},
			{Strokes: []int{0}, Edge: "t3", Role: ink.RoleEdge, Length: 80, Error: geom.Degrees(-0.123456789)},
			{Strokes: []int{4}, Role: ink.RoleConstruction, To: geom.Vec{X: 90, Y: 120}, Length: 150, Bow: 0.4, Wobble: 0.1},
		},
		Sets: []grade.SetGrade{
			{Set: perspective.Depth, Lines: 3, RMS: geom.Degrees(2.4), Bias: geom.Degrees(2.1), Scatter: geom.Degrees(0.9),
				Turn: deg(-2), TurnSE: deg(0.4), Early: deg(0.7), EarlySE: deg(0.5),
				Fitted: &geom.Point{X: 431.2, Y: 95.1, W: 1}, FittedCov: &[3]float64{4, -0.5, 1e-7},
				Pool: &grade.SetPool{Early: -0.25, Var: 41.5, Lever: 0.0625, SumSq: 1e-3 / 3, DOF: 2}},
			{Set: perspective.Height, Lines: 1, RMS: geom.Degrees(0.2)},
		},
		CornerGap: &gap, Proportions: &[3]float64{1, 1, 1.12}, HorizonError: deg(0),
		ProportionsSE: &[3]float64{0, 0.05, 0.1}, HorizonErrorSE: deg(1.25),
		Answers: []grade.Answer{{For: "p-width", Error: geom.Degrees(2.5), Turn: deg(-1.5), Early: deg(2), Score: 54, Outside: true},
			{For: "horizon", Error: geom.Degrees(0.5), Height: &gap, Tilt: deg(0.25), Score: 85}},
		Signals:    &grade.Signals{Hits: 1, Misses: 1, FalseAlarms: 2, Rejections: 8},
		Strays:     []grade.StrayEdge{{Edge: "e3", By: geom.Degrees(4), Tapped: true}, {Edge: "e7", Tapped: true}},
		Depths:     []grade.Depth{{For: "t1", Want: 0.5, Drawn: 0.55, LnRatio: 0.0953101798, Score: 60, Outside: true}},
		RightAngle: deg(-3),
		Camera:     &grade.Camera{Y: &grade.Figure{Value: 80.5, SE: 6}, Distance: &grade.Figure{Value: 262, SE: 31}, Cone: &grade.Figure{Value: 18.4, SE: 2}},
		Missing:    []string{"e7"}, Unmatched: []int{5},
		Findings: []grade.Finding{
			{Code: "meets-early", Set: perspective.Depth, HasSet: true, Text: "The depth lines meet too early: at 4/5 of the distance.", P: 0.004},
			{Code: "missing", Text: "One edge is missing."},
		},
		Scatter: grade.Scatter{SumSq: 3.25, DOF: 6},
	}
}

// checkLines returns the lines of one of the published check files.
func checkLines(t testing.TB, name string) [][]byte {
	t.Helper()
	f, err := os.Open("../../testdata/checks/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var in io.Reader = f
	if bytes.HasSuffix([]byte(name), []byte(".gz")) {
		if in, err = gzip.NewReader(f); err != nil {
			t.Fatal(err)
		}
	}
	var lines [][]byte
	s := bufio.NewScanner(in)
	s.Buffer(nil, 4<<20)
	for s.Scan() {
		lines = append(lines, bytes.Clone(s.Bytes()))
	}
	if s.Err() != nil || len(lines) == 0 {
		t.Fatalf("%s: %d lines, %v", name, len(lines), s.Err())
	}
	return lines
}
