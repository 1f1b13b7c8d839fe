package page

import (
	"context"

	"github.com/a-h/templ"

	"slotcast/web/profile"
	"slotcast/web/session"
)

// appearanceOf is how the page's reader wants it.
func appearanceOf(ctx context.Context) profile.Appearance {
	v, err := session.VisitorOf(ctx)
	if err != nil {
		// The page itself says what is wrong; it is shown as is usual.
		return profile.Appearance{}
	}
	return v.Records.Appearance()
}

// attributes tell the style sheet what is not usual.
func appearanceAttributes(l profile.Appearance) templ.OrderedAttributes {
	var a templ.OrderedAttributes
	for _, p := range []struct{ name, value string }{{"theme", l.Theme}, {"text", l.Text}, {"thumb", l.Thumb}, {"top", l.Top}, {"colours", l.Colours}} {
		if p.value != "" {
			a = append(a, templ.KeyValue[string, any]{Key: "data-" + p.name, Value: p.value})
		}
	}
	return a
}

// notated writes turns as the page's reader does.
func notated(ctx context.Context, turns string) string { return appearanceOf(ctx).Notated(turns) }
