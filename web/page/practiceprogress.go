package page

import (
	"fmt"
	"net/http"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// lastResults is how many results are shown one by one.
const lastResults = 30

// progressView is what somebody's results say, beside what they rate.
type progressView struct {
	pageView
	Summary string
	// Days says on how many days there was practice, "" for none; Plots are over the weeks.
	Days     string
	Plots    []plotView
	Patterns []progressPatternView
	Places   []placeProgressView
	Results  []resultView
}

// progressPatternView is a pattern that was practised.
type progressPatternView struct {
	Name, Path string
	Steps      []progressStepView
}

// progressStepView is what was measured of a step, "" for nothing, and what is rated.
type progressStepView struct{ Name, Measured, Rated string }

// resultView is a result, with why it does not count.
type resultView struct {
	ID, When, Words, Note string
	Withdrawn             bool
}

// PracticeProgress answers GET /practice/results.
func (s *Server) PracticeProgress(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	v := progressView{pageView: s.pageView("What you measured – Slotcast", "Your results beside your ratings.", "")}
	var results []profile.Result
	if visitor.Profile != nil {
		last := practice.DayOf(time.Now()).Week()
		progress, err := s.store.Progress(r.Context(), visitor.Profile.ID, last-weeksShown+1)
		if err != nil {
			return err
		}
		if len(progress.Days) > 0 {
			v.Days = daysWords(progress.Days, last)
		}
		if err := s.showWeeks(&v, r, visitor.Records, progress, last); err != nil {
			return err
		}
		if results, err = s.store.Results(r.Context(), visitor.Profile.ID, profile.ResultsAsked{Limit: lastResults}); err != nil {
			return err
		}
	}
	records := visitor.Records
	s.showMeasured(&v, records)
	v.Places = placesOf(records)
	for _, one := range results {
		v.Results = append(v.Results, resultOf(records, one))
	}
	return render(w, r, http.StatusOK, progressPage(v))
}

// showMeasured shows each pattern that was practised, what was measured beside what is rated.
func (s *Server) showMeasured(v *progressView, records profile.Records) {
	measured := practice.Measure(records.Practised)
	rated := records
	rated.Practised = nil
	book, person := profile.BookOf(s.book, records), profile.PersonOf(s.book, rated, s.log)
	enough := 0
	for p := range lastslot.Pattern(lastslot.Patterns) {
		view := progressPatternView{Name: records.PatternName(p), Path: fmt.Sprintf("/patterns/%d", p)}
		practised := false
		for step, seconds := range measured.Patterns[p] {
			one := progressStepView{Name: forecast.Step(step).String(), Rated: words.Seconds(book.Takes(person, p, forecast.Step(step)))}
			if seconds.Count > 0 {
				practised = true
				one.Measured = fmt.Sprintf("%s, half of %d from %s to %s", words.Seconds(seconds.Median), seconds.Count, words.Seconds(seconds.From), words.Seconds(seconds.To))
			}
			if seconds.Enough() {
				enough++
			}
			view.Steps = append(view.Steps, one)
		}
		if practised {
			v.Patterns = append(v.Patterns, view)
		}
	}
	tries := 0
	for i := range records.Practised {
		tries += records.Practised[i].Tries
	}
	v.Summary = fmt.Sprintf("%s, %s measured.", words.Counted(tries, "result"), words.Counted(enough, "step"))
	if !profile.PractisedRanks(records) {
		v.Summary += " By your choice none of it ranks."
	}
}

// exerciseWords name an exercise's result.
var exerciseWords = [practice.Exercises]string{practice.React: "plain tap", practice.Recognise: "recognised", practice.Predict: "predicted", practice.Choose: "chosen", practice.Execute: "executed", practice.Whole: "whole", practice.Slots: "first slot chosen"}

// resultOf says what the result is, and why it does not count where it does not.
func resultOf(records profile.Records, r profile.Result) resultView {
	v := resultView{ID: r.ID, When: r.At.Format("2 Jan 2006, 15:04") + " UTC", Words: fmt.Sprintf("%s %s, %s s", itemName(records, r.Item), exerciseWords[r.Exercise], words.Seconds(r.Took.Round(time.Millisecond))), Withdrawn: r.Withdrawn}
	if r.Left != nil {
		v.Words += ", to " + records.PatternName(*r.Left)
	}
	if r.Insert > 0 {
		v.Words += fmt.Sprintf("; insert %s, recognise %s, execute %s", words.Seconds(r.Insert), words.Seconds(r.Recognise), words.Seconds(r.Took-r.Insert-r.Recognise))
	}
	history := records.History(r.Exercise, r.Item)
	switch {
	case r.Withdrawn:
		v.Note = "withdrawn"
	case !r.Right:
		v.Note = "wrong"
	case history.Seconds().Outlier(r.Took):
		v.Note = "not counted: over 10 s, or over three times the median"
	}
	return v
}
