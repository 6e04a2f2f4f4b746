package api

// Problem is a problem document (RFC 9457): what went wrong, where, and what
// would be right.
type Problem struct {
	Type, Title string // "" as Type is about:blank
	Status      int
	Detail      string
	Pointer     string // a JSON pointer into the request's document; "": not told
	Instance    string // "": not told
}

// EncodeProblem writes p; its media type is application/problem+json.
func EncodeProblem(p Problem) []byte {
	w := writer{make([]byte, 0, 256)}
	w.open('{')
	w.key("type")
	if p.Type == "" {
		p.Type = "about:blank"
	}
	w.text(p.Type)
	w.key("title")
	w.text(p.Title)
	w.key("status")
	w.integer(p.Status)
	if p.Detail != "" {
		w.key("detail")
		w.text(p.Detail)
	}
	if p.Pointer != "" {
		w.key("pointer")
		w.text(p.Pointer)
	}
	if p.Instance != "" {
		w.key("instance")
		w.text(p.Instance)
	}
	w.close('}')
	return w.b
}

// EncodeAttemptView writes {exercise, attempt, grade} of three documents that
// are encoded already.
func EncodeAttemptView(exercise, attempt, grade []byte) []byte {
	w := writer{make([]byte, 0, len(exercise)+len(attempt)+len(grade)+64)}
	w.open('{')
	w.key("exercise")
	w.b = append(w.b, exercise...)
	w.key("attempt")
	w.b = append(w.b, attempt...)
	w.key("grade")
	w.b = append(w.b, grade...)
	w.close('}')
	return w.b
}
