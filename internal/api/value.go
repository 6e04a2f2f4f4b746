package api

import (
	"strconv"
	"unicode/utf16"
	"unicode/utf8"
)

// text reads a string. Without escapes the bytes returned are those of the
// document itself, not a copy.
func (r *reader) text() []byte {
	if r.err != nil {
		return nil
	}
	if r.peek() != '"' {
		r.unexpected("a string")
		return nil
	}
	r.i++
	start, ascii := r.i, true
	for r.i < len(r.b) {
		switch c := r.b[r.i]; {
		case c == '"':
			s := r.b[start:r.i]
			if !ascii && !utf8.Valid(s) {
				r.malformed("a string must be UTF-8")
				return nil
			}
			r.i++
			return s
		case c == '\\':
			return r.escaped(start)
		case c < ' ':
			r.malformed("a control character must be escaped")
			return nil
		case c >= utf8.RuneSelf:
			ascii = false
		}
		r.i++
	}
	r.malformed("a string does not end")
	return nil
}

// escaped reads on in the string that began at start, from its first escape.
func (r *reader) escaped(start int) []byte {
	s := append([]byte(nil), r.b[start:r.i]...)
	for r.i < len(r.b) {
		switch c := r.b[r.i]; {
		case c == '"':
			if !utf8.Valid(s) {
				r.malformed("a string must be UTF-8")
				return nil
			}
			r.i++
			return s
		case c == '\\':
			if s = r.escape(s); r.err != nil {
				return nil
			}
		case c < ' ':
			r.malformed("a control character must be escaped")
			return nil
		default:
			s = append(s, c)
			r.i++
		}
	}
	r.malformed("a string does not end")
	return nil
}

// escape reads one escape and appends what it stands for.
func (r *reader) escape(s []byte) []byte {
	if r.i+1 >= len(r.b) {
		r.malformed("a string does not end")
		return s
	}
	c := r.b[r.i+1]
	switch c {
	case '"', '\\', '/':
	case 'b':
		c = '\b'
	case 'f':
		c = '\f'
	case 'n':
		c = '\n'
	case 'r':
		c = '\r'
	case 't':
		c = '\t'
	case 'u':
		return r.unicode(s)
	default:
		r.malformed("there is no such escape")
		return s
	}
	r.i += 2
	return append(s, c)
}

// unicode reads \uXXXX, or a surrogate pair of two. Half a pair is refused:
// it is no character.
func (r *reader) unicode(s []byte) []byte {
	c := r.hex4(r.i)
	if c < 0 {
		r.malformed("\\u needs four hexadecimal digits")
		return s
	}
	if utf16.IsSurrogate(c) {
		c = utf16.DecodeRune(c, r.hex4(r.i+6))
		if c == utf8.RuneError {
			r.malformed("half a surrogate pair")
			return s
		}
		r.i += 6
	}
	r.i += 6
	return utf8.AppendRune(s, c)
}

// hex4 returns the value of \uXXXX at i, -1 if it does not stand there.
func (r *reader) hex4(i int) rune {
	if i+6 > len(r.b) || r.b[i] != '\\' || r.b[i+1] != 'u' {
		return -1
	}
	var v rune
	for _, c := range r.b[i+2 : i+6] {
		switch {
		case c >= '0' && c <= '9':
			v = v<<4 | rune(c-'0')
		case c >= 'a' && c <= 'f':
			v = v<<4 | rune(c-'a'+10)
		case c >= 'A' && c <= 'F':
			v = v<<4 | rune(c-'A'+10)
		default:
			return -1
		}
	}
	return v
}

// id reads a string that names something: not empty, not long.
func (r *reader) id() string {
	s := r.text()
	switch {
	case r.err != nil:
	case len(s) == 0:
		r.fail("this must not be empty")
	case len(s) > MaxIDBytes:
		r.fail("this must have at most %d bytes", MaxIDBytes)
	}
	return string(s)
}

// word reads a string that must be one of words and returns that word, so
// that nothing is copied.
func word[S ~string](r *reader, words []S) S {
	s := r.text()
	if r.err != nil {
		return ""
	}
	for _, w := range words {
		if string(s) == string(w) {
			return w
		}
	}
	r.fail("this must be one of %s", quoted(words))
	return ""
}

// quoted lists words for a person: "one", "two".
func quoted[S ~string](words []S) string {
	var b []byte
	for i, w := range words {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = strconv.AppendQuote(b, string(w))
	}
	return string(b)
}

// boolean reads true or false.
func (r *reader) boolean() bool {
	if r.err != nil {
		return false
	}
	switch c := r.peek(); {
	case c == 't' && r.literal("true"):
		return true
	case c == 'f' && r.literal("false"):
		return false
	}
	r.unexpected("true or false")
	return false
}

// null takes null if it comes next.
func (r *reader) null() bool { return r.err == nil && r.peek() == 'n' && r.literal("null") }

// skip reads any value.
func (r *reader) skip(depth int) {
	if r.err != nil {
		return
	}
	if depth > maxDepth {
		r.malformed("values are nested too deeply")
		return
	}
	switch c := r.peek(); c {
	case '{':
		r.i++
		for first := true; r.more('}', first); first = false {
			if r.peek() != '"' {
				r.malformed("a key in quotation marks must stand here")
				return
			}
			r.text()
			if r.err == nil {
				r.colon()
			}
			r.skip(depth + 1)
		}
	case '[':
		r.i++
		for first := true; r.more(']', first); first = false {
			r.skip(depth + 1)
		}
	case '"':
		r.text()
	default:
		if c == '-' || c >= '0' && c <= '9' {
			r.skipNumber()
		} else if !r.literal("true") && !r.literal("false") && !r.literal("null") {
			r.malformed("no JSON value begins")
		}
	}
}
