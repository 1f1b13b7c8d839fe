package page

import (
	"context"
	"strconv"
	"strings"

	"github.com/a-h/templ"
	"github.com/go-chi/chi/v5"

	"slotcast/web/profile"
	"slotcast/web/session"
)

// profileAttributes tell the page's script the same.
func profileAttributes(ctx context.Context) templ.OrderedAttributes {
	v, err := session.VisitorOf(ctx)
	if err != nil || v.Profile == nil {
		return nil
	}
	return templ.OrderedAttributes{
		templ.KeyValue[string, any]{Key: "data-owner", Value: profile.OwnerMark(v.Profile.ID)},
		templ.KeyValue[string, any]{Key: "data-revision", Value: strconv.FormatInt(v.Profile.Revision, 10)},
	}
}

// signpost leads from every page to one.
type signpost struct {
	Label, Path string
	// Below are the routes of the pages that belong there, by how they begin.
	Below []string
	// Sign is what the bar at the bottom of a phone's screen draws for it: an SVG
	// path on a field of 24 by 24. One without is under More there.
	Sign string
}

// signposts are in the order of the header.
var signposts = []signpost{
	{Label: "Look up", Path: "/", Below: []string{"/case/", "/routes"}, Sign: "M4 4h11v11h-11z M19 9v10h-10"},
	{Label: "Learn", Path: "/learn", Below: []string{"/plan/", "/pays"}, Sign: "M12 4v12 M7 11l5 5 5-5 M5 20h14"},
	{Label: "Ratings", Path: "/ratings", Below: []string{"/patterns/"}, Sign: "M5 19v-4 M10 19v-7 M15 19v-10 M20 19v-14"},
	{Label: "Insertions", Path: "/insertions", Sign: "M5 4v15h14 M10 4v10h9"},
	{Label: "Practice", Path: "/practice"},
	{Label: "Your cases", Path: "/cases"},
	{Label: "Profile", Path: "/profile", Below: []string{"/device/"}},
	{Label: "Help", Path: "/help"},
	{Label: "Manual", Path: "/manual"},
}

// moreSign is that of More.
const moreSign = "M5 11h2v2h-2z M11 11h2v2h-2z M17 11h2v2h-2z"

// inBar says whether it is in a phone's bar.
func (p signpost) inBar() bool { return p.Sign != "" }

// further are those under More.
func further() (rest []signpost) {
	for _, p := range signposts {
		if !p.inBar() {
			rest = append(rest, p)
		}
	}
	return rest
}

// current is the value of aria-current for the link, on the page that the request
// asks for: "page" on its own, "true" on one that belongs to it.
func (p signpost) current(ctx context.Context) string {
	route := ""
	if c := chi.RouteContext(ctx); c != nil {
		route = c.RoutePattern()
	}
	if route == p.Path {
		return "page"
	}
	for _, below := range append([]string{strings.TrimSuffix(p.Path, "/") + "/"}, p.Below...) {
		if below != "/" && strings.HasPrefix(route, below) {
			return "true"
		}
	}
	return ""
}

// moreIsHere says whether the page is one of those under More.
func moreIsHere(ctx context.Context) bool {
	for _, p := range further() {
		if p.current(ctx) != "" {
			return true
		}
	}
	return false
}
