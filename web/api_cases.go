package web

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
)

type preferenceAnswer struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

type recentCase struct {
	Case   string    `json:"case"`
	Looked time.Time `json:"looked"`
}

type keptCase struct {
	Case  string    `json:"case"`
	Note  string    `json:"note,omitempty"`
	Since time.Time `json:"since"`
}

type (
	preferencesAnswer struct {
		Preferences []preferenceAnswer `json:"preferences"`
	}
	preferenceChange struct {
		Value string `json:"value"`
	}
	recentCasesAnswer struct {
		Recent []recentCase `json:"recent"`
	}
	keptCasesAnswer struct {
		Kept []keptCase `json:"kept"`
	}
	keptCaseChange struct {
		Note string `json:"note,omitempty"`
	}
)

func (v preferenceAnswer) record() (Preference, error) { return checkPreference(v.Name, v.Value) }

func (c recentCase) record() (RecentCase, error) {
	found, err := checkCode("case", c.Case)
	if err == nil {
		err = checkTime("looked", c.Looked)
	}
	return RecentCase{found.Code(), c.Looked}, err
}

func (c keptCase) record() (KeptCase, error) {
	found, err := checkCode("case", c.Case)
	if err != nil {
		return KeptCase{}, err
	}
	note, err := checkNote(c.Note)
	if err == nil {
		err = checkTime("since", c.Since)
	}
	return KeptCase{found.Code(), note, c.Since}, err
}

// checkTime bounds a time of day that a file tells: it was after this program
// began, and another clock may be ahead, by less than a day.
func checkTime(field string, t time.Time) error {
	if t.Year() < 2020 || t.After(time.Now().AddDate(0, 0, 1)) {
		return unclear(field, "missing, before 2020 or in the future")
	}
	return nil
}

func preferencesOf(records []Preference) []preferenceAnswer {
	all := []preferenceAnswer{}
	for _, p := range records {
		all = append(all, preferenceAnswer(p))
	}
	return all
}

func recentOf(records []RecentCase) []recentCase {
	all := []recentCase{}
	for _, c := range records {
		all = append(all, recentCase{c.Code, c.Looked})
	}
	return all
}

func keptOf(records []KeptCase) []keptCase {
	all := []keptCase{}
	for _, c := range records {
		all = append(all, keptCase{c.Code, c.Note, c.Since})
	}
	return all
}

// preferencesAPI answers GET /api/v1/preferences.
func (s *site) preferencesAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, preferencesAnswer{preferencesOf(records.Preferences)})
	return nil
}

// putPreferenceAPI answers PUT /api/v1/preferences/{name}.
func (s *site) putPreferenceAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	var change preferenceChange
	if err := readBody(w, r, maxBody, &change); err != nil {
		return err
	}
	kept, err := checkPreference(chi.URLParam(r, "name"), change.Value)
	if err != nil {
		return err
	}
	if err := s.Store.Put(r.Context(), p.ID, Records{Preferences: []Preference{kept}}); err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, preferenceAnswer(kept))
	return nil
}

// deletePreferenceAPI answers DELETE /api/v1/preferences/{name}: what is usual
// counts again.
func (s *site) deletePreferenceAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	gone, err := checkPreferenceName(chi.URLParam(r, "name"))
	if err != nil {
		return err
	}
	return s.remove(w, r, p, Records{Preferences: []Preference{{Name: gone.Name}}})
}

// recentCasesAPI answers GET /api/v1/recent-cases.
func (s *site) recentCasesAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, recentCasesAnswer{recentOf(records.Recent)})
	return nil
}

// deleteRecentCasesAPI answers DELETE /api/v1/recent-cases.
func (s *site) deleteRecentCasesAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	return s.remove(w, r, p, Records{Recent: records.Recent})
}

// keptCasesAPI answers GET /api/v1/kept-cases.
func (s *site) keptCasesAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, keptCasesAnswer{keptOf(records.Kept)})
	return nil
}

// putKeptCaseAPI answers PUT /api/v1/kept-cases/{code}.
func (s *site) putKeptCaseAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	var change keptCaseChange
	if err := readBody(w, r, maxBody, &change); err != nil {
		return err
	}
	found, err := checkCode("code", chi.URLParam(r, "code"))
	if err != nil {
		return err
	}
	note, err := checkNote(change.Note)
	if err != nil {
		return err
	}
	code := found.Code()
	if err := s.Store.Put(r.Context(), p.ID, Records{Kept: []KeptCase{{code, note, time.Now()}}}); err != nil {
		return err
	}
	// One that was kept already is kept since then.
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	for _, kept := range records.Kept {
		if kept.Code == code {
			writeJSON(w, http.StatusOK, keptCase{kept.Code, kept.Note, kept.Since})
			return nil
		}
	}
	return &problem{Status: http.StatusNotFound, Detail: "the case was removed again meanwhile"}
}

// deleteKeptCaseAPI answers DELETE /api/v1/kept-cases/{code}.
func (s *site) deleteKeptCaseAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	found, err := checkCode("code", chi.URLParam(r, "code"))
	if err != nil {
		return err
	}
	return s.remove(w, r, p, Records{Kept: []KeptCase{{Code: found.Code()}}})
}
