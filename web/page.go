package web

import (
	"bytes"
	"net/http"
	"strings"

	"github.com/a-h/templ"
	"github.com/go-chi/chi/v5"

	"slotcast/forecast/lastslot"
)

// pageView is what every page says of itself.
type pageView struct {
	Title, Description string
	// URL is the page's own address, for those who share it; "" where it has none
	// of its own.
	URL string
	// Picture is what the page is shown by where it is shared, nil for nothing.
	Picture             *pagePicture
	Style, Script, Icon string
	// TouchIcon is the icon for devices that take no SVG.
	TouchIcon string
}

// pagePicture is a picture with its whole address, and what it shows in words.
type pagePicture struct{ URL, Words string }

func (s *site) pageView(title, description, url string) pageView {
	return pageView{
		Title: title, Description: description, URL: url, Style: s.static.url("app.css"), Script: s.static.url("app.js"), Icon: s.static.url("icon.svg"), TouchIcon: s.static.url("icon-maskable-192.png"),
	}
}

// page makes a handler that answers with a page one of net/http's: an error
// becomes a page that says what is wrong.
func (s *site) page(h handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		r = s.visited(r)
		err := h(w, r)
		if err == nil {
			return
		}
		p := s.problemOf(r, err)
		view := failureView{pageView: s.pageView(p.Title+" – Slotcast", "", ""), Title: p.Title, Detail: sentence(p.Detail)}
		if c, err := lastslot.ParseCode(chi.URLParam(r, "code")); err == nil {
			view.Case = c.Code()
		}
		if err := render(w, r, p.Status, failurePage(view)); err != nil {
			s.Log.ErrorContext(r.Context(), "page not rendered", "error", err)
			http.Error(w, http.StatusText(http.StatusInternalServerError), http.StatusInternalServerError)
		}
	}
}

// failureView is a page that says why there is no other.
type failureView struct {
	pageView
	Title, Detail string
	// Case is that of which something was asked, "" for none.
	Case string
}

// usualPage is about the size of a page with an answer, in bytes.
const usualPage = 448 << 10

// render makes all of a page before any of it is sent.
func render(w http.ResponseWriter, r *http.Request, status int, page templ.Component) error {
	var body bytes.Buffer
	body.Grow(usualPage)
	if err := page.Render(r.Context(), &body); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	if w.Header().Get("Cache-Control") == "" {
		// What a page ranks and names may be its reader's own.
		w.Header().Set("Cache-Control", "private, no-cache")
	}
	if v, err := visitorOf(r.Context()); err == nil {
		tellProfile(w, v.Profile)
	}
	w.WriteHeader(status)
	// Whoever does not wait for the page does not need it.
	_, _ = w.Write(body.Bytes())
	return nil
}

// publicURL is the address that links to the service carry.
func (s *site) publicURL(r *http.Request) string {
	if s.PublicURL != "" {
		return strings.TrimSuffix(s.PublicURL, "/")
	}
	if r.TLS != nil {
		return "https://" + r.Host
	}
	return "http://" + r.Host
}

// sentence gives a problem's words the shape of a sentence.
func sentence(words string) string {
	if words == "" {
		return ""
	}
	letters := []rune(words)
	words = strings.ToUpper(string(letters[0])) + string(letters[1:])
	if strings.ContainsRune(".!?", letters[len(letters)-1]) {
		return words
	}
	return words + "."
}
