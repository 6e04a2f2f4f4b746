package drill

import (
	"errors"
	"fmt"
	"math/rand/v2"
)

// What New refuses.
var (
	ErrKind  = errors.New("drill: no such drill")
	ErrView  = errors.New("drill: no such view of this drill")
	ErrLevel = errors.New("drill: no such level")
)

// Kinds lists the drills.
var Kinds = []Kind{Join, Finish}

// Views lists the views that k runs in; an unknown kind has none.
func Views(k Kind) []View {
	switch k {
	case Join:
		return []View{None}
	case Finish:
		return []View{One, Two, Three}
	}
	return nil
}

// A4 is the sheet of every exercise made here, landscape.
var A4 = Size{Width: 297, Height: 210}

// New makes the exercise of drill k in view v at a level, always the same one
// for the same seed. ErrKind, ErrView and ErrLevel say what does not exist;
// otherwise it never fails.
func New(k Kind, v View, level int, seed uint64) (*Exercise, error) {
	views := Views(k)
	if views == nil {
		return nil, fmt.Errorf("%w: %q", ErrKind, k)
	}
	known := false
	for _, w := range views {
		known = known || w == v
	}
	if !known {
		return nil, fmt.Errorf("%w: %q", ErrView, v)
	}
	if level < MinLevel || level > MaxLevel {
		return nil, fmt.Errorf("%w: %d is not %d to %d", ErrLevel, level, MinLevel, MaxLevel)
	}
	x := &Exercise{Generator: Generator, Kind: k, View: v, Level: level, Seed: seed, Sheet: A4}
	r := dice{newSource(seed, k, v, level)}
	if k == Join {
		join(x, &r)
	} else {
		finish(x, &r)
	}
	return x, nil
}

func newSource(seed uint64, k Kind, v View, level int) *rand.PCG {
	return rand.NewPCG(seed, stream(k, v, level))
}

// fixedDice always fall the same way for a drill, view and level.
func fixedDice(k Kind, v View, level int) dice { return dice{newSource(Generator, k, v, level)} }

// stream is the second half of the seed: a FNV-1a hash of what else decides an
// exercise, so that levels and views do not echo each other.
func stream(k Kind, v View, level int) uint64 {
	const offset, prime = 14695981039346656037, 1099511628211
	h := uint64(offset)
	add := func(b byte) { h = (h ^ uint64(b)) * prime }
	add(Generator)
	for i := range len(k) {
		add(k[i])
	}
	add(0)
	for i := range len(v) {
		add(v[i])
	}
	add(0)
	add(byte(level))
	return h
}

// dice draws numbers. It uses the source's bits directly, so that what is
// drawn does not depend on how a library turns bits into numbers.
type dice struct{ src *rand.PCG }

// float returns a number in [0, 1).
func (r *dice) float() float64 { return float64(r.src.Uint64()>>11) * 0x1p-53 }

// in returns a number between lo and hi.
func (r *dice) in(lo, hi float64) float64 { return lo + float64((hi-lo)*r.float()) }

// span returns a number in s.
func (r *dice) span(s span) float64 { return r.in(s.lo, s.hi) }

// chance is true with probability p.
func (r *dice) chance(p float64) bool { return r.float() < p }

// below returns a whole number in [0, n).
func (r *dice) below(n int) int { return int(r.float() * float64(n)) }

// span is a range of numbers.
type span struct{ lo, hi float64 }

func (s span) holds(x float64) bool { return s.lo <= x && x <= s.hi }
