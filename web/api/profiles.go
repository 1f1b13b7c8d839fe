package api

import (
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/session"
)

type (
	keyAnswer struct {
		// Key is "" where the browser was given it.
		Key string `json:"key,omitempty"`
	}
	deviceLinkAnswer struct {
		Token   string    `json:"token"`
		Expires time.Time `json:"expires"`
	}
	deviceLinkUse struct {
		Token string `json:"token"`
	}
	shareAnswer struct {
		Share profile.ShareID `json:"share"`
	}
	sharesAnswer struct {
		Shares []shareAnswer `json:"shares"`
	}
)

// NewProfile answers POST /api/v1/profiles.
func (s *Server) NewProfile(w http.ResponseWriter, r *http.Request) error {
	return s.giveKey(w, r, func(key profile.KeyHash) error { return s.store.NewProfile(r.Context(), key) })
}

// giveKey makes a key that opens something and answers with it. With keep=cookie
// only the browser gets it, so that a page can have a profile without any script
// ever seeing the key.
func (s *Server) giveKey(w http.ResponseWriter, r *http.Request, opens func(profile.KeyHash) error) error {
	keep := r.URL.Query()["keep"]
	if len(keep) > 1 || len(keep) == 1 && keep[0] != "cookie" {
		return problem.BadRequest("keep", "it can be cookie")
	}
	key := profile.NewSecret()
	if err := opens(profile.HashOf(key)); err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "no-store")
	answer := keyAnswer{Key: key}
	if len(keep) == 1 {
		s.sessions.SetKey(w, r, key)
		answer.Key = ""
	}
	problem.WriteJSON(w, http.StatusCreated, answer)
	return nil
}

// DeleteProfile answers DELETE /api/v1/profiles/me.
func (s *Server) DeleteProfile(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	if err := s.store.DeleteProfile(r.Context(), p.ID); err != nil {
		return err
	}
	s.sessions.Forget(p.ID)
	if _, err := r.Cookie(session.KeyCookie); err == nil {
		s.sessions.SetKey(w, r, "")
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// NewDeviceLink answers POST /api/v1/device-links.
func (s *Server) NewDeviceLink(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	token, expires := profile.NewSecret(), time.Now().Add(profile.DeviceLinkLife).UTC().Truncate(time.Second)
	if err := s.store.NewDeviceLink(r.Context(), p.ID, profile.HashOf(token), expires); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusCreated, deviceLinkAnswer{token, expires})
	return nil
}

// UseDeviceLink answers POST /api/v1/device-links/use. The token is not in
// the address, which is logged, and a GET would be used up by what looks ahead.
func (s *Server) UseDeviceLink(w http.ResponseWriter, r *http.Request) error {
	var use deviceLinkUse
	if err := readBody(w, r, profile.MaxBody, &use); err != nil {
		return err
	}
	err := s.giveKey(w, r, func(key profile.KeyHash) error {
		return s.store.UseDeviceLink(r.Context(), profile.HashOf(use.Token), key)
	})
	if errors.Is(err, profile.ErrNotFound) {
		return &problem.Problem{Status: http.StatusGone, Title: "No such link", Detail: fmt.Sprintf("the link was used, or is more than %d minutes old; make another", int(profile.DeviceLinkLife.Minutes())), Field: "token"}
	}
	return err
}

// NewShare answers POST /api/v1/shares.
func (s *Server) NewShare(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	share := profile.ShareID(profile.NewSecret())
	if err := s.store.NewShare(r.Context(), p.ID, share); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusCreated, shareAnswer{share})
	return nil
}

// Shares answers GET /api/v1/shares.
func (s *Server) Shares(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	shares, err := s.store.Shares(r.Context(), p.ID)
	if err != nil {
		return err
	}
	answer := sharesAnswer{Shares: []shareAnswer{}}
	for _, share := range shares {
		answer.Shares = append(answer.Shares, shareAnswer{share})
	}
	problem.WriteJSON(w, http.StatusOK, answer)
	return nil
}

// RevokeShare answers DELETE /api/v1/shares/{share}.
func (s *Server) RevokeShare(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	share := chi.URLParam(r, "share")
	if !profile.IsSecret(share) {
		return session.NoShare()
	}
	err := s.store.RevokeShare(r.Context(), p.ID, profile.ShareID(share))
	if errors.Is(err, profile.ErrNotFound) {
		return session.NoShare()
	}
	if err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}
