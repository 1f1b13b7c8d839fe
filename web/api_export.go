package web

import (
	"encoding/json"
	"fmt"
	"net/http"

	"slotcast/forecast/lastslot"
)

// What an export says of itself.
const (
	exportFormat  = "slotcast"
	exportVersion = 1
)

// exported is a profile's records as one document: each list has the objects that
// the routes of its kind take and answer.
type exported struct {
	Format      string             `json:"format"`
	Version     int                `json:"version"`
	Scale       []stepSeconds      `json:"scale"`
	Ratings     []patternRating    `json:"ratings"`
	Names       []namedPattern     `json:"names"`
	Sequences   []ownSequence      `json:"sequences"`
	Insertions  []ownInsertion     `json:"insertions"`
	Preferences []preferenceAnswer `json:"preferences"`
	Kept        []keptCase         `json:"kept"`
	Recent      []recentCase       `json:"recent"`
}

// imported is the same before its lists are looked into, so that an error can
// say which object of which list it is in.
type imported struct {
	Format      string            `json:"format"`
	Version     int               `json:"version"`
	Scale       []json.RawMessage `json:"scale"`
	Ratings     []json.RawMessage `json:"ratings"`
	Names       []json.RawMessage `json:"names"`
	Sequences   []json.RawMessage `json:"sequences"`
	Insertions  []json.RawMessage `json:"insertions"`
	Preferences []json.RawMessage `json:"preferences"`
	Kept        []json.RawMessage `json:"kept"`
	Recent      []json.RawMessage `json:"recent"`
}

// exportOf is the document with the records.
func exportOf(r Records) exported {
	e := exported{
		Format: exportFormat, Version: exportVersion, Scale: []stepSeconds{},
		Ratings: ratingsOf(r.Ratings), Names: namesOf(r.Names), Sequences: sequencesOf(r.Sequences), Insertions: insertionsOf(r.Insertions),
		Preferences: preferencesOf(r.Preferences), Kept: keptOf(r.Kept), Recent: recentOf(r.Recent),
	}
	for _, s := range r.Scale {
		e.Scale = append(e.Scale, stepSeconds{s.Step, writtenRating(s.Rating), writtenSeconds(s.Time)})
	}
	return e
}

// records verifies all of a document as its parts are verified one by one.
func (i imported) records() (r Records, err error) {
	if i.Format != exportFormat {
		return Records{}, unclear("format", fmt.Sprintf("“%s” is not “%s”: this is no export of Slotcast", shortened(i.Format), exportFormat))
	}
	if i.Version != exportVersion {
		return Records{}, unclear("version", fmt.Sprintf("%d is a version that is unknown here; it can be %d", i.Version, exportVersion))
	}
	if r.Scale, err = each("scale", i.Scale, 2*5, one(stepSeconds.record)); err != nil {
		return Records{}, err
	}
	if r.Ratings, err = each("ratings", i.Ratings, lastslot.Patterns, patternRating.records); err != nil {
		return Records{}, err
	}
	if r.Names, err = each("names", i.Names, lastslot.Patterns, one(namedPattern.record)); err != nil {
		return Records{}, err
	}
	if r.Sequences, err = each("sequences", i.Sequences, lastslot.Patterns*MaxSequences, one(ownSequence.record)); err != nil {
		return Records{}, err
	}
	r.Insertions, err = each("insertions", i.Insertions, MaxInsertions, one(func(o ownInsertion) (OwnInsertion, error) {
		record, _, err := o.record()
		return record, err
	}))
	if err != nil {
		return Records{}, err
	}
	if r.Preferences, err = each("preferences", i.Preferences, len(preferences), one(preferenceAnswer.record)); err != nil {
		return Records{}, err
	}
	if r.Kept, err = each("kept", i.Kept, MaxKept, one(keptCase.record)); err != nil {
		return Records{}, err
	}
	r.Recent, err = each("recent", i.Recent, MaxRecent, one(recentCase.record))
	return r, err
}

// each reads the records of a list; an error says where in it. One that is longer
// than any profile's is not looked into.
func each[T, R any](list string, parts []json.RawMessage, most int, read func(T) ([]R, error)) (all []R, err error) {
	if len(parts) > most {
		return nil, &problem{Status: http.StatusUnprocessableEntity, Title: "No room", Detail: fmt.Sprintf("%s: %d in the list; a profile has at most %d", list, len(parts), most), Field: list}
	}
	for n, part := range parts {
		var value T
		err := decode(part, &value)
		var records []R
		if err == nil {
			records, err = read(value)
		}
		if err != nil {
			return nil, within(fmt.Sprintf("%s[%d]", list, n), err)
		}
		all = append(all, records...)
	}
	return all, nil
}

// one makes a reader of one record one of several.
func one[T, R any](read func(T) (R, error)) func(T) ([]R, error) {
	return func(value T) ([]R, error) {
		record, err := read(value)
		return []R{record}, err
	}
}

func (v patternRating) records() ([]Rating, error) {
	pattern, err := checkPattern(v.OLL, 0)
	if err != nil {
		return nil, err
	}
	records, err := v.ratingValues.records(pattern)
	if err == nil && len(records) == 0 {
		err = nothingRated()
	}
	return records, err
}

func (v namedPattern) record() (Name, error) {
	pattern, err := checkPattern(v.OLL, 0)
	if err != nil {
		return Name{}, err
	}
	name, err := checkName(v.Name)
	return Name{pattern, name}, err
}

// exportAPI answers GET /api/v1/export.
func (s *site) exportAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", `attachment; filename="slotcast.json"`)
	writeJSON(w, http.StatusOK, exportOf(records))
	return nil
}

// importAPI answers POST /api/v1/import: the records are added, each in place of
// the one of the same thing, all of them or none.
func (s *site) importAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	var document imported
	if err := readBody(w, r, maxImport, &document); err != nil {
		return err
	}
	records, err := document.records()
	if err != nil {
		return err
	}
	if err := s.Store.Put(r.Context(), p.ID, records); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}
