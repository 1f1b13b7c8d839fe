package api

import (
	"net/http"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

type keyAnswer struct {
	// Key is "" where the browser was given it.
	Key string `json:"key,omitempty"`
}

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
		return problem.BadRequest("keep", "use cookie")
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
	if s.sessions.HasKey(r) {
		s.sessions.SetKey(w, r, "")
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}
