package api

import (
	"errors"
	"math"
	"strconv"
)

// powers holds the powers of ten that float64 holds exactly.
var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// number reads a finite number. Its value is the one that strconv.ParseFloat
// gives: up to 15 digits times or over an exact power of ten is one rounding
// only, hence right (Clinger 1990, "How to read floating point numbers
// accurately"); all else goes to strconv.
func (r *reader) number() float64 {
	if r.err != nil {
		return 0
	}
	b, i := r.b, r.i
	if i < len(b) && b[i] <= ' ' {
		r.space()
		i = r.i
	}
	start := i
	neg := i < len(b) && b[i] == '-'
	if neg {
		i++
	}
	var m uint64
	digits := i
	for i < len(b) && b[i]-'0' < 10 {
		m = m*10 + uint64(b[i]-'0')
		i++
	}
	n := i - digits
	if n == 0 || n > 1 && b[digits] == '0' {
		return r.noNumber(start)
	}
	frac := 0
	if i < len(b) && b[i] == '.' {
		i++
		dot := i
		for i < len(b) && b[i]-'0' < 10 {
			m = m*10 + uint64(b[i]-'0')
			i++
		}
		if frac = i - dot; frac == 0 {
			r.i = i
			r.malformed("a digit must follow the point")
			return 0
		}
	}
	if n+frac > 15 || i < len(b) && b[i]|0x20 == 'e' {
		return r.longNumber(start, i)
	}
	r.i = i
	v := float64(m) / powers[frac]
	if neg {
		v = -v
	}
	return v
}

// longNumber reads the number that began at start and whose mantissa ends at
// i.
func (r *reader) longNumber(start, i int) float64 {
	b := r.b
	if i < len(b) && b[i]|0x20 == 'e' {
		i++
		if i < len(b) && (b[i] == '+' || b[i] == '-') {
			i++
		}
		digits := i
		for i < len(b) && b[i]-'0' < 10 {
			i++
		}
		if i == digits {
			r.i = i
			r.malformed("a digit must follow the exponent's sign")
			return 0
		}
	}
	v, err := strconv.ParseFloat(string(b[start:i]), 64)
	if err != nil {
		r.i = i
		r.fail("this number is too large to be held; numbers must be finite")
		return 0
	}
	r.i = i
	return v
}

// noNumber says what stands at i in a number's place. The words that other
// notations have for what is not finite are told apart from mere garbage.
func (r *reader) noNumber(i int) float64 {
	r.i = i
	for _, w := range []string{"NaN", "Infinity", "-Infinity", "-NaN", "Inf", "-Inf", "+Inf", "nan", "inf", "-inf"} {
		if r.literal(w) {
			r.fail("numbers must be finite")
			return 0
		}
	}
	if c := r.peek(); c == '-' || c >= '0' && c <= '9' {
		r.malformed("a number must have digits and no leading zero")
		return 0
	}
	r.unexpected("a number")
	return 0
}

// within reads a number from lo to hi.
func (r *reader) within(lo, hi float64) float64 {
	v := r.number()
	if r.err == nil && !(v >= lo && v <= hi) {
		r.fail("this must be from %v to %v", lo, hi)
	}
	return v
}

// integer reads a whole number from lo to hi.
func (r *reader) integer(lo, hi int) int {
	v := r.number()
	if r.err != nil {
		return 0
	}
	if v != math.Trunc(v) || v < float64(lo) || v > float64(hi) {
		r.fail("this must be a whole number from %d to %d", lo, hi)
		return 0
	}
	return int(v)
}

// version reads the document's version.
func (r *reader) version() {
	if v := r.number(); r.err == nil && v != Version {
		r.fail("this must be %d, the only version there is", Version)
	}
}

// numbers fills v from an array of exactly len(v) numbers.
func (r *reader) numbers(v []float64) {
	n := r.array(len(v), func(i int) { v[i] = r.number() })
	if r.err == nil && n != len(v) {
		r.fail("this must be %d numbers, not %d", len(v), n)
	}
}

// skipNumber reads a number of any size.
func (r *reader) skipNumber() {
	in := reader{b: r.b, i: r.i}
	in.number()
	switch {
	case errors.Is(in.err, ErrSyntax):
		r.i, r.err = in.i, in.err
	case in.b[in.i-1] > '9': // -Infinity, which is no JSON
		r.malformed("no JSON value begins")
	default:
		r.i = in.i
	}
}
