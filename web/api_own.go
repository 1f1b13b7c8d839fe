package web

import (
	"fmt"
	"net/http"
	"net/url"

	"slotcast/forecast/lastslot"
)

type (
	ownSequence struct {
		OLL   *int   `json:"oll"`
		Turns string `json:"turns"`
	}
	ownSequencesAnswer struct {
		Sequences []ownSequence `json:"sequences"`
	}
	ownInsertion struct {
		// Slot may be left out of what is put in, where the turns tell it.
		Slot    string   `json:"slot"`
		Turns   string   `json:"turns"`
		Own     bool     `json:"own"`
		Known   bool     `json:"known"`
		Hidden  bool     `json:"hidden"`
		Rating  *int     `json:"rating,omitempty"`
		Seconds *float64 `json:"seconds,omitempty"`
	}
	ownInsertionChange struct {
		ownInsertion
		// Mirror puts in the same for the other hand, too.
		Mirror bool `json:"mirror"`
	}
	ownInsertionsAnswer struct {
		Insertions []ownInsertion `json:"insertions"`
	}
)

// record verifies the sequence; what is kept has no AUF at its ends.
func (o ownSequence) record() (OwnSequence, error) {
	pattern, err := checkPattern(o.OLL, 1)
	if err != nil {
		return OwnSequence{}, err
	}
	turns, err := checkTurns(o.Turns)
	if err != nil {
		return OwnSequence{}, err
	}
	sequence, err := lastslot.CheckSequence(pattern, turns)
	if err != nil {
		return OwnSequence{}, unfit(err)
	}
	return OwnSequence{Pattern: pattern, Turns: sequence.Turns.String()}, nil
}

func sequencesOf(records []OwnSequence) []ownSequence {
	all := []ownSequence{}
	for _, r := range records {
		oll := int(r.Pattern)
		all = append(all, ownSequence{&oll, r.Turns})
	}
	return all
}

// ownSequencesAPI answers GET /api/v1/own-sequences.
func (s *site) ownSequencesAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, ownSequencesAnswer{sequencesOf(records.Sequences)})
	return nil
}

// putOwnSequenceAPI answers PUT /api/v1/own-sequences: it adds one.
func (s *site) putOwnSequenceAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	var given ownSequence
	if err := readBody(w, r, maxBody, &given); err != nil {
		return err
	}
	record, err := given.record()
	if err != nil {
		return err
	}
	records := []OwnSequence{record}
	if err := s.Store.Put(r.Context(), p.ID, Records{Sequences: records}); err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, sequencesOf(records)[0])
	return nil
}

// deleteOwnSequenceAPI answers DELETE /api/v1/own-sequences/{oll}?turns=, and
// without turns removes all of the pattern's.
func (s *site) deleteOwnSequenceAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	pattern, err := pathPattern(r, 1)
	if err != nil {
		return err
	}
	turns, err := turnsParameter(r)
	if err != nil {
		return err
	}
	gone := []OwnSequence{{pattern, turns}}
	if turns == "" {
		_, records, err := s.Store.Records(r.Context(), p.ID)
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
	return s.remove(w, r, p, Records{Sequences: gone})
}

// turnsParameter is the parameter turns as turns are kept, "" where it is not
// given.
func turnsParameter(r *http.Request) (string, error) {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return "", unclear("", "the address's parameters are not encoded as they should be")
	}
	if n := len(values["turns"]); n > 1 {
		return "", unclear("turns", fmt.Sprintf("given %d times; once is enough", n))
	}
	if !values.Has("turns") {
		return "", nil
	}
	turns, err := checkTurns(values.Get("turns"))
	return turns.String(), err
}

// record verifies the insertion; what is kept has no AUF at its ends, and its
// slot is where it stands before these turns.
func (o ownInsertion) record() (OwnInsertion, lastslot.Insertion, error) {
	fail := func(err error) (OwnInsertion, lastslot.Insertion, error) {
		return OwnInsertion{}, lastslot.Insertion{}, err
	}
	var slot *lastslot.Slot
	if o.Slot != "" {
		named, err := lastslot.ParseSlot(o.Slot)
		if err != nil {
			return fail(unclear("slot", fmt.Sprintf("no slot “%s”: a slot is FR, FL, BL or BR", shortened(o.Slot))))
		}
		slot = &named
	}
	turns, err := checkTurns(o.Turns)
	if err != nil {
		return fail(err)
	}
	if o.Known && o.Hidden {
		return fail(unclear("hidden", "known and hidden at once: it is one or the other"))
	}
	rating, err := checkRating("rating", o.Rating)
	if err != nil {
		return fail(err)
	}
	measured, err := checkSeconds("seconds", o.Seconds)
	if err != nil {
		return fail(err)
	}
	insertion, err := lastslot.CheckInsertion(slot, turns)
	if err != nil {
		return fail(unfit(err))
	}
	record := OwnInsertion{Own: o.Own, Known: o.Known, Hidden: o.Hidden, Rating: rating, Time: measured}
	return record.of(insertion), insertion, nil
}

// of is the same said of an insertion.
func (o OwnInsertion) of(i lastslot.Insertion) OwnInsertion {
	o.Slot, o.Turns = i.Slot, i.Turns.String()
	return o
}

func insertionsOf(records []OwnInsertion) []ownInsertion {
	all := []ownInsertion{}
	for _, r := range records {
		all = append(all, ownInsertion{
			Slot: r.Slot.String(), Turns: r.Turns, Own: r.Own, Known: r.Known, Hidden: r.Hidden,
			Rating: writtenRating(r.Rating), Seconds: writtenSeconds(r.Time),
		})
	}
	return all
}

// ownInsertionsAPI answers GET /api/v1/own-insertions.
func (s *site) ownInsertionsAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, ownInsertionsAnswer{insertionsOf(records.Insertions)})
	return nil
}

// putOwnInsertionAPI answers PUT /api/v1/own-insertions: it adds what the person
// says of one, in place of what was said before.
func (s *site) putOwnInsertionAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	var given ownInsertionChange
	if err := readBody(w, r, maxBody, &given); err != nil {
		return err
	}
	record, insertion, err := given.record()
	if err != nil {
		return err
	}
	records := []OwnInsertion{record}
	if given.Mirror {
		records = append(records, record.of(insertion.Mirror()))
	}
	if err := s.Store.Put(r.Context(), p.ID, Records{Insertions: records}); err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, ownInsertionsAnswer{insertionsOf(records)})
	return nil
}

// deleteOwnInsertionAPI answers DELETE /api/v1/own-insertions/{slot}?turns=.
func (s *site) deleteOwnInsertionAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	slot, err := pathSlot(r)
	if err != nil {
		return err
	}
	turns, err := turnsParameter(r)
	if err != nil {
		return err
	}
	if turns == "" {
		return unclear("turns", "missing: the turns of the insertion, as they are listed")
	}
	return s.remove(w, r, p, Records{Insertions: []OwnInsertion{{Slot: slot, Turns: turns}}})
}
