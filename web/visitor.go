package web

import (
	"context"
	"errors"
	"fmt"
	"mime"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"unicode/utf8"

	"slotcast/forecast"
)

// visitor is who asks for a page, and all that the person's profile says.
type visitor struct {
	// Profile is nil for somebody who has saved nothing yet.
	Profile *Profile
	Records Records
}

// visitKey is where a request's context has who asks for its page.
type visitKey struct{}

// visited lets all that makes the answer to a request read the visitor's profile
// once, and only where it is needed.
func (s *site) visited(r *http.Request) *http.Request {
	read := sync.OnceValues(func() (visitor, error) { return s.readVisitor(r) })
	return r.WithContext(context.WithValue(r.Context(), visitKey{}, read))
}

// visitor is who asks for the page.
func (s *site) visitor(r *http.Request) (visitor, error) { return visitorOf(r.Context()) }

func visitorOf(ctx context.Context) (visitor, error) {
	read, ok := ctx.Value(visitKey{}).(func() (visitor, error))
	if !ok {
		return visitor{}, nil
	}
	return read()
}

// readVisitor reads the profile that the browser has the key of. A key that opens
// nothing, as after its profile was deleted on another device, is as good as none.
func (s *site) readVisitor(r *http.Request) (visitor, error) {
	profile, err := s.profileOf(r)
	if err == nil {
		var records Records
		if profile, records, err = s.Store.Records(r.Context(), profile.ID); err == nil {
			return visitor{&profile, records}, nil
		}
	}
	if errors.Is(err, errNoKey) || errors.Is(err, ErrNotFound) {
		return visitor{}, nil
	}
	return visitor{}, err
}

// visitorForecaster makes forecasts for the visitor.
func (s *site) visitorForecaster(r *http.Request, v visitor) (*forecast.Forecaster, error) {
	if v.Profile == nil {
		return s.anyone(), nil
	}
	return s.forecaster(r.Context(), *v.Profile)
}

// owner is the profile that a change is for. The first thing that somebody saves
// makes it, and gives the browser its key.
func (s *site) owner(w http.ResponseWriter, r *http.Request) (ProfileID, error) {
	profile, err := s.profileOf(r)
	if !errors.Is(err, errNoKey) {
		return profile.ID, err
	}
	// The script sends a first change again where it did not hear of the answer: then
	// the profile of the key may have been made, or be made at this moment.
	key := r.PostForm.Get("change-key")
	switch {
	case key == "":
		key = newSecret()
	case !isSecret(key):
		return 0, unclear("change-key", notSecret)
	}
	made := s.Store.NewProfile(r.Context(), hashOf(key))
	if profile, err = s.Store.Profile(r.Context(), hashOf(key)); err != nil {
		return 0, fmt.Errorf("make a profile: %w", errors.Join(made, err))
	}
	s.keepKey(w, r, key)
	return profile.ID, nil
}

// private keeps a person's page out of every cache.
func private(w http.ResponseWriter) { w.Header().Set("Cache-Control", "private, no-store") }

// personal makes a handler of a page that is a person's own.
func (s *site) personal(h handler) http.HandlerFunc {
	page := s.page(h)
	return func(w http.ResponseWriter, r *http.Request) {
		private(w)
		page(w, r)
	}
}

// maxForm is the most that a form may bring, in bytes: a sequence of the longest
// kind, each character percent-encoded in nine bytes, and room for the rest.
const maxForm = 64 << 10

// readForm reads a form that was posted.
func readForm(w http.ResponseWriter, r *http.Request) (url.Values, error) {
	r.Body = http.MaxBytesReader(w, r.Body, maxForm)
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/x-www-form-urlencoded" {
		return nil, &problem{Status: http.StatusUnsupportedMediaType, Detail: "this address takes what a form sends"}
	}
	err := r.ParseForm()
	if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) {
		return nil, &problem{Status: http.StatusRequestEntityTooLarge, Detail: fmt.Sprintf("a form has at most %d bytes", maxForm)}
	}
	if err != nil {
		return nil, &problem{Status: http.StatusBadRequest, Detail: "what the form sent is not encoded as it should be"}
	}
	for _, values := range r.PostForm {
		// Not every database can hold other texts.
		if !utf8.ValidString(strings.Join(values, "")) {
			return nil, &problem{Status: http.StatusBadRequest, Detail: "what the form sent is no UTF-8"}
		}
	}
	return r.PostForm, nil
}

// saved answers that a change is kept: a script is told no more than that, and a
// browser is sent on to a page.
func saved(w http.ResponseWriter, r *http.Request, page string) error {
	private(w)
	if byScript(r) {
		w.WriteHeader(http.StatusNoContent)
		return nil
	}
	http.Redirect(w, r, page, http.StatusSeeOther)
	return nil
}

// byScript says whether the pages' script asks, which shows what is wrong in
// words of its own place.
func byScript(r *http.Request) bool { return r.Header.Get("Accept") == "application/problem+json" }

// change makes a handler of a change that a form asks for: a script is told what
// is wrong as the interface tells it, a browser by a page.
func (s *site) change(h handler) http.HandlerFunc {
	// Of two tabs that change one record at once, the later begins anew with what
	// the first has made of it.
	last := func(w http.ResponseWriter, r *http.Request) error {
		for {
			if err := h(w, r); !errors.Is(err, ErrReadAgain) || r.Context().Err() != nil {
				return err
			}
			r = s.visited(r)
		}
	}
	script, page := answering(s.Log, last), s.page(last)
	return func(w http.ResponseWriter, r *http.Request) {
		private(w)
		if byScript(r) {
			script(w, s.visited(r))
			return
		}
		page(w, r)
	}
}

// localPath is where a form wants to go afterwards, if that is a page of the
// service; a form that somebody else made cannot lead elsewhere.
func localPath(path, otherwise string) string {
	u, err := url.Parse(path)
	if err != nil || u.Scheme != "" || u.Host != "" || !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "//") || strings.ContainsAny(path, "\\\r\n") {
		return otherwise
	}
	return path
}
