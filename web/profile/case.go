package profile

import (
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/web/problem"
)

// RecentValues is a case looked up, as JSON has it.
type RecentValues struct {
	Case   string    `json:"case"`
	Looked time.Time `json:"looked"`
}

// KeptValues is a kept case, as JSON has it.
type KeptValues struct {
	Case  string    `json:"case"`
	Note  string    `json:"note,omitempty"`
	Since time.Time `json:"since"`
}

func (c RecentValues) record() (RecentCase, error) {
	found, err := CheckCode("case", c.Case)
	if err == nil {
		err = checkTime("looked", c.Looked)
	}
	return RecentCase{found.Code(), c.Looked}, err
}

func (c KeptValues) record() (KeptCase, error) {
	code, err := CheckKept("case", c.Case)
	if err != nil {
		return KeptCase{}, err
	}
	note, err := CheckNote(c.Note)
	if err == nil {
		err = checkTime("since", c.Since)
	}
	return KeptCase{code, note, c.Since}, err
}

// checkTime bounds a time of day that a file tells: it was after this program
// began, and another clock may be ahead, by less than a day.
func checkTime(field string, t time.Time) error {
	if t.Year() < 2020 || t.After(time.Now().AddDate(0, 0, 1)) {
		return problem.BadRequest(field, "missing, before 2020 or in the future")
	}
	return nil
}

// RecentOf writes the records as JSON has them.
func RecentOf(records []RecentCase) []RecentValues {
	all := []RecentValues{}
	for _, c := range records {
		all = append(all, RecentValues{c.Code, c.Looked})
	}
	return all
}

// KeptLastSlot are the kept cases of the last slot, which are what can be practised.
func (r Records) KeptLastSlot() (cases []lastslot.Case) {
	for _, kept := range r.Kept {
		if c, err := lastslot.ParseCode(kept.Code); err == nil {
			cases = append(cases, c)
		}
	}
	return cases
}

// KeptOf writes the records as JSON has them.
func KeptOf(records []KeptCase) []KeptValues {
	all := []KeptValues{}
	for _, c := range records {
		all = append(all, KeptValues{c.Code, c.Note, c.Since})
	}
	return all
}

// LongestNote is how long a note may be, in characters.
const LongestNote = 500

// CheckNote is the note without white space around it, "" for none.
func CheckNote(note string) (string, error) {
	// A form ends its lines as mail does.
	note = strings.TrimSpace(strings.ReplaceAll(note, "\r\n", "\n"))
	if n := utf8.RuneCountInString(note); n > LongestNote {
		return "", problem.BadRequest("note", fmt.Sprintf("%d characters; a note has at most %d", n, LongestNote))
	}
	if strings.ContainsFunc(note, func(c rune) bool { return unicode.IsControl(c) && c != '\n' }) {
		return "", problem.BadRequest("note", "a note has no control characters but line breaks")
	}
	return note, nil
}

// CheckKept is the code, as it is written, of a case that can be kept: one for the last slot,
// or one with two slots open.
func CheckKept(field, code string) (string, error) {
	if two, err := twoslots.ParseCode(code); err == nil {
		return two.Code(), nil
	} else if len(strings.TrimSpace(code)) == twoslots.CodeLength {
		return "", problem.Parse(field, err)
	}
	c, err := CheckCode(field, code)
	if err != nil {
		return "", err
	}
	return c.Code(), nil
}

// CheckCode is the case that a code stands for.
func CheckCode(field, code string) (lastslot.Case, error) {
	c, err := lastslot.ParseCode(code)
	if err != nil {
		return lastslot.Case{}, problem.Parse(field, err)
	}
	return c, nil
}
