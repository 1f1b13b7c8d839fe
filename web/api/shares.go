package api

import (
	"errors"
	"net/http"

	"github.com/go-chi/chi/v5"

	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/session"
)

type shareAnswer struct {
	Share profile.ShareID `json:"share"`
}

type sharesAnswer struct {
	Shares []shareAnswer `json:"shares"`
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
