package api

import (
	"net/http"

	"github.com/go-chi/chi/v5"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

type preferencesAnswer struct {
	Preferences []profile.PreferenceValues `json:"preferences"`
}

type preferenceChange struct {
	Value string `json:"value"`
}

// Preferences answers GET /api/v1/preferences.
func (s *Server) Preferences(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, preferencesAnswer{profile.PreferencesOf(records.Preferences)})
	return nil
}

// PutPreference answers PUT /api/v1/preferences/{name}.
func (s *Server) PutPreference(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var change preferenceChange
	if err := readBody(w, r, profile.MaxBody, &change); err != nil {
		return err
	}
	kept, err := profile.CheckPreference(chi.URLParam(r, "name"), change.Value)
	if err != nil {
		return err
	}
	if err := s.store.Put(r.Context(), p.ID, profile.Records{Preferences: []profile.Preference{kept}}); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, profile.PreferenceValues(kept))
	return nil
}

// DeletePreference answers DELETE /api/v1/preferences/{name}: what is usual
// counts again.
func (s *Server) DeletePreference(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	gone, err := profile.CheckPreferenceName(chi.URLParam(r, "name"))
	if err != nil {
		return err
	}
	return s.remove(w, r, p, profile.Records{Preferences: []profile.Preference{{Name: gone.Name}}})
}
