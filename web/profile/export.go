package profile

import (
	"encoding/json"
	"fmt"
	"net/http"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
	"slotcast/web/problem"
)

// What an export says of itself.
const (
	ExportFormat = "slotcast"
	// ExportVersion is 2 since executing has factors in the scale, 3 since an insertion can
	// be said not to be known, 4 since patterns can be learnt or not, 5 since PLLs are rated
	// and there are results, and 6 since these say what a whole solve came to, and it what a
	// solve was expected to take, and kept cases can have two slots open, and 7 since there
	// are steps; older files are read all the same.
	ExportVersion = 7
)

// Export is a profile's records as one document: each list has the objects that
// the routes of its kind take and answer.
type Export struct {
	Format      string             `json:"format"`
	Version     int                `json:"version"`
	Scale       []StepValues       `json:"scale"`
	Ratings     []PatternRating    `json:"ratings"`
	PLLs        []PLLValues        `json:"plls"`
	Names       []NamedPattern     `json:"names"`
	Sequences   []SequenceValues   `json:"sequences"`
	Insertions  []InsertionValues  `json:"insertions"`
	Steps       []OwnStepValues    `json:"steps"`
	Preferences []PreferenceValues `json:"preferences"`
	Kept        []KeptValues       `json:"kept"`
	Recent      []RecentValues     `json:"recent"`
	Expected    []ExpectedValues   `json:"expected"`
	Results     []ResultValues     `json:"results"`
}

// Import is the same before its lists are looked into, so that an error can
// say which object of which list it is in.
type Import struct {
	Format      string            `json:"format"`
	Version     int               `json:"version"`
	Scale       []json.RawMessage `json:"scale"`
	Ratings     []json.RawMessage `json:"ratings"`
	PLLs        []json.RawMessage `json:"plls"`
	Names       []json.RawMessage `json:"names"`
	Sequences   []json.RawMessage `json:"sequences"`
	Insertions  []json.RawMessage `json:"insertions"`
	Steps       []json.RawMessage `json:"steps"`
	Preferences []json.RawMessage `json:"preferences"`
	Kept        []json.RawMessage `json:"kept"`
	Recent      []json.RawMessage `json:"recent"`
	Expected    []json.RawMessage `json:"expected"`
	Results     []json.RawMessage `json:"results"`
}

// ExportOf is the document with the records.
func ExportOf(r Records) Export {
	e := Export{
		Format: ExportFormat, Version: ExportVersion, Scale: []StepValues{},
		Ratings: RatingsOf(r), PLLs: PLLsOf(r), Names: NamesOf(r.Names), Sequences: SequencesOf(r.Sequences), Insertions: InsertionsOf(r.Insertions), Steps: OwnStepsOf(r.Steps),
		Preferences: PreferencesOf(r.Preferences), Kept: KeptOf(r.Kept), Recent: RecentOf(r.Recent), Expected: ExpectedOf(r.Expected), Results: ResultsOf(r.Results),
	}
	for _, s := range r.Scale {
		e.Scale = append(e.Scale, StepValuesOf(s))
	}
	return e
}

// Records verifies all of a document as its parts are verified one by one.
func (i Import) Records() (r Records, err error) {
	if i.Format != ExportFormat {
		return Records{}, problem.BadRequest("format", fmt.Sprintf("“%s” is not “%s”: this is not an export of Slotcast", problem.Shortened(i.Format), ExportFormat))
	}
	if i.Version < 1 || i.Version > ExportVersion {
		return Records{}, problem.BadRequest("version", fmt.Sprintf("version %d is unknown; use 1 to %d", i.Version, ExportVersion))
	}
	if r.Scale, err = i.scale(); err != nil {
		return Records{}, err
	}
	rated, err := each("ratings", i.Ratings, lastslot.Patterns, one(PatternRating.record))
	if err != nil {
		return Records{}, err
	}
	for _, of := range rated {
		r.Ratings, r.Learnt = append(r.Ratings, of.Ratings...), append(r.Learnt, of.Learnt...)
	}
	solved, err := each("plls", i.PLLs, pll.PLLs-1, one(PLLValues.Records))
	if err != nil {
		return Records{}, err
	}
	for _, of := range solved {
		r.PLLRatings, r.PLLSequences = append(r.PLLRatings, of.PLLRatings...), append(r.PLLSequences, of.PLLSequences...)
	}
	if r.Names, err = each("names", i.Names, lastslot.Patterns, one(NamedPattern.record)); err != nil {
		return Records{}, err
	}
	if r.Sequences, err = each("sequences", i.Sequences, lastslot.Patterns*MaxSequences, one(SequenceValues.Record)); err != nil {
		return Records{}, err
	}
	r.Insertions, err = each("insertions", i.Insertions, MaxInsertions, one(func(o InsertionValues) (OwnInsertion, error) {
		if i.Version < 3 && o.Known != nil && !*o.Known {
			o.Known = nil // there it was written of every insertion that was not marked
		}
		record, _, err := o.Record()
		return record, err
	}))
	if err != nil {
		return Records{}, err
	}
	if r.Steps, err = each("steps", i.Steps, MaxSteps, one(OwnStepValues.Record)); err != nil {
		return Records{}, err
	}
	if r.Preferences, err = each("preferences", i.Preferences, len(Choices), one(PreferenceValues.record)); err != nil {
		return Records{}, err
	}
	if r.Kept, err = each("kept", i.Kept, MaxKept, one(KeptValues.record)); err != nil {
		return Records{}, err
	}
	if r.Recent, err = each("recent", i.Recent, MaxRecent, one(RecentValues.record)); err != nil {
		return Records{}, err
	}
	if r.Expected, err = each("expected", i.Expected, MaxExpected, one(ExpectedValues.record)); err != nil {
		return Records{}, err
	}
	r.Results, err = each("results", i.Results, MaxResults, one(ResultValues.record))
	return r, err
}

// scale reads the scale of a file of any version.
func (i Import) scale() ([]ScaleStep, error) {
	const most = 2*5 + 1 // two steps of five levels, and tracking
	steps, err := each("scale", i.Scale, most, one(func(v StepValues) (StepValues, error) { return v, nil }))
	if err != nil {
		return nil, err
	}
	if i.Version == 1 {
		steps = scaleOfVersion1(steps)
	}
	var all []ScaleStep
	for n, step := range steps {
		record, err := step.Record()
		if err != nil {
			return nil, within(fmt.Sprintf("scale[%d]", n), err)
		}
		all = append(all, record)
	}
	if i.Version == 1 {
		return all, nil // there the order was free: it is brought in order where it counts
	}
	return all, CheckScale(all)
}

// each reads the records of a list; an error says where in it. One that is longer
// than any profile's is not looked into.
func each[T, R any](list string, parts []json.RawMessage, most int, read func(T) ([]R, error)) (all []R, err error) {
	if len(parts) > most {
		return nil, &problem.Problem{Status: http.StatusUnprocessableEntity, Title: "No room", Detail: fmt.Sprintf("%s: %d in the list; a profile has at most %d", list, len(parts), most), Field: list}
	}
	for n, part := range parts {
		var value T
		err := Decode(part, &value)
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
