package api

import (
	"net/http"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/pll"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

type (
	pllsAnswer struct {
		PLLs []profile.PLLValues `json:"plls"`
	}
	// pllChange is what is said of a PLL that the address names.
	pllChange struct {
		Rating *int   `json:"rating,omitempty"`
		Turns  string `json:"turns,omitempty"`
	}
	pllSequencesAnswer struct {
		PLLs []pllSequences `json:"plls"`
	}
	pllSequences struct {
		PLL       string   `json:"pll"`
		Sequences []string `json:"sequences"`
	}
)

// PLLSequences answers GET /api/v1/pll-sequences.
func (s *Server) PLLSequences(w http.ResponseWriter, _ *http.Request) error {
	var a pllSequencesAnswer
	for of := pll.PLL(1); of < pll.PLLs; of++ {
		one := pllSequences{PLL: of.String()}
		for _, turns := range s.book.PLLSequences(of) {
			one.Sequences = append(one.Sequences, turns.String())
		}
		a.PLLs = append(a.PLLs, one)
	}
	w.Header().Set("Cache-Control", "no-cache")
	problem.WriteJSON(w, http.StatusOK, a)
	return nil
}

// PLLs answers GET /api/v1/plls.
func (s *Server) PLLs(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, pllsAnswer{profile.PLLsOf(records)})
	return nil
}

// PutPLL answers PUT /api/v1/plls/{pll}: what is not given is said no more.
func (s *Server) PutPLL(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	of, err := profile.CheckPLL("pll", chi.URLParam(r, "pll"))
	if err != nil {
		return err
	}
	var given pllChange
	if err := readBody(w, r, profile.MaxBody, &given); err != nil {
		return err
	}
	put, err := profile.PLLValues{PLL: of.String(), Rating: given.Rating, Turns: given.Turns}.Records()
	if err != nil {
		return err
	}
	var remove profile.Records
	if put.PLLRatings == nil {
		remove.PLLRatings = []profile.PLLRating{{PLL: of}}
	}
	if put.PLLSequences == nil {
		remove.PLLSequences = []profile.PLLSequence{{PLL: of}}
	}
	if _, err := s.store.Change(r.Context(), p.ID, profile.Change{Put: put, Remove: remove}); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, profile.PLLsOf(put)[0])
	return nil
}

// DeletePLL answers DELETE /api/v1/plls/{pll}.
func (s *Server) DeletePLL(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	of, err := profile.CheckPLL("pll", chi.URLParam(r, "pll"))
	if err != nil {
		return err
	}
	return s.remove(w, r, p, profile.Records{
		PLLRatings: []profile.PLLRating{{PLL: of}}, PLLSequences: []profile.PLLSequence{{PLL: of}},
	})
}
