package api

import (
	"math"
	"strconv"
	"time"
	"unicode/utf8"

	"boxwright/internal/geom"
)

// writer appends JSON. Commas come by themselves: one is due unless the last
// byte opens something or ends a key.
type writer struct{ b []byte }

func (w *writer) comma() {
	if n := len(w.b); n > 0 {
		switch w.b[n-1] {
		case '{', '[', ':':
		default:
			w.b = append(w.b, ',')
		}
	}
}

func (w *writer) open(c byte)  { w.comma(); w.b = append(w.b, c) }
func (w *writer) close(c byte) { w.b = append(w.b, c) }

// key writes a key; name needs no escaping.
func (w *writer) key(name string) {
	w.comma()
	w.b = append(w.b, '"')
	w.b = append(w.b, name...)
	w.b = append(w.b, '"', ':')
}

func (w *writer) text(s string) {
	w.comma()
	w.b = appendString(w.b, s)
}

func (w *writer) boolean(v bool) {
	w.comma()
	w.b = strconv.AppendBool(w.b, v)
}

func (w *writer) integer(v int) {
	w.comma()
	w.b = strconv.AppendInt(w.b, int64(v), 10)
}

func (w *writer) null() {
	w.comma()
	w.b = append(w.b, "null"...)
}

// number writes the shortest decimals that read back as v. What is not finite
// has no JSON; null stands for it.
func (w *writer) number(v float64) {
	w.comma()
	w.b = appendNumber(w.b, v)
}

// optional writes null for nil.
func (w *writer) optional(v *float64) {
	if v == nil {
		w.null()
		return
	}
	w.number(*v)
}

func (w *writer) numbers(v ...float64) {
	w.open('[')
	for i, x := range v {
		if i > 0 {
			w.b = append(w.b, ',')
		}
		w.b = appendNumber(w.b, x)
	}
	w.close(']')
}

func (w *writer) integers(v []int) {
	w.open('[')
	for _, x := range v {
		w.integer(x)
	}
	w.close(']')
}

func (w *writer) texts(v []string) {
	w.open('[')
	for _, x := range v {
		w.text(x)
	}
	w.close(']')
}

func (w *writer) vec(v geom.Vec)     { w.numbers(v.X, v.Y) }
func (w *writer) point(p geom.Point) { w.numbers(p.X, p.Y, p.W) }
func (w *writer) line(l geom.Line)   { w.numbers(l.A, l.B, l.C) }

// An angle is rounded on its way out, far below what a pen can tell, because
// radians and degrees do not turn into one another without loss: so a
// document that is read and written again has the same bytes.
const (
	gradeAngles    = 1e9  // parts of a degree
	exerciseAngles = 1e12 // still exact up to 360 degrees
)

// maxAngle bounds the angles of a grade, in degrees: rounding to gradeAngles
// is exact below it. Only the standard error of what is not determined at all
// could be larger, and it says no more than this.
const maxAngle = 1e5

func (w *writer) angle(a geom.Angle, parts float64) {
	d := min(maxAngle, max(-maxAngle, a.Degrees()))
	w.number(math.Round(d*parts) / parts)
}

// folded writes an angle between undirected lines, in (-90, 90]: what rounding
// brings to -90 is the same angle as 90.
func (w *writer) folded(a geom.Angle) {
	d := math.Round(a.Degrees()*gradeAngles) / gradeAngles
	if d == -90 {
		d = 90
	}
	w.number(d)
}

func (w *writer) optionalAngle(a *geom.Angle, parts float64) {
	if a == nil {
		w.null()
		return
	}
	w.angle(*a, parts)
}

func (w *writer) time(t time.Time) { w.text(t.UTC().Format(time.RFC3339Nano)) }

// appendNumber appends v as encoding/json would. Pens report hundredths of a
// millimetre and tenths of a millisecond, so up to three decimals go a short
// way: where q/1000 is v, q's digits with the point set are the shortest
// decimal, because no two decimals of up to 15 digits are the same float64.
func appendNumber(b []byte, v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(b, "null"...)
	}
	if v == 0 {
		return append(b, '0')
	}
	if a := math.Abs(v); a < 1e11 {
		if q := math.Floor(float64(a*1000) + 0.5); q/1000 == a {
			return appendMilli(b, v < 0, uint64(q))
		}
	} else if a >= 1e21 {
		return strconv.AppendFloat(b, v, 'e', -1, 64)
	}
	if a := math.Abs(v); a < 1e-6 {
		return strconv.AppendFloat(b, v, 'e', -1, 64)
	}
	return strconv.AppendFloat(b, v, 'f', -1, 64)
}

// appendMilli appends q/1000.
func appendMilli(b []byte, neg bool, q uint64) []byte {
	if neg {
		b = append(b, '-')
	}
	b = strconv.AppendUint(b, q/1000, 10)
	f := q % 1000
	if f == 0 {
		return b
	}
	b = append(b, '.', byte('0'+f/100))
	if f %= 100; f > 0 {
		b = append(b, byte('0'+f/10))
		if f %= 10; f > 0 {
			b = append(b, byte('0'+f))
		}
	}
	return b
}

// appendString appends s in quotation marks. Besides what JSON asks for, what
// could end a script element or a line of JavaScript is escaped, so that a
// document can stand in a page.
func appendString(b []byte, s string) []byte {
	const hex = "0123456789abcdef"
	b = append(b, '"')
	for i := 0; i < len(s); {
		c := s[i]
		if c < utf8.RuneSelf {
			switch {
			case c == '"' || c == '\\':
				b = append(b, '\\', c)
			case c < ' ' || c == '<' || c == '>' || c == '&' || c == 0x7f:
				b = append(b, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
			default:
				b = append(b, c)
			}
			i++
			continue
		}
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			b = append(b, `\ufffd`...)
		case r == '\u2028' || r == '\u2029':
			b = append(b, `\u202`...)
			b = append(b, hex[r&15])
		default:
			b = append(b, s[i:i+n]...)
		}
		i += n
	}
	return append(b, '"')
}
