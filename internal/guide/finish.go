package guide

import (
	"boxwright/internal/drill"
	"boxwright/internal/perspective"
)

// finish constructs the rest of a box from some of its edges.
func finish(x *drill.Exercise) ([]Step, error) {
	b, err := newBox(x, 0)
	if err != nil {
		return nil, err
	}
	steps := []Step{horizonStep(x)}
	points, err := b.findPoints()
	if err != nil {
		return nil, err
	}
	steps = append(steps, points...)
	if k, ok := b.facing(); ok {
		steps = append(steps, b.fromFace(k)...)
	} else if near, ok := b.nearUpright(); ok {
		steps = append(steps, b.fromUpright(near)...)
	}
	if lines, found := b.rest(); len(found) > 0 {
		steps = append(steps, Step{Text: "Run light lines along the sets from the corners that are known: where two of them cross lies the next corner.",
			Lines: lines, Dots: b.dots(found...)})
	}
	if !b.all(0, 1, 2, 3, 4, 5, 6, 7) {
		return nil, unfixed("not all corners")
	}
	return append(steps, b.ending()...), nil
}

// facing returns the only set that recedes; ok is false when several do.
func (b *box) facing() (k perspective.Set, ok bool) {
	n := 0
	for _, s := range perspective.Sets {
		if b.finite(s) {
			k = s
			n++
		}
	}
	return k, n == 1
}

// nearUpright returns the lower corner of the upright opposite the hidden one,
// or of the only given one. ok is false when its ends are not both known.
func (b *box) nearUpright() (c int, ok bool) {
	var hidden, given []int
	for _, c := range [4]int{0, 1, 2, 3} {
		e, _ := perspective.EdgeAt(c, perspective.Height)
		if b.edges[e].Hidden {
			hidden = append(hidden, c)
		}
		if b.edges[e].Given {
			given = append(given, c)
		}
	}
	switch {
	case len(hidden) == 1:
		c = hidden[0] ^ 3
	case len(given) > 0:
		c = given[0]
	}
	return c, b.all(c, c|top)
}

// Corner bits, by set.
const (
	wide = 1 << perspective.Width
	deep = 1 << perspective.Depth
	top  = 1 << perspective.Height
)

// fromUpright builds the box on its near upright: light lines from its ends
// to both level points, the outer uprights between them, and from those the
// lines that cross in the far upright.
func (b *box) fromUpright(near int) []Step {
	w, d, h := perspective.Width, perspective.Depth, perspective.Height
	var steps []Step
	first := Step{Text: "Begin with the near upright: it is given, and the rest of the box hangs on it.", Lines: b.givenLines(), Dots: b.marks()}
	switch {
	case len(b.given(w))+len(b.given(d)) > 0:
		first.Text = "Begin at the near corner: its three edges are given, and the rest of the box hangs on them."
	case len(first.Dots) > 0:
		first.Text = "Begin with the near upright: it is given, and marks tell where the next edges end."
	}
	steps = append(steps, first)

	left, right := b.name(w), b.name(d)
	if left > right { // the left one is named first
		left, right = right, left
	}
	rails := Step{Text: "From both ends of the near upright run light lines to the " + left + " and to the " + right + "."}
	for _, c := range [2]int{near, near | top} {
		rails.Lines = append(rails.Lines, b.rail(w, c, c^wide), b.rail(d, c, c^deep))
	}
	steps = append(steps, rails)

	outer := Step{Text: "Where the marks end the width and the depth draw light uprights from one line to the other: they are the outer uprights."}
	if len(b.x.Marks) == 0 {
		outer.Text = "Where the given edges end draw light uprights from one line to the other: they are the outer uprights."
	}
	if b.finite(h) {
		outer.Text = "Where the marks end the width and the depth run light lines to the " + b.name(h) + ": they are the outer uprights."
		if len(b.x.Marks) == 0 {
			outer.Text = "Where the given edges end run light lines to the " + b.name(h) + ": they are the outer uprights."
		}
	}
	for _, k := range [2]perspective.Set{w, d} {
		foot := near ^ 1<<k
		for _, c := range [2]int{foot, foot | top} {
			if !b.known[c] && b.solve(c, k, h) {
				outer.Dots = append(outer.Dots, b.dots(c)...)
			}
		}
		if b.known[foot] {
			outer.Lines = append(outer.Lines, b.rail(h, foot, foot|top))
		}
	}
	steps = append(steps, outer)

	far := near ^ wide ^ deep
	back := Step{Text: "From the ends of the outer uprights run light lines to the opposite points: they cross in the two ends of the far upright."}
	for _, c := range [2]int{far, far | top} {
		if b.solve(c, w, d) {
			back.Lines = append(back.Lines, b.rail(w, c, c^wide), b.rail(d, c, c^deep))
			back.Dots = append(back.Dots, b.dots(c)...)
		}
	}
	return append(steps, back)
}

// fromFace builds the box on the face square to the line of sight: it keeps
// its shape, lines from its corners run to the one point, and the back face
// is the same shape, smaller.
func (b *box) fromFace(k perspective.Set) []Step {
	m, n := perspective.Set((k+1)%3), perspective.Set((k+2)%3) // the two sets of the face
	front := b.frontBit(k)
	corners := [4]int{front, front ^ 1<<m, front ^ 1<<m ^ 1<<n, front ^ 1<<n}
	face := Step{Text: "Begin with the front face: it stands square to the line of sight, so it keeps its true shape.",
		Lines: b.givenLines(), Dots: b.marks()}
	whole := len(b.given(m))+len(b.given(n)) >= len(corners)
	var steps []Step
	if !whole {
		face.Text = "Begin with the front upright: it is given, and marks tell the width and the depth."
		steps = append(steps, face)
		face = Step{Text: "Run level lines from its ends and an upright through the mark of the width: they enclose the front face, which keeps its true shape."}
		for again := true; again; {
			again = false
			for _, c := range corners {
				if !b.known[c] && b.solve(c, m, n) {
					face.Dots = append(face.Dots, b.dots(c)...)
					again = true
				}
			}
		}
		for i, c := range corners {
			j := corners[(i+1)%4]
			if b.all(c, j) {
				face.Lines = append(face.Lines, b.rail(setOf(c^j), c, j))
			}
		}
	}
	steps = append(steps, face)

	rails := Step{Text: "From the four corners of the front face run light lines to the vanishing point."}
	for _, c := range corners {
		if b.known[c] {
			rails.Lines = append(rails.Lines, b.rail(k, c, c^1<<k))
		}
	}
	steps = append(steps, rails)
	return append(steps, b.backFace(k, corners, whole))
}

// backFace goes round the back face from the corner that tells the depth.
func (b *box) backFace(k perspective.Set, corners [4]int, whole bool) Step {
	s := Step{Text: "From the mark of the depth run a level line and an upright to the next lines, and so on round the back face."}
	if whole && len(b.x.Marks) == 0 {
		s.Text = "From the end of the given receding edge run a level line and an upright to the next lines, and so on round the back face."
	}
	for again := true; again; {
		again = false
		for i, c := range corners {
			j := corners[(i+1)%4]
			for _, p := range [2][2]int{{c, j}, {j, c}} {
				if to := p[1] ^ 1<<k; !b.known[to] && b.solve(to, k, setOf(p[0]^p[1])) {
					s.Dots = append(s.Dots, b.dots(to)...)
					again = true
				}
			}
		}
	}
	for i, c := range corners {
		c, j := c^1<<k, corners[(i+1)%4]^1<<k
		if b.all(c, j) {
			s.Lines = append(s.Lines, b.rail(setOf(c^j), c, j))
		}
	}
	return s
}

// setOf returns the set of the edge between corners that differ in one bit.
func setOf(bit int) perspective.Set { return perspective.Set(bit >> 1) }

// frontBit returns a corner of the face of the given edges, one whose set k
// bit is that of the front; all its other bits are 0.
func (b *box) frontBit(k perspective.Set) int {
	for i, e := range b.edges {
		if e.Given && perspective.Edges[i].Set != k {
			return perspective.Edges[i].Corners[0] & (1 << k)
		}
	}
	return 0
}

// givenLines points out all given edges.
func (b *box) givenLines() []Line {
	return b.pick(Given, func(_ int, e drill.Edge) bool { return e.Given })
}

// marks points out the corners that are given as dots.
func (b *box) marks() []Dot {
	var d []Dot
	for _, m := range b.x.Marks {
		d = append(d, Dot{At: b.x.Corners[m], Role: Given})
	}
	return d
}

// ending draws the edges firmly, the hidden ones too, and checks.
func (b *box) ending() []Step {
	steps := []Step{{Text: "Draw the visible edges firmly on the light lines.",
		Lines: b.pick(Edge, func(_ int, e drill.Edge) bool { return !e.Hidden })}}
	hidden := b.pick(Hidden, func(_ int, e drill.Edge) bool { return e.Hidden })
	if len(hidden) > 0 {
		steps = append(steps, Step{Text: "Draw the hidden edges too, as if the box were transparent, for only then can every line be checked.", Lines: hidden})
	}
	return append(steps, b.check())
}

// check makes the last step: what must come out right of itself.
func (b *box) check() Step {
	if k, ok := b.facing(); ok {
		return b.checkFaces(k)
	}
	near, _ := b.nearUpright()
	far := near ^ wide ^ deep
	s := Step{Text: "Check: the far upright must stand plumb over its foot, for its two ends were found each on its own."}
	if b.finite(perspective.Height) {
		s.Text = "Check: the far upright must run to the " + b.name(perspective.Height) + " too, for its two ends were found each on its own."
	}
	s.Lines = []Line{b.rail(perspective.Height, far, far|top)}
	return s
}

// checkFaces compares the two faces square to the line of sight.
func (b *box) checkFaces(k perspective.Set) Step {
	s := Step{Text: "Check: the diagonals of the front face and those of the back face cross on one line to the vanishing point."}
	m, n := 1<<((k+1)%3), 1<<((k+2)%3)
	for _, bit := range [2]int{0, 1 << k} {
		for _, p := range [2][2]int{{bit, bit ^ m ^ n}, {bit ^ m, bit ^ n}} {
			s.Lines = append(s.Lines, Line{Segment: segmentOf(b.at[p[0]], b.at[p[1]]), Role: Construction})
		}
	}
	i, okI := crossing(s.Lines[0].Segment, s.Lines[1].Segment)
	j, okJ := crossing(s.Lines[2].Segment, s.Lines[3].Segment)
	if v, ok := b.points[k].Vec(); ok && okI && okJ {
		from := i
		if j.Sub(v).Len() > i.Sub(v).Len() {
			from = j
		}
		s.Lines = append(s.Lines, Line{Segment: segmentOf(from, v), Role: Construction, HasSet: true, Set: k})
		s.Dots = []Dot{{At: i, Role: Corner}, {At: j, Role: Corner}}
	}
	return s
}
