package page

import (
	"bytes"
	"net/http"

	"github.com/a-h/templ"
	"github.com/go-chi/chi/v5"

	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/session"
	"slotcast/web/words"
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

func (s *Server) pageView(title, description, url string) pageView {
	return pageView{
		Title: title, Description: description, URL: url, Style: s.static.Url("app.css"), Script: s.static.Url("app.js"), Icon: s.static.Url("icon.svg"), TouchIcon: s.static.Url("icon-maskable-192.png"),
	}
}

// Page makes a handler that answers with a page one of net/http's: an error
// becomes a page that says what is wrong.
func (s *Server) Page(h problem.Handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		r = s.sessions.With(r)
		if err := h(w, r); err != nil {
			s.fail(w, r, err)
		}
	}
}

// Refuse answers with a page that says why there is no other, without a look at the
// profile: what is refused for want of time is to cost little.
func (s *Server) Refuse(w http.ResponseWriter, r *http.Request, p *problem.Problem) {
	s.fail(w, r, p)
}

// fail answers with a page that says why there is no other.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	p := problem.Reported(s.log, r, err)
	if r.Context().Err() != nil { // nobody reads the page
		w.WriteHeader(p.Status)
		return
	}
	p.TellRetry(w.Header())
	if p.RetryAfter > 0 {
		// Who cannot be answered now waits for no other look at the profile.
		r = session.Unread(r)
	}
	view := failureView{pageView: s.pageView(p.Title+" – Slotcast", "", ""), Title: p.Title, Detail: words.Sentence(p.Detail)}
	if c, err := lastslot.ParseCode(chi.URLParam(r, "code")); err == nil {
		view.Case = c.Code()
	}
	if err := render(w, r, p.Status, failurePage(view)); err != nil {
		s.log.ErrorContext(r.Context(), "page not rendered", "error", err)
		http.Error(w, http.StatusText(http.StatusInternalServerError), http.StatusInternalServerError)
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
	if v, err := session.VisitorOf(r.Context()); err == nil {
		session.TellProfile(w, v.Profile)
	}
	w.WriteHeader(status)
	// Whoever does not wait for the page does not need it.
	_, _ = w.Write(body.Bytes())
	return nil
}

// Personal makes a handler of a page that is a person's own.
func (s *Server) Personal(h problem.Handler) http.HandlerFunc {
	page := s.Page(h)
	return func(w http.ResponseWriter, r *http.Request) {
		session.Private(w)
		page(w, r)
	}
}
