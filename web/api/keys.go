package api

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

type keysAnswer struct {
	Keys []keyOfProfile `json:"keys"`
}

// keyOfProfile is what is said of a key; the key itself is not known any more.
type keyOfProfile struct {
	Mark profile.KeyID `json:"mark"`
	Name string        `json:"name"`
	// Made and Used are left out where they are not known.
	Made *time.Time `json:"made,omitempty"`
	Used *time.Time `json:"used,omitempty"`
	This bool       `json:"this"`
}

type keyName struct {
	Name string `json:"name"`
}

// Keys answers GET /api/v1/keys.
func (s *Server) Keys(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	keys, err := s.store.Keys(r.Context(), p.ID)
	if err != nil {
		return err
	}
	answer := keysAnswer{Keys: []keyOfProfile{}}
	for _, k := range keys {
		one := keyOfProfile{Mark: k.ID, Name: k.Name, This: k.ID == s.sessions.KeyOf(r)}
		if !k.Made.IsZero() {
			one.Made = &k.Made
		}
		if !k.Used.IsZero() {
			one.Used = &k.Used
		}
		answer.Keys = append(answer.Keys, one)
	}
	problem.WriteJSON(w, http.StatusOK, answer)
	return nil
}

// NameKey answers PUT /api/v1/keys/{mark}.
func (s *Server) NameKey(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var value keyName
	if err := readBody(w, r, profile.MaxBody, &value); err != nil {
		return err
	}
	name, err := profile.CheckKeyName(value.Name)
	if err != nil {
		return err
	}
	return s.changeKey(w, s.store.NameKey(r.Context(), p.ID, profile.KeyID(chi.URLParam(r, "mark")), name))
}

// RevokeKey answers DELETE /api/v1/keys/{mark}.
func (s *Server) RevokeKey(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	return s.changeKey(w, s.store.RevokeKey(r.Context(), p.ID, profile.KeyID(chi.URLParam(r, "mark"))))
}

func (s *Server) changeKey(w http.ResponseWriter, err error) error {
	if err = profile.KeyFound(err); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}
