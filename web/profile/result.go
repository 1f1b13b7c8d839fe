package profile

import (
	"fmt"
	"math"
	"slices"
	"time"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/web/problem"
)

// Result is what became of one go at an item of practice.
type Result struct {
	// ID is a secret's shape, made at random by the device: of two results with the same
	// one the second is the first sent again, and does not count.
	ID       string
	Exercise practice.Exercise
	Item     practice.Item
	practice.Try
	// Grade is what was given for it when it was counted; 0 where it is to be given then.
	Grade practice.Grade
	// Withdrawn says that it does not count.
	Withdrawn bool
	// Drill is the drill that it was done in, "" for none; it is only written.
	Drill DrillID
	// Left is the pattern that a whole solve came to, nil where that is not said.
	Left *lastslot.Pattern
	// Insert and Recognise are how long its first two parts took; both are 0 where it was not
	// split.
	Insert, Recognise time.Duration
}

// ResultsAsked says which results are wanted. The zero one wants all.
type ResultsAsked struct {
	// Exercise and Item are nil and "" for all.
	Exercise *practice.Exercise
	Item     practice.Item
	// Before is the id of a result: those are wanted that are listed after it. "" begins at
	// the newest.
	Before string
	// Limit is the most that are wanted, 0 for all.
	Limit int
}

// ResultGiven is a result that is to be counted, as JSON has it.
type ResultGiven struct {
	ID       string    `json:"id"`
	Exercise string    `json:"exercise"`
	Item     string    `json:"item"`
	At       time.Time `json:"at"`
	Seconds  *float64  `json:"seconds"`
	Right    *bool     `json:"right"`
	// Left, Insert and Recognise are of a whole solve, and may be left out.
	Left      *int     `json:"left,omitempty"`
	Insert    *float64 `json:"insert,omitempty"`
	Recognise *float64 `json:"recognise,omitempty"`
}

// ResultValues is a result with what became of it.
type ResultValues struct {
	ResultGiven
	// Grade is 0 in a file that somebody wrote: then it is given when the result is counted.
	Grade     int  `json:"grade,omitempty"`
	Withdrawn bool `json:"withdrawn,omitempty"`
}

// MostGiven is how many results are given at once.
const MostGiven = 1000

// ResultsGiven verifies results that are to be counted: all of them, or an error that says
// which is wrong.
func ResultsGiven(given []ResultGiven) (results []Result, err error) {
	switch {
	case len(given) == 0:
		return nil, problem.BadRequest("results", "missing: a list of results")
	case len(given) > MostGiven:
		return nil, problem.BadRequest("results", fmt.Sprintf("%d results; nothing was counted: send at most %d at once", len(given), MostGiven))
	}
	for n, v := range given {
		r, err := v.Record()
		if err != nil {
			return nil, within(fmt.Sprintf("results[%d]", n), err)
		}
		results = append(results, r)
	}
	return results, nil
}

// record verifies a result of a file.
func (v ResultValues) record() (Result, error) {
	r, err := v.ResultGiven.Record()
	if err != nil {
		return r, err
	}
	if v.Grade < 0 || v.Grade > int(practice.Easy) || v.Grade > 0 && (v.Grade == int(practice.Again)) == r.Right {
		return r, problem.BadRequest("grade", fmt.Sprintf("%d: a wrong result has grade 1, a right one 2 to 4", v.Grade))
	}
	r.Grade, r.Withdrawn = practice.Grade(v.Grade), v.Withdrawn
	return r, nil
}

// Record verifies a result.
func (v ResultGiven) Record() (r Result, err error) {
	if !IsSecret(v.ID) {
		return r, problem.BadRequest("id", NotSecret)
	}
	if r.Exercise, err = practice.ParseExercise(problem.Shortened(v.Exercise)); err != nil {
		return r, problem.BadRequest("exercise", err.Error())
	}
	if r.Item, err = practice.ParseItem(r.Exercise, v.Item); err != nil {
		return r, problem.Unprocessable("item", err)
	}
	if err := checkTime("at", v.At); err != nil {
		return r, err
	}
	switch {
	case v.Seconds == nil:
		return r, problem.BadRequest("seconds", "missing: how long it took")
	case v.Right == nil:
		return r, problem.BadRequest("right", "missing: true or false")
	}
	most := practice.MostTook.Seconds()
	milliseconds := math.Round(*v.Seconds * 1000)
	if !(milliseconds >= 1 && *v.Seconds <= most) {
		return r, problem.BadRequest("seconds", fmt.Sprintf("%v seconds: a result takes more than 0 and at most %v", *v.Seconds, most))
	}
	r.ID = v.ID
	r.Try = practice.Try{At: v.At.UTC().Truncate(time.Millisecond), Took: time.Duration(milliseconds) * ms, Right: *v.Right}
	return r, v.whole(&r)
}

// whole verifies what is said of a whole solve.
func (v ResultGiven) whole(r *Result) error {
	for _, field := range []struct {
		name  string
		given bool
	}{{"left", v.Left != nil}, {"insert", v.Insert != nil}, {"recognise", v.Recognise != nil}} {
		if field.given && r.Exercise != practice.Whole {
			return problem.BadRequest(field.name, "only a result of whole has it")
		}
	}
	if v.Left != nil {
		if *v.Left < 0 || *v.Left >= lastslot.Patterns {
			return problem.BadRequest("left", fmt.Sprintf("%d is no pattern: they are numbered from 0 to %d", *v.Left, lastslot.Patterns-1))
		}
		r.Left = new(lastslot.Pattern(*v.Left))
	}
	switch {
	case v.Insert == nil && v.Recognise == nil:
		return nil
	case v.Insert == nil:
		return problem.BadRequest("insert", "missing: a split solve has both insert and recognise")
	case v.Recognise == nil:
		return problem.BadRequest("recognise", "missing: a split solve has both insert and recognise")
	}
	for _, part := range []struct {
		name  string
		given float64
		into  *time.Duration
	}{{"insert", *v.Insert, &r.Insert}, {"recognise", *v.Recognise, &r.Recognise}} {
		if milliseconds := math.Round(part.given * 1000); milliseconds >= 1 && part.given <= *v.Seconds {
			*part.into = time.Duration(milliseconds) * ms
		} else {
			return problem.BadRequest(part.name, fmt.Sprintf("%v seconds: a part takes more than 0 and less than the whole", part.given))
		}
	}
	if r.Insert+r.Recognise >= r.Took {
		return problem.BadRequest("recognise", "the parts take longer than the whole: insert and recognise leave nothing for executing")
	}
	return nil
}

// ResultsOf writes the results as JSON has them.
func ResultsOf(results []Result) []ResultValues {
	all := make([]ResultValues, 0, len(results))
	for _, r := range results {
		given := ResultGiven{ID: r.ID, Exercise: r.Exercise.String(), Item: string(r.Item), At: r.At, Seconds: WrittenSeconds(r.Took), Right: new(r.Right)}
		if r.Left != nil {
			given.Left = new(int(*r.Left))
		}
		if r.Insert > 0 {
			given.Insert, given.Recognise = WrittenSeconds(r.Insert), WrittenSeconds(r.Recognise)
		}
		all = append(all, ResultValues{given, int(r.Grade), r.Withdrawn})
	}
	return all
}

// History is what the results of an item come to, empty where there are none.
func (r Records) History(e practice.Exercise, item practice.Item) practice.History {
	at := slices.IndexFunc(r.Practised, func(p practice.Practised) bool { return p.Exercise == e && p.Item == item })
	if at < 0 {
		return practice.History{}
	}
	return r.Practised[at].History
}
