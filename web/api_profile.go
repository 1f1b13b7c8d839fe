package web

import (
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
)

// deviceLinkLife is how long a device link can be used: enough to walk to the
// other device, too short to be found in a history later.
const deviceLinkLife = 10 * time.Minute

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
		Share ShareID `json:"share"`
	}
	sharesAnswer struct {
		Shares []shareAnswer `json:"shares"`
	}
)

// newProfileAPI answers POST /api/v1/profiles.
func (s *site) newProfileAPI(w http.ResponseWriter, r *http.Request) error {
	return s.giveKey(w, r, func(key KeyHash) error { return s.Store.NewProfile(r.Context(), key) })
}

// giveKey makes a key that opens something and answers with it. With keep=cookie
// only the browser gets it, so that a page can have a profile without any script
// ever seeing the key.
func (s *site) giveKey(w http.ResponseWriter, r *http.Request, opens func(KeyHash) error) error {
	keep := r.URL.Query()["keep"]
	if len(keep) > 1 || len(keep) == 1 && keep[0] != "cookie" {
		return unclear("keep", "it can be cookie")
	}
	key := newSecret()
	if err := opens(hashOf(key)); err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "no-store")
	answer := keyAnswer{Key: key}
	if len(keep) == 1 {
		s.keepKey(w, r, key)
		answer.Key = ""
	}
	writeJSON(w, http.StatusCreated, answer)
	return nil
}

// deleteProfileAPI answers DELETE /api/v1/profiles/me.
func (s *site) deleteProfileAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	if err := s.Store.DeleteProfile(r.Context(), p.ID); err != nil {
		return err
	}
	s.forgotten(p.ID)
	if _, err := r.Cookie(keyCookie); err == nil {
		s.keepKey(w, r, "")
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// newDeviceLinkAPI answers POST /api/v1/device-links.
func (s *site) newDeviceLinkAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	token, expires := newSecret(), time.Now().Add(deviceLinkLife).UTC().Truncate(time.Second)
	if err := s.Store.NewDeviceLink(r.Context(), p.ID, hashOf(token), expires); err != nil {
		return err
	}
	writeJSON(w, http.StatusCreated, deviceLinkAnswer{token, expires})
	return nil
}

// useDeviceLinkAPI answers POST /api/v1/device-links/use. The token is not in
// the address, which is logged, and a GET would be used up by what looks ahead.
func (s *site) useDeviceLinkAPI(w http.ResponseWriter, r *http.Request) error {
	var use deviceLinkUse
	if err := readBody(w, r, maxBody, &use); err != nil {
		return err
	}
	err := s.giveKey(w, r, func(key KeyHash) error { return s.Store.UseDeviceLink(r.Context(), hashOf(use.Token), key) })
	if errors.Is(err, ErrNotFound) {
		return &problem{Status: http.StatusGone, Title: "No such link", Detail: fmt.Sprintf("the link was used, or is more than %d minutes old; make another", int(deviceLinkLife.Minutes())), Field: "token"}
	}
	return err
}

// newShareAPI answers POST /api/v1/shares.
func (s *site) newShareAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	share := ShareID(newSecret())
	if err := s.Store.NewShare(r.Context(), p.ID, share); err != nil {
		return err
	}
	writeJSON(w, http.StatusCreated, shareAnswer{share})
	return nil
}

// sharesAPI answers GET /api/v1/shares.
func (s *site) sharesAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	shares, err := s.Store.Shares(r.Context(), p.ID)
	if err != nil {
		return err
	}
	answer := sharesAnswer{Shares: []shareAnswer{}}
	for _, share := range shares {
		answer.Shares = append(answer.Shares, shareAnswer{share})
	}
	writeJSON(w, http.StatusOK, answer)
	return nil
}

// revokeShareAPI answers DELETE /api/v1/shares/{share}.
func (s *site) revokeShareAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	share := chi.URLParam(r, "share")
	if !isSecret(share) {
		return noShare()
	}
	err := s.Store.RevokeShare(r.Context(), p.ID, ShareID(share))
	if errors.Is(err, ErrNotFound) {
		return noShare()
	}
	if err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func noShare() *problem {
	return &problem{Status: http.StatusNotFound, Title: "No such share", Detail: "the share was taken back, or never was", Field: "share"}
}
