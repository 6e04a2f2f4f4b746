package api

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"boxwright/internal/ink"
)

// reader reads one JSON document in a single pass. The first error stays in
// err and makes every later call return at once with a zero value, so that
// decoders read straight on and look at err once.
type reader struct {
	b    []byte
	i    int
	path []step // where in the document the reader is
	err  error
}

// step is one part of a JSON pointer: a key, or an index where key is "".
type step struct {
	key string
	at  int
}

// shape is what an object may hold.
type shape struct{ required, optional []string }

// maxDepth bounds the nesting of values that are skipped.
const maxDepth = 100

func (r *reader) pointer() string {
	var p strings.Builder
	for _, s := range r.path {
		p.WriteByte('/')
		if s.key == "" && s.at >= 0 {
			p.WriteString(strconv.Itoa(s.at))
			continue
		}
		p.WriteString(strings.NewReplacer("~", "~0", "/", "~1").Replace(s.key))
	}
	return p.String()
}

// fail records that the value at hand does not fit.
func (r *reader) fail(format string, args ...any) {
	if r.err == nil {
		r.err = &ink.InputError{Pointer: r.pointer(), Detail: fmt.Sprintf(format, args...)}
	}
}

// failAt is fail for the value that the further path leads to.
func (r *reader) failAt(path []step, format string, args ...any) {
	n := len(r.path)
	r.path = append(r.path, path...)
	r.fail(format, args...)
	r.path = r.path[:n]
}

// malformed records that the document is not JSON from here on.
func (r *reader) malformed(what string) {
	if r.err == nil {
		r.err = fmt.Errorf("%w: %s at byte %d", ErrSyntax, what, r.i)
	}
}

func (r *reader) space() {
	for r.i < len(r.b) {
		switch r.b[r.i] {
		case ' ', '\t', '\n', '\r':
			r.i++
		default:
			return
		}
	}
}

// peek returns the first byte of the next token, 0 at the end.
func (r *reader) peek() byte {
	r.space()
	if r.i >= len(r.b) {
		return 0
	}
	return r.b[r.i]
}

// end asks that nothing follows.
func (r *reader) end() {
	if r.err == nil && r.peek() != 0 || r.i < len(r.b) {
		r.malformed("something follows the document")
	}
}

// unexpected records that the next value is not what was wanted; something
// that is no value at all is a fault of syntax.
func (r *reader) unexpected(want string) {
	var got string
	switch c := r.peek(); {
	case c == '{':
		got = "an object"
	case c == '[':
		got = "an array"
	case c == '"':
		got = "a string"
	case c == '-' || c >= '0' && c <= '9':
		got = "a number"
	case r.literal("true") || r.literal("false"):
		got = "true or false"
	case r.literal("null"):
		got = "null"
	case r.i >= len(r.b):
		r.malformed("the document ends too early")
		return
	default:
		r.malformed("no JSON value begins")
		return
	}
	r.fail("this must be %s, not %s", want, got)
}

// literal takes word if it comes next.
func (r *reader) literal(word string) bool {
	if bytes.HasPrefix(r.b[r.i:], []byte(word)) {
		r.i += len(word)
		return true
	}
	return false
}

// object reads an object of shape s and calls field with each key, at the
// key's value, which field must read.
func (r *reader) object(s shape, field func(name string)) {
	if !r.open('{', "an object") {
		return
	}
	var seen uint64
	for first := true; r.more('}', first); first = false {
		name := r.key(s, &seen)
		if r.err != nil {
			return
		}
		r.path = append(r.path, step{name, -1})
		field(name)
		r.path = r.path[:len(r.path)-1]
	}
	if r.err != nil {
		return
	}
	for i, name := range s.required {
		if seen&(1<<i) == 0 {
			r.fail("the field %q is missing", name)
			return
		}
	}
}

// key reads a key and its colon.
func (r *reader) key(s shape, seen *uint64) string {
	if r.peek() != '"' {
		r.malformed("a key in quotation marks must stand here")
		return ""
	}
	k := r.text()
	if r.err != nil {
		return ""
	}
	name, bit := s.find(k)
	if bit < 0 {
		known := strings.Join(append(append([]string{}, s.required...), s.optional...), ", ")
		r.failAt([]step{{string(k), -1}}, "there is no such field here; the fields are: %s", known)
		return ""
	}
	if *seen&(1<<bit) != 0 {
		r.failAt([]step{{name, -1}}, "this field is given twice")
		return ""
	}
	*seen |= 1 << bit
	r.colon()
	return name
}

func (s shape) find(k []byte) (name string, bit int) {
	for i, name := range s.required {
		if string(k) == name {
			return name, i
		}
	}
	for i, name := range s.optional {
		if string(k) == name {
			return name, len(s.required) + i
		}
	}
	return "", -1
}

func (r *reader) colon() {
	if r.peek() != ':' {
		r.malformed("a colon must follow the key")
		return
	}
	r.i++
}

// array reads an array of at most most elements and calls element at each,
// which element must read. It returns their number.
func (r *reader) array(most int, element func(i int)) int {
	if !r.open('[', "an array") {
		return 0
	}
	n := len(r.path)
	r.path = append(r.path, step{"", 0})
	i := 0
	for ; r.more(']', i == 0); i++ {
		if i == most {
			r.path = r.path[:n]
			r.fail("at most %d are taken", most)
			return i
		}
		r.path[n].at = i
		element(i)
	}
	r.path = r.path[:n]
	return i
}

// open takes the bracket c that begins a value.
func (r *reader) open(c byte, want string) bool {
	if r.err != nil {
		return false
	}
	if r.peek() != c {
		r.unexpected(want)
		return false
	}
	r.i++
	return true
}

// more reports whether another element comes before the closing bracket; it
// takes the comma, or the bracket.
func (r *reader) more(closing byte, first bool) bool {
	if r.err != nil {
		return false
	}
	switch c := r.peek(); {
	case c == closing:
		r.i++
		return false
	case first && c != 0:
		return true
	case c == ',' && !first:
		r.i++
		if r.peek() == closing {
			r.malformed("a comma must not stand before the end")
			return false
		}
		return true
	}
	r.malformed(fmt.Sprintf("a comma or %q must stand here", closing))
	return false
}
