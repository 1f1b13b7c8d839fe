package api

import (
	"net/http"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

type ownInsertionChange struct {
	profile.InsertionValues
	// Mirror puts in the same for the other hand, too.
	Mirror bool `json:"mirror"`
}

type ownInsertionsAnswer struct {
	Insertions []profile.InsertionValues `json:"insertions"`
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
