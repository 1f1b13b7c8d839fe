package api

import (
	"net/http"

	"github.com/go-chi/chi/v5"

	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
)

type namesAnswer struct {
	Names []profile.NamedPattern `json:"names"`
}

type nameValue struct {
	Name string `json:"name"`
}

// Names answers GET /api/v1/names.
func (s *Server) Names(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, namesAnswer{profile.NamesOf(records.Names)})
	return nil
}

// PutName answers PUT /api/v1/names/{oll}.
func (s *Server) PutName(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	pattern, err := query.Pattern(chi.URLParam(r, "oll"), 0)
	if err != nil {
		return err
	}
	var value nameValue
	if err := readBody(w, r, profile.MaxBody, &value); err != nil {
		return err
	}
	name, err := profile.CheckName(value.Name)
	if err != nil {
		return err
	}
	names := []profile.Name{{Pattern: pattern, Name: name}}
	if err := s.store.Put(r.Context(), p.ID, profile.Records{Names: names}); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, profile.NamesOf(names)[0])
	return nil
}

// DeleteName answers DELETE /api/v1/names/{oll}.
func (s *Server) DeleteName(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	pattern, err := query.Pattern(chi.URLParam(r, "oll"), 0)
	if err != nil {
		return err
	}
	return s.remove(w, r, p, profile.Records{Names: []profile.Name{{Pattern: pattern}}})
}
