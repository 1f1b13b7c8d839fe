package api

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

type recentCasesAnswer struct {
	Recent []profile.RecentValues `json:"recent"`
}

type keptCasesAnswer struct {
	Kept []profile.KeptValues `json:"kept"`
}

type keptCaseChange struct {
	Note string `json:"note,omitempty"`
}

// RecentCases answers GET /api/v1/recent-cases.
func (s *Server) RecentCases(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, recentCasesAnswer{profile.RecentOf(records.Recent)})
	return nil
}

// DeleteRecentCases answers DELETE /api/v1/recent-cases.
func (s *Server) DeleteRecentCases(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	return s.remove(w, r, p, profile.Records{Recent: records.Recent})
}

// KeptCases answers GET /api/v1/kept-cases.
func (s *Server) KeptCases(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, keptCasesAnswer{profile.KeptOf(records.Kept)})
	return nil
}

// PutKeptCase answers PUT /api/v1/kept-cases/{code}.
func (s *Server) PutKeptCase(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var change keptCaseChange
	if err := readBody(w, r, profile.MaxBody, &change); err != nil {
		return err
	}
	code, err := profile.CheckKept("code", chi.URLParam(r, "code"))
	if err != nil {
		return err
	}
	note, err := profile.CheckNote(change.Note)
	if err != nil {
		return err
	}
	if err := s.store.Put(r.Context(), p.ID, profile.Records{Kept: []profile.KeptCase{{Code: code, Note: note, Since: time.Now()}}}); err != nil {
		return err
	}
	// One that was kept already is kept since then.
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	for _, kept := range records.Kept {
		if kept.Code == code {
			problem.WriteJSON(w, http.StatusOK, profile.KeptValues{Case: kept.Code, Note: kept.Note, Since: kept.Since})
			return nil
		}
	}
	return &problem.Problem{Status: http.StatusNotFound, Detail: "the case has been removed meanwhile"}
}

// DeleteKeptCase answers DELETE /api/v1/kept-cases/{code}.
func (s *Server) DeleteKeptCase(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	code, err := profile.CheckKept("code", chi.URLParam(r, "code"))
	if err != nil {
		return err
	}
	return s.remove(w, r, p, profile.Records{Kept: []profile.KeptCase{{Code: code}}})
}
