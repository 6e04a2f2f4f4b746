package ink

// InputError says that something handed in does not fit: where, and what
// would be right. Both are meant for the person who sent it.
type InputError struct {
	Pointer string // a JSON pointer (RFC 6901) into the document; "" is the whole
	Detail  string
}

// Error implements error.
func (e *InputError) Error() string {
	if e.Pointer == "" {
		return e.Detail
	}
	return e.Pointer + ": " + e.Detail
}
