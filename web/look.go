package web

import (
	"context"
	"strings"

	"github.com/a-h/templ"
)

// look is how a person wants pages and puzzle to be shown. Each field is a
// preference of the name in [preferences]; "" is what is usual.
type look struct {
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

// lookOf is how the page's reader wants it.
func lookOf(ctx context.Context) look {
	v, err := visitorOf(ctx)
	if err != nil {
		// The page itself says what is wrong; it is shown as is usual.
		return look{}
	}
	return v.Records.look()
}

// look reads what the profile prefers.
func (r Records) look() look {
	var l look
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

// attributes tell the style sheet what is not usual.
func lookAttributes(l look) templ.OrderedAttributes {
	var a templ.OrderedAttributes
	for _, p := range []struct{ name, value string }{{"theme", l.Theme}, {"text", l.Text}, {"thumb", l.Thumb}, {"top", l.Top}, {"colours", l.Colours}} {
		if p.value != "" {
			a = append(a, templ.KeyValue[string, any]{Key: "data-" + p.name, Value: p.value})
		}
	}
	return a
}

// notated writes turns as the page's reader does.
func notated(ctx context.Context, turns string) string { return lookOf(ctx).notated(turns) }

func (l look) notated(turns string) string {
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
