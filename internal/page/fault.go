package page

import "strconv"

// Fault is the page for what went wrong.
type Fault struct {
	Status  string // "404"
	Title   string
	Words   string
	Request string // the request's id, "": none
	Ways    []Way
}

// Way is a link that leads on.
type Way struct{ Address, Words string }

// NewFault makes the page for an HTTP status. words replaces the status's own
// sentence when it is not empty; request is the id under which the request
// was logged.
func NewFault(status int, words, request string) Fault {
	m := Fault{Status: strconv.Itoa(status), Request: request}
	m.Title, m.Words = faultWords(status)
	if words != "" {
		m.Words = words
	}
	m.Ways = []Way{{"/", "Draw a sheet"}, {"/progress", "See your last sheets"}}
	return m
}

// faultWords are a status's title and sentence.
func faultWords(status int) (title, words string) {
	switch {
	case status == 404:
		return "Not here", "There is no such sheet or page, or it belongs to somebody else."
	case status == 403:
		return "Refused", "This request came from another site, or in a form that is not accepted."
	case status == 405:
		return "Not this way", "This address does not answer to that kind of request."
	case status == 413:
		return "Too large", "What was sent is larger than a sheet can be."
	case status == 429:
		return "Too many at once", "Too many requests came from here. Wait a minute, then try again."
	case status == 503:
		return "Not ready", "The program is starting or stopping. Try again in a moment; nothing handed in is lost."
	case status >= 500:
		return "Something failed", "The program met a fault of its own. It has been noted; nothing handed in is lost."
	}
	return "Not understood", "The request could not be understood as it was sent."
}
