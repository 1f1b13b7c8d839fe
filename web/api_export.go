package web

import (
	"encoding/json"
	"fmt"
	"net/http"
)

// What an export says of itself.
const (
	exportFormat  = "slotcast"
	exportVersion = 1
)

// exported is a profile's records as one document: each list has the objects that
// the routes of its kind take and answer.
type exported struct {
	Format     string          `json:"format"`
	Version    int             `json:"version"`
	Scale      []stepSeconds   `json:"scale"`
	Ratings    []patternRating `json:"ratings"`
	Names      []namedPattern  `json:"names"`
	Sequences  []ownSequence   `json:"sequences"`
	Insertions []ownInsertion  `json:"insertions"`
}

// imported is the same before its lists are looked into, so that an error can
// say which object of which list it is in.
type imported struct {
	Format     string            `json:"format"`
	Version    int               `json:"version"`
	Scale      []json.RawMessage `json:"scale"`
	Ratings    []json.RawMessage `json:"ratings"`
	Names      []json.RawMessage `json:"names"`
	Sequences  []json.RawMessage `json:"sequences"`
	Insertions []json.RawMessage `json:"insertions"`
}

// exportOf is the document with the records.
func exportOf(r Records) exported {
	e := exported{
		Format: exportFormat, Version: exportVersion, Scale: []stepSeconds{},
		Ratings: ratingsOf(r.Ratings), Names: namesOf(r.Names), Sequences: sequencesOf(r.Sequences), Insertions: insertionsOf(r.Insertions),
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
	if r.Scale, err = each("scale", i.Scale, one(stepSeconds.record)); err != nil {
		return Records{}, err
	}
	if r.Ratings, err = each("ratings", i.Ratings, patternRating.records); err != nil {
		return Records{}, err
	}
	if r.Names, err = each("names", i.Names, one(namedPattern.record)); err != nil {
		return Records{}, err
	}
	if r.Sequences, err = each("sequences", i.Sequences, one(ownSequence.record)); err != nil {
		return Records{}, err
	}
	r.Insertions, err = each("insertions", i.Insertions, one(func(o ownInsertion) (OwnInsertion, error) {
		record, _, err := o.record()
		return record, err
	}))
	return r, err
}

// each reads the records of a list; an error says where in it.
func each[T, R any](list string, parts []json.RawMessage, read func(T) ([]R, error)) (all []R, err error) {
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
	return v.ratingValues.records(pattern)
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
