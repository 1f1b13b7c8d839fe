package api

import (
	"errors"
	"fmt"
	"net/http"
	"time"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

type deviceLinkAnswer struct {
	Token   string    `json:"token"`
	Expires time.Time `json:"expires"`
}

type deviceLinkUse struct {
	Token string `json:"token"`
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
		return &problem.Problem{Status: http.StatusGone, Title: "No such link", Detail: fmt.Sprintf("the link has been used, or is over %d minutes old; make another", int(profile.DeviceLinkLife.Minutes())), Field: "token"}
	}
	return err
}
