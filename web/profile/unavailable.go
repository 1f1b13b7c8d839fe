package profile

import (
	"net/http"
	"time"

	"slotcast/web/problem"
)

// askAgain is after how long it may be worth while to ask a store again that could not
// do what it was asked.
const askAgain = 5 * time.Second

// UnavailableError says that the store cannot be used at this moment: the fault is
// neither the request's nor the program's.
type UnavailableError struct {
	// Reason says why in plain words that may be answered: “the database’s disk is full”.
	Reason string
	// Unknown says that a change may have been made all the same. It is not, where this
	// is false.
	Unknown bool
	// Err has the insides, for the log.
	Err error
}

func (e *UnavailableError) Error() string {
	text := e.Reason
	if e.Unknown {
		text += " (whether it was written is not known)"
	}
	if e.Err != nil {
		text += ": " + e.Err.Error()
	}
	return text
}

func (e *UnavailableError) Unwrap() error { return e.Err }

// Problem says what a person can do: ask again.
func (e *UnavailableError) Problem() *problem.Problem {
	p := &problem.Problem{Status: http.StatusServiceUnavailable, Title: "Not at this moment", RetryAfter: askAgain}
	if e.Unknown {
		p.Detail = e.Reason + "; it is not known whether this was saved, and to send the same again does no harm"
	} else {
		p.Detail = e.Reason + "; nothing was changed, ask again in a few seconds"
	}
	return p
}
