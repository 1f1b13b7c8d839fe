package session

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"sync"

	"slotcast/forecast"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

// A page tells its script in these, and the browser's worker in headers of the
// same words, whose profile it shows and as of which revision. What is changed on
// it later comes with both.
const (
	OwnerHeader    = "Slotcast-Owner"
	revisionHeader = "Slotcast-Revision"
	// noOwner is whose page it is that shows nothing of a profile.
	noOwner = "none"
)

// TellProfile tells whose the answer is and as of which revision.
func TellProfile(w http.ResponseWriter, p *profile.Profile) {
	if p == nil {
		w.Header().Set(OwnerHeader, noOwner)
		return
	}
	w.Header().Set(OwnerHeader, profile.OwnerMark(p.ID))
	w.Header().Set(revisionHeader, strconv.FormatInt(p.Revision, 10))
}

// Visitor is who asks for a page, and all that the person's profile says. The records
// are read, never changed: others who ask have the same.
type Visitor struct {
	// Profile is nil for somebody who has saved nothing yet.
	Profile *profile.Profile
	Records profile.Records
}

// visitKey is where a request's context has who asks for its page.
type visitKey struct{}

// With lets all that makes the answer to a request read the visitor's profile
// once, and only where it is needed.
func (s *Sessions) With(r *http.Request) *http.Request {
	read := sync.OnceValues(func() (Visitor, error) { return s.ReadVisitor(r) })
	return r.WithContext(context.WithValue(r.Context(), visitKey{}, read))
}

// errUnread says that nobody looked whose a request is.
var errUnread = errors.New("the profile was not read")

// Unread leaves it open who asks, so that an answer says neither that it is
// somebody's nor that it is nobody's.
func Unread(r *http.Request) *http.Request {
	read := func() (Visitor, error) { return Visitor{}, errUnread }
	return r.WithContext(context.WithValue(r.Context(), visitKey{}, read))
}

// Visitor is who asks for the page.
func (s *Sessions) Visitor(r *http.Request) (Visitor, error) { return VisitorOf(r.Context()) }

// VisitorOf is who asks for the page that is made in the context.
func VisitorOf(ctx context.Context) (Visitor, error) {
	read, ok := ctx.Value(visitKey{}).(func() (Visitor, error))
	if !ok {
		return Visitor{}, nil
	}
	return read()
}

// ReadVisitor reads the profile that the browser has the key of. A key that opens
// nothing, as after its profile was deleted on another device, is as good as none.
func (s *Sessions) ReadVisitor(r *http.Request) (Visitor, error) {
	found, err := s.ProfileOf(r)
	if err == nil {
		var records profile.Records
		if found, records, err = s.records(r.Context(), found, true); err == nil {
			return Visitor{&found, records}, nil
		}
	}
	if errors.Is(err, ErrNoKey) || errors.Is(err, profile.ErrNotFound) {
		return Visitor{}, nil
	}
	return Visitor{}, err
}

// VisitorForecaster makes forecasts for the visitor.
func (s *Sessions) VisitorForecaster(r *http.Request, v Visitor) (*forecast.Forecaster, error) {
	if v.Profile == nil {
		return s.Anyone(), nil
	}
	return s.Forecaster(r.Context(), *v.Profile)
}

// Owner is the profile that a change is for. The first thing that somebody saves
// makes it, and gives the browser its key.
func (s *Sessions) Owner(w http.ResponseWriter, r *http.Request) (profile.ID, error) {
	found, err := s.ProfileOf(r)
	if !errors.Is(err, ErrNoKey) {
		return found.ID, err
	}
	// The script sends a first change again where it did not hear of the answer: then
	// the profile of the key may have been made, or be made at this moment.
	key := r.PostForm.Get("change-key")
	switch {
	case key == "":
		key = profile.NewSecret()
	case !profile.LooksRandom(key):
		return 0, problem.BadRequest("change-key", profile.NotSecret)
	}
	made := s.store.NewProfile(r.Context(), profile.HashOf(key))
	if unavailable := (*profile.UnavailableError)(nil); errors.As(made, &unavailable) {
		return 0, made
	}
	if found, err = s.store.Profile(r.Context(), profile.HashOf(key)); err != nil {
		return 0, fmt.Errorf("make a profile: %w", errors.Join(made, err))
	}
	s.SetKey(w, r, key)
	return found.ID, nil
}

// Private keeps a person's page out of every cache.
func Private(w http.ResponseWriter) { w.Header().Set("Cache-Control", "private, no-store") }
