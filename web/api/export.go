package api

import (
	"net/http"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

// Export answers GET /api/v1/export.
func (s *Server) Export(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	if records.Results, err = s.store.Results(r.Context(), p.ID, profile.ResultsAsked{}); err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", `attachment; filename="slotcast.json"`)
	problem.WriteJSON(w, http.StatusOK, profile.ExportOf(records))
	return nil
}

// Import answers POST /api/v1/import: the records are added, each in place of
// the one of the same thing, all of them or none.
func (s *Server) Import(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var document profile.Import
	if err := readBody(w, r, profile.MaxImport, &document); err != nil {
		return err
	}
	records, err := document.Records()
	if err != nil {
		return err
	}
	err = profile.PutParts(records.Parts(), func(part profile.Records) error { return s.store.Put(r.Context(), p.ID, part) })
	if err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}
