package api

import (
	"errors"
	"net/http"
	"net/url"

	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"

	"github.com/go-chi/chi/v5"
)

type (
	ownSequencesAnswer struct {
		Sequences []profile.SequenceValues `json:"sequences"`
	}
	ownInsertionChange struct {
		profile.InsertionValues
		// Mirror puts in the same for the other hand, too.
		Mirror bool `json:"mirror"`
	}
	ownInsertionsAnswer struct {
		Insertions []profile.InsertionValues `json:"insertions"`
	}
)

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

// OwnInsertions answers GET /api/v1/own-insertions.
func (s *Server) OwnInsertions(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, ownInsertionsAnswer{profile.InsertionsOf(records.Insertions)})
	return nil
}

// PutOwnInsertion answers PUT /api/v1/own-insertions: it adds what the person
// says of one, in place of what was said before.
func (s *Server) PutOwnInsertion(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var given ownInsertionChange
	if err := readBody(w, r, profile.MaxBody, &given); err != nil {
		return err
	}
	record, insertion, err := given.Record()
	if err != nil {
		return err
	}
	records := []profile.OwnInsertion{record}
	if given.Mirror {
		records = append(records, record.Of(insertion.Mirror()))
	}
	if err := s.store.Put(r.Context(), p.ID, profile.Records{Insertions: records}); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, ownInsertionsAnswer{profile.InsertionsOf(records)})
	return nil
}

// DeleteOwnInsertion answers DELETE /api/v1/own-insertions/{slot}?turns=.
func (s *Server) DeleteOwnInsertion(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	slot, err := pathSlot(r)
	if err != nil {
		return err
	}
	turns, err := turnsParameter(r)
	if err != nil {
		return err
	}
	if turns == "" {
		return problem.BadRequest("turns", "missing: the turns of the insertion, as they are listed")
	}
	return s.remove(w, r, p, profile.Records{Insertions: []profile.OwnInsertion{{Slot: slot, Turns: turns}}})
}

// ownHandler answers a request about the profile whose key it has.
type ownHandler func(http.ResponseWriter, *http.Request, profile.Profile) error

// Own makes a handler of one that needs a profile.
func (s *Server) Own(h ownHandler) http.HandlerFunc {
	return s.JSON(func(w http.ResponseWriter, r *http.Request) error {
		w.Header().Set("Cache-Control", "no-store")
		p, err := s.sessions.ProfileOf(r)
		if err == nil {
			err = h(w, r, p)
		}
		switch {
		case errors.Is(err, session.ErrNoKey):
			err = session.Unauthorized("a key is needed: make a profile with POST /api/v1/profiles, and send Authorization: Bearer and its key")
		case errors.Is(err, profile.ErrNotFound):
			err = session.Unauthorized("the profile was deleted meanwhile")
		}
		if told := (*problem.Problem)(nil); errors.As(err, &told) && told.Status == http.StatusUnauthorized {
			w.Header().Set("WWW-Authenticate", "Bearer")
		}
		return err
	})
}
