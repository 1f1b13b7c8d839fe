package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/lastslot"
)

// steps are the parts of the time for a pattern, in the order of the pages.
var steps = [...]Step{Recognise, Execute}

// ratingsView is the page on which all patterns are rated.
type ratingsView struct {
	pageView
	Filters []filterView
	Groups  []patternGroupView
	// Summary says how far the person is.
	Summary string
	// All says that every pattern is on the page.
	All bool
}

type filterView struct {
	Label, Path string
	Current     bool
}

// patternGroupView is the patterns with the same edges oriented.
type patternGroupView struct {
	ID, Title, Words string
	Patterns         []patternFormView
}

// patternFormView is the form for a pattern.
type patternFormView struct {
	ID, Action, Path, Back string
	Name, OwnName          string
	Picture                string
	Steps                  []stepView
	// Sequences says how many of the person's own there are.
	Sequences string
	// Open shows what most patterns do not have.
	Open bool
}

// stepView is a step's ratings to choose from and its measured time.
type stepView struct {
	Name, Legend string
	Choices      []ratingChoice
	// Was and Seconds are what the profile has now, "" for nothing.
	Was, Seconds string
}

type ratingChoice struct {
	Value, Label, Words string
	Checked             bool
}

var edgeGroups = []struct {
	edges        lastslot.Edges
	title, words string
}{
	{lastslot.Dot, "Dot", "no edge is oriented"},
	{lastslot.Line, "Line", "two opposite edges are oriented"},
	{lastslot.L, "L", "two adjacent edges are oriented"},
	{lastslot.Cross, "Cross", "all four edges are oriented"},
}

// ratingFilter chooses patterns by what the records say of them.
type ratingFilter struct {
	value, label string
	chosen       func(Records, lastslot.Pattern) bool
}

var ratingFilters = []ratingFilter{
	{"", "All", func(Records, lastslot.Pattern) bool { return true }},
	{"unrated", "Unrated", func(r Records, p lastslot.Pattern) bool { return !r.rated(p) }},
	{"slow", "Slow", Records.slow},
	{"mine", "Mine", Records.mine},
}

// ratedSteps are the steps of a pattern that can be rated: the oriented one has
// nothing to execute.
func ratedSteps(p lastslot.Pattern) []Step {
	if p == 0 {
		return steps[:1]
	}
	return steps[:]
}

func (r Records) rating(p lastslot.Pattern, step Step) Rating {
	for _, rating := range r.Ratings {
		if rating.Pattern == p && rating.Step == step {
			return rating
		}
	}
	return Rating{Pattern: p, Step: step}
}

// rated says whether every step of the pattern is rated or measured.
func (r Records) rated(p lastslot.Pattern) bool {
	for _, step := range ratedSteps(p) {
		if rating := r.rating(p, step); rating.Rating == 0 && rating.Time == 0 {
			return false
		}
	}
	return true
}

// slow says whether a step of the pattern is rated 1 or 2, or measured at what a
// 2 stands for or more.
func (r Records) slow(p lastslot.Pattern) bool {
	scale := scaleOf(r.Scale)
	for _, step := range ratedSteps(p) {
		rating := r.rating(p, step)
		limit := scale.Recognise[2]
		if step == Execute {
			limit = scale.Execute[2]
		}
		if rating.Time > 0 && rating.Time >= limit || rating.Time == 0 && rating.Rating > 0 && rating.Rating <= 2 {
			return true
		}
	}
	return false
}

// mine says whether the pattern has a name or a sequence of the person's own.
func (r Records) mine(p lastslot.Pattern) bool {
	return r.ownName(p) != "" || slices.ContainsFunc(r.Sequences, func(s OwnSequence) bool { return s.Pattern == p })
}

func (r Records) ownName(p lastslot.Pattern) string {
	for _, own := range r.Names {
		if own.Pattern == p {
			return own.Name
		}
	}
	return ""
}

// patternName names a pattern, by the person's own name first if there is one.
func (r Records) patternName(p lastslot.Pattern) string {
	if own := r.ownName(p); own != "" {
		return own + " · " + patternName(p)
	}
	return patternName(p)
}

// ratings answers GET /ratings.
func (s *site) ratings(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	shown := r.URL.Query().Get("show")
	at := slices.IndexFunc(ratingFilters, func(f ratingFilter) bool { return f.value == shown })
	if at < 0 {
		return &problem{Status: http.StatusBadRequest, Detail: fmt.Sprintf("“%s” is unknown; patterns can be shown that are unrated, slow or mine", shortened(shown)), Field: "show"}
	}
	view := ratingsView{pageView: s.pageView("Ratings – Slotcast", "How well you recognise and execute each pattern.", "")}
	if shown != "" {
		view.Title = "Ratings, " + shown + " – Slotcast"
	}
	back := "/ratings"
	if shown != "" {
		back += "?show=" + shown
	}
	for i, f := range ratingFilters {
		path := "/ratings"
		if f.value != "" {
			path += "?show=" + f.value
		}
		view.Filters = append(view.Filters, filterView{f.label, path, i == at})
	}
	view.All = at == 0
	count := 0
	for p := range lastslot.Pattern(lastslot.Patterns) {
		if visitor.Records.rated(p) {
			count++
		}
	}
	view.Summary = fmt.Sprintf("%d of %d patterns rated", count, lastslot.Patterns)
	for _, group := range edgeGroups {
		g := patternGroupView{ID: strings.ToLower(group.title), Title: group.title, Words: group.words}
		for p := range lastslot.Pattern(lastslot.Patterns) {
			if p.Outcome().Edges() == group.edges && ratingFilters[at].chosen(visitor.Records, p) {
				g.Patterns = append(g.Patterns, patternForm(visitor.Records, p, fmt.Sprintf("%s#oll-%d", back, p)))
			}
		}
		if len(g.Patterns) > 0 {
			view.Groups = append(view.Groups, g)
		}
	}
	return render(w, r, http.StatusOK, ratingsPage(view))
}

func patternForm(r Records, p lastslot.Pattern, back string) patternFormView {
	v := patternFormView{
		ID: fmt.Sprintf("oll-%d", p), Action: fmt.Sprintf("/ratings/%d", p), Path: fmt.Sprintf("/patterns/%d", p), Back: back,
		Name: patternName(p), OwnName: r.ownName(p), Picture: patternPictures[p.Outcome()],
	}
	v.Open = v.OwnName != ""
	for _, step := range ratedSteps(p) {
		rating := r.rating(p, step)
		view := stepView{Name: string(step), Legend: sentenceCase(string(step)), Seconds: secondsField(rating.Time)}
		if rating.Rating != 0 {
			view.Was = strconv.Itoa(rating.Rating)
		}
		v.Open = v.Open || rating.Time != 0
		for value := range 6 {
			choice := ratingChoice{Value: strconv.Itoa(value), Label: strconv.Itoa(value), Checked: rating.Rating == value}
			choice.Words = fmt.Sprintf("%s %s: %d", v.Name, step, value)
			if value == 0 {
				choice.Value, choice.Label, choice.Words = "", "–", fmt.Sprintf("%s %s: not rated", v.Name, step)
			}
			view.Choices = append(view.Choices, choice)
		}
		v.Steps = append(v.Steps, view)
	}
	own := 0
	for _, sequence := range r.Sequences {
		if sequence.Pattern == p {
			own++
		}
	}
	v.Sequences = "Sequences of your own"
	if own > 0 {
		v.Sequences = fmt.Sprintf("Sequences of your own (%d)", own)
	}
	return v
}

func sentenceCase(word string) string { return strings.ToUpper(word[:1]) + word[1:] }

// secondsField writes a measured time as a form has it, "" for none.
func secondsField(d time.Duration) string {
	if d == 0 {
		return ""
	}
	return strconv.FormatFloat(d.Seconds(), 'f', -1, 64)
}

// saveRating answers POST /ratings/{oll}: each field that the form changed is kept, and
// nothing else, so that what another tab saved meanwhile stays.
func (s *site) saveRating(w http.ResponseWriter, r *http.Request) error {
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	put, remove, err := readPatternForm(values, pattern)
	if err != nil {
		return err
	}
	if put.empty() && remove.empty() {
		return saved(w, r, localPath(values.Get("back"), "/ratings"))
	}
	if err := s.keep(w, r, put, remove); err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/ratings"))
}

func (r Records) empty() bool {
	return len(r.Scale)+len(r.Ratings)+len(r.Names)+len(r.Sequences)+len(r.Insertions)+len(r.Preferences)+len(r.Kept)+len(r.Recent) == 0
}

// patternOf reads which pattern an address is about.
func patternOf(r *http.Request) (lastslot.Pattern, error) {
	oll, err := strconv.ParseUint(chi.URLParam(r, "oll"), 10, 8)
	if err != nil || oll >= lastslot.Patterns {
		return 0, &problem{Status: http.StatusNotFound, Detail: fmt.Sprintf("patterns are numbered from 0 to %d", lastslot.Patterns-1)}
	}
	return lastslot.Pattern(oll), nil
}

// changed is a field's new value; it is none where the form says that the field
// was so when it was shown.
func changed(values url.Values, field string) (value string, ok bool) {
	if !values.Has(field) || values.Has("was-"+field) && values.Get("was-"+field) == values.Get(field) {
		return "", false
	}
	return strings.TrimSpace(values.Get(field)), true
}

// readPatternForm reads what is to be kept of a pattern and what removed. Of a
// step's rating and its measured time one takes the other's place.
func readPatternForm(values url.Values, p lastslot.Pattern) (put, remove Records, err error) {
	for _, step := range ratedSteps(p) {
		rating := Rating{Pattern: p, Step: step}
		field := string(step) + "-seconds"
		text, measured := changed(values, field)
		level, rated := changed(values, string(step))
		switch {
		case measured && text != "":
			if rating.Time, err = readSeconds(field, text); err != nil {
				return put, remove, err
			}
		case measured || rated:
			if level == "" {
				level = values.Get(string(step))
			}
			if rating.Rating, err = readLevel(string(step), level); err != nil {
				return put, remove, err
			}
		default:
			continue
		}
		if rating.Rating == 0 && rating.Time == 0 {
			remove.Ratings = append(remove.Ratings, rating)
		} else {
			put.Ratings = append(put.Ratings, rating)
		}
	}
	if name, ok := changed(values, "name"); ok {
		if name == "" {
			remove.Names = append(remove.Names, Name{Pattern: p})
		} else if name, err = checkName(name); err != nil {
			return put, remove, err
		} else {
			put.Names = append(put.Names, Name{p, name})
		}
	}
	return put, remove, nil
}

// readLevel reads a rating; "" is none.
func readLevel(field, text string) (int, error) {
	if text == "" {
		return 0, nil
	}
	level, err := strconv.Atoi(text)
	if err != nil {
		return 0, unclear(field, fmt.Sprintf("“%s” is no rating: it is 1 (weak) to 5 (strong)", shortened(text)))
	}
	return checkRating(field, &level)
}

// readSeconds reads a measured time, with a decimal comma too.
func readSeconds(field, text string) (time.Duration, error) {
	seconds, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil {
		return 0, unclear(field, fmt.Sprintf("“%s” is no number of seconds", shortened(text)))
	}
	return checkSeconds(field, &seconds)
}
