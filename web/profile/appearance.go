package profile

import (
	"strings"
)

// Appearance is how a person wants pages and puzzle to be shown. Each field is a
// preference of the name in [Choices]; "" is what is usual.
type Appearance struct {
	// Theme is light or dark, "" as the device is set.
	Theme string
	// Text is big, "" as the browser is set.
	Text string
	// Thumb is left for whoever holds the phone in the left hand.
	Thumb string
	// Notation is how a wide turn is written: "" as r, Rw as Rw.
	Notation string
	// Top is the colour of the top layer, "" for yellow, and Colours the scheme.
	Top, Colours string
}

// Appearance reads what the profile prefers.
func (r Records) Appearance() Appearance {
	var l Appearance
	for _, p := range r.Preferences {
		switch p.Name {
		case "theme":
			l.Theme = p.Value
		case "text":
			l.Text = p.Value
		case "thumb":
			l.Thumb = p.Value
		case "notation":
			l.Notation = p.Value
		case "top":
			l.Top = p.Value
		case "colours":
			l.Colours = p.Value
		}
	}
	return l
}

// Notated writes turns with wide turns as the person does.
func (l Appearance) Notated(turns string) string {
	if l.Notation != "Rw" {
		return turns
	}
	var b strings.Builder
	for _, c := range turns {
		if strings.ContainsRune("udlrfb", c) {
			b.WriteString(strings.ToUpper(string(c)))
			b.WriteByte('w')
			continue
		}
		b.WriteRune(c)
	}
	return b.String()
}
