package ink

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"math"
	"slices"
)

// The packed form of strokes, all integers little-endian or varints:
//
//	version byte; count of strokes; per stroke: role, by, the columns x y t p;
//	CRC-32C of everything before it (4 bytes).
//
// Role and by are one byte: an index into the known words, or unknownWord and
// then length and bytes. A column is a form byte, the count of values and the
// values. A pen reports on a grid of short decimals and moves smoothly, so
// the usual form is the whole numbers n of value = n / 10^e with the smallest
// e that is exact for every value, as zigzag varints of second differences:
// about a byte per value. A column that has no such e is kept as raw bits.
// Every bit comes back: -0, NaN, nil as against empty columns.
const packVersion = 1

// Forms of a column; formDecimal + e is the decimal form with exponent e.
const (
	formNil     = 0
	formRaw     = 1
	formDecimal = 2
)

// maxExponent is the largest e tried: 10^15 still divides exactly into what a
// float64 holds, and more digits than that are not short.
const maxExponent = 15

// maxWhole bounds |n|: up to 2^53 every whole number is a float64.
const maxWhole = 1 << 53

// unknownWord says that a role or pointer follows in full.
const unknownWord = 0xff

var (
	packedRoles    = []string{"", string(RoleEdge), string(RoleConstruction)}
	packedPointers = []string{"", string(Pen), string(Touch), string(Mouse), string(Keyboard), string(TwoTap), string(Ruler)}
	castagnoli     = crc32.MakeTable(crc32.Castagnoli)
	powers         = [maxExponent + 1]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}
)

// ErrPacked is returned for bytes that Pack has not made or that were
// changed since.
var ErrPacked = errors.New("ink: packed strokes are damaged")

// Pack turns strokes into few bytes, losing nothing: Unpack gives back every
// bit, of strokes that break the limits of an attempt too.
func Pack(strokes []Stroke) []byte {
	b := binary.AppendUvarint([]byte{packVersion}, uint64(len(strokes)))
	for _, s := range strokes {
		b = packWord(b, packedRoles, string(s.Role))
		b = packWord(b, packedPointers, string(s.By))
		for _, column := range [][]float64{s.X, s.Y, s.T, s.P} {
			b = packColumn(b, column)
		}
	}
	return binary.LittleEndian.AppendUint32(b, crc32.Checksum(b, castagnoli))
}

func packWord(b []byte, known []string, word string) []byte {
	if i := slices.Index(known, word); i >= 0 {
		return append(b, byte(i))
	}
	b = binary.AppendUvarint(append(b, unknownWord), uint64(len(word)))
	return append(b, word...)
}

func packColumn(b []byte, v []float64) []byte {
	if v == nil {
		return append(b, formNil)
	}
	start := len(b)
	if e, ok := exponent(v); ok {
		b = binary.AppendUvarint(append(b, formDecimal+byte(e)), uint64(len(v)))
		values := len(b)
		var last, step int64
		for _, x := range v {
			n, _ := whole(x, e)
			b = binary.AppendVarint(b, n-last-step)
			step, last = n-last, n
		}
		if len(b)-values <= 8*len(v) {
			return b
		}
		b = b[:start] // long decimals: the raw bits are shorter
	}
	b = binary.AppendUvarint(append(b, formRaw), uint64(len(v)))
	for _, x := range v {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
	}
	return b
}

// exponent returns the smallest e with which whole is exact for all of v.
func exponent(v []float64) (e int, ok bool) {
	for i := 0; i < len(v); {
		if _, exact := whole(v[i], e); exact {
			i++
			continue
		}
		if e++; e > maxExponent {
			return 0, false
		}
		i = 0 // what was exact with fewer digits might overflow with more
	}
	return e, true
}

// whole returns the n for which n / 10^e is x bit for bit; ok is false when
// there is none.
func whole(x float64, e int) (n int64, ok bool) {
	f := math.RoundToEven(x * powers[e])
	if !(math.Abs(f) <= maxWhole) { // also for NaN
		return 0, false
	}
	n = int64(f)
	return n, math.Float64bits(decimal(n, e)) == math.Float64bits(x)
}

func decimal(n int64, e int) float64 { return float64(n) / powers[e] }

// Unpack reads what Pack has made; anything else is ErrPacked. What it
// allocates is bounded by the length of b.
func Unpack(b []byte) ([]Stroke, error) {
	if len(b) < 1+4 {
		return nil, fmt.Errorf("%w: too short", ErrPacked)
	}
	body, sum := b[:len(b)-4], binary.LittleEndian.Uint32(b[len(b)-4:])
	if crc32.Checksum(body, castagnoli) != sum {
		return nil, fmt.Errorf("%w: checksum", ErrPacked)
	}
	if body[0] != packVersion {
		return nil, fmt.Errorf("%w: version %d", ErrPacked, body[0])
	}
	u := unpacker{rest: body[1:]}
	// A stroke takes at least 6 bytes: its two words and four columns.
	strokes := make([]Stroke, 0, u.count(6))
	for len(strokes) < cap(strokes) && !u.bad {
		s := Stroke{Role: Role(u.word(packedRoles)), By: Pointer(u.word(packedPointers))}
		for _, column := range []*[]float64{&s.X, &s.Y, &s.T, &s.P} {
			*column = u.column()
		}
		strokes = append(strokes, s)
	}
	if u.bad || len(u.rest) > 0 {
		return nil, fmt.Errorf("%w: structure", ErrPacked)
	}
	return strokes, nil
}

// unpacker reads from rest; after a fault bad is set and every further read
// gives zeros.
type unpacker struct {
	rest []byte
	bad  bool
}

func (u *unpacker) fail() { u.bad, u.rest = true, nil }

func (u *unpacker) byte() byte {
	if len(u.rest) == 0 {
		u.fail()
		return 0
	}
	c := u.rest[0]
	u.rest = u.rest[1:]
	return c
}

// count reads how many items of at least size bytes each follow, and fails
// when so many cannot.
func (u *unpacker) count(size int) int {
	n, w := binary.Uvarint(u.rest)
	if w <= 0 || n > uint64(len(u.rest)-w)/uint64(size) {
		u.fail()
		return 0
	}
	u.rest = u.rest[w:]
	return int(n)
}

func (u *unpacker) word(known []string) string {
	i := u.byte()
	switch {
	case int(i) < len(known):
		return known[i]
	case i != unknownWord:
		u.fail()
		return ""
	}
	n := u.count(1)
	s := string(u.rest[:n])
	u.rest = u.rest[n:]
	return s
}

func (u *unpacker) column() []float64 {
	switch form := u.byte(); {
	case form == formNil:
		return nil
	case form == formRaw:
		v := make([]float64, u.count(8))
		for i := range v {
			v[i] = math.Float64frombits(binary.LittleEndian.Uint64(u.rest))
			u.rest = u.rest[8:]
		}
		return v
	case form <= formDecimal+maxExponent:
		return u.decimals(int(form) - formDecimal)
	}
	u.fail()
	return nil
}

func (u *unpacker) decimals(e int) []float64 {
	v := make([]float64, u.count(1))
	var last, step int64
	for i := range v {
		d, w := binary.Varint(u.rest)
		if w <= 0 {
			u.fail()
			return nil
		}
		u.rest = u.rest[w:]
		step += d
		last += step
		if last > maxWhole || last < -maxWhole {
			u.fail()
			return nil
		}
		v[i] = decimal(last, e)
	}
	return v
}
