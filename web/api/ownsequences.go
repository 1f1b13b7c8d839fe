package api

import (
	"net/http"
	"net/url"

	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"

	"github.com/go-chi/chi/v5"
)

type ownSequencesAnswer struct {
	Sequences []profile.SequenceValues `json:"sequences"`
}

// OwnSequences answers GET /api/v1/own-sequences.
func (s *Server) OwnSequences(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, ownSequencesAnswer{profile.SequencesOf(records.Sequences)})
	return nil
}

// PutOwnSequence answers PUT /api/v1/own-sequences: it adds one.
func (s *Server) PutOwnSequence(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var given profile.SequenceValues
	if err := readBody(w, r, profile.MaxBody, &given); err != nil {
		return err
	}
	record, err := given.Record()
	if err != nil {
		return err
	}
	records := []profile.OwnSequence{record}
	if err := s.store.Put(r.Context(), p.ID, profile.Records{Sequences: records}); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, profile.SequencesOf(records)[0])
	return nil
}

// DeleteOwnSequence answers DELETE /api/v1/own-sequences/{oll}?turns=, and
// without turns removes all of the pattern's.
func (s *Server) DeleteOwnSequence(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	pattern, err := query.Pattern(chi.URLParam(r, "oll"), 1)
	if err != nil {
		return err
	}
	turns, err := turnsParameter(r)
	if err != nil {
		return err
	}
	gone := []profile.OwnSequence{{Pattern: pattern, Turns: turns}}
	if turns == "" {
		_, records, err := s.store.Records(r.Context(), p.ID)
		if err != nil {
			return err
		}
		gone = records.Sequences[:0]
		for _, sequence := range records.Sequences {
			if sequence.Pattern == pattern {
				gone = append(gone, sequence)
			}
		}
	}
	return s.remove(w, r, p, profile.Records{Sequences: gone})
}

// turnsParameter is the parameter turns as turns are kept, "" where it is not
// given.
func turnsParameter(r *http.Request) (string, error) {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return "", problem.NotEncoded()
	}
	if n := len(values["turns"]); n > 1 {
		return "", problem.Repeated("turns", n)
	}
	if !values.Has("turns") {
		return "", nil
	}
	turns, err := profile.CheckTurns(values.Get("turns"))
	return turns.String(), err
}
