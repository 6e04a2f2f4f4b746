// Package api is the JSON that goes in and out: strict decoding with limits,
// and encoding. Bytes in, values out; it knows nothing of HTTP.
//
// Lengths on the wire are millimetres on the sheet, angles degrees (positive
// clockwise as seen), times RFC 3339 in UTC, durations milliseconds. Decoders
// refuse unknown and repeated fields. Their errors are
//
//   - ErrTooLarge: the document has more bytes than are read;
//   - ErrSyntax, wrapped: it is not well-formed JSON in UTF-8;
//   - *ink.InputError: it is JSON, but does not fit; with a JSON pointer to the
//     place and words for the person who sent it.
package api

import "errors"

// Version is the version of every document here.
const Version = 1

// Limits of what is read. They are part of the public contract, as are those
// of package ink.
const (
	MaxAttemptBytes  = 2 << 20
	MaxExerciseBytes = 1 << 20
	MaxMarks         = 512
	MaxIDBytes       = 128
)

// Errors that callers tell apart.
var (
	ErrTooLarge = errors.New("api: document too large")
	ErrSyntax   = errors.New("api: not well-formed JSON")
)
