package page

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/words"
)

// ratingsView is the page on which all patterns are rated.
type ratingsView struct {
	pageView
	Filters []linkView
	Groups  []patternGroupView
	// Summary says how far the person is.
	Summary string
	// Learnt says for which of them the person has learnt a sequence.
	Learnt learntView
	// All says that every pattern is on the page.
	All bool
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
	// Learnt are the choices of those who say it pattern by pattern; Unlearnt says of others
	// that this one is not learnt.
	Learnt   []choice
	Unlearnt bool
	// Open shows what most patterns do not have.
	Open bool
}

// stepView is a step's ratings to choose from and its measured time.
type stepView struct {
	Name, Legend string
	Choices      []choice
	// Was and Seconds are what the profile has now, "" for nothing.
	Was, Seconds string
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
	chosen       func(profile.Records, lastslot.Pattern, *forecast.Book) bool
}

var ratingFilters = []ratingFilter{
	{"", "All", func(profile.Records, lastslot.Pattern, *forecast.Book) bool { return true }},
	{"unrated", "Unrated", func(r profile.Records, p lastslot.Pattern, _ *forecast.Book) bool { return !r.Rated(p) }},
	{"slow", "Slow", profile.Records.Slow},
	{"mine", "Mine", func(r profile.Records, p lastslot.Pattern, _ *forecast.Book) bool { return r.Own(p) }},
}

// Ratings answers GET /ratings.
func (s *Server) Ratings(w http.ResponseWriter, r *http.Request) error {
	visitor, f, err := s.visitorForecaster(r)
	if err != nil {
		return err
	}
	shown := r.URL.Query().Get("show")
	at := slices.IndexFunc(ratingFilters, func(f ratingFilter) bool { return f.value == shown })
	if at < 0 {
		return &problem.Problem{Status: http.StatusBadRequest, Detail: fmt.Sprintf("“%s” is unknown: show unrated, slow or mine", problem.Shortened(shown)), Field: "show"}
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
		view.Filters = append(view.Filters, linkView{f.label, path, i == at})
	}
	view.All = at == 0
	view.Learnt = learntOf(visitor.Records, f, back)
	book := profile.BookOf(s.book, visitor.Records)
	count := 0
	for p := range lastslot.Pattern(lastslot.Patterns) {
		if visitor.Records.Rated(p) {
			count++
		}
	}
	view.Summary = fmt.Sprintf("%d of %d patterns rated", count, lastslot.Patterns)
	for _, group := range edgeGroups {
		g := patternGroupView{ID: strings.ToLower(group.title), Title: group.title, Words: group.words}
		for p := range lastslot.Pattern(lastslot.Patterns) {
			if p.Outcome().Edges() == group.edges && ratingFilters[at].chosen(visitor.Records, p, book) {
				g.Patterns = append(g.Patterns, patternForm(visitor.Records, p, fmt.Sprintf("%s#oll-%d", back, p)))
			}
		}
		if len(g.Patterns) > 0 {
			view.Groups = append(view.Groups, g)
		}
	}
	return render(w, r, http.StatusOK, ratingsPage(view))
}

func patternForm(r profile.Records, p lastslot.Pattern, back string) patternFormView {
	v := patternFormView{
		ID: fmt.Sprintf("oll-%d", p), Action: fmt.Sprintf("/ratings/%d", p), Path: fmt.Sprintf("/patterns/%d", p), Back: back,
		Name: words.Pattern(p), OwnName: r.OwnName(p), Picture: picture.Pattern(p.Outcome()),
	}
	v.Open = v.OwnName != ""
	for _, step := range profile.RatedSteps(p) {
		rating := r.Rating(p, step)
		view := stepView{Name: step.String(), Legend: words.Capital(step.String()), Seconds: words.Field(rating.Time)}
		if rating.Rating != 0 {
			view.Was = strconv.Itoa(rating.Rating)
		}
		v.Open = v.Open || rating.Time != 0
		view.Choices = levelChoices(rating.Rating)
		for i := range view.Choices {
			said := "not rated"
			if i > 0 {
				said = view.Choices[i].Value
			}
			view.Choices[i].Words = fmt.Sprintf("%s %s: %s", v.Name, step, said)
		}
		v.Steps = append(v.Steps, view)
	}
	switch {
	case p > 0 && r.Preference("learnt") == profile.LearntOwn:
		learnt := "no"
		if r.HasLearnt(p) {
			learnt = "yes"
		}
		v.Learnt = choicesOf(learnt, "yes", "learnt", "no", "not yet")
	default:
		v.Unlearnt = !r.HasLearnt(p)
	}
	own := 0
	for _, sequence := range r.Sequences {
		if sequence.Pattern == p {
			own++
		}
	}
	v.Sequences = "Your own algorithms"
	if own > 0 {
		v.Sequences = fmt.Sprintf("Your own algorithms (%d)", own)
	}
	return v
}

// SaveRating answers POST /ratings/{oll}: each field that the form changed is kept, and
// nothing else, so that what another tab saved meanwhile stays.
func (s *Server) SaveRating(w http.ResponseWriter, r *http.Request) error {
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
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	learnt, err := readLearnt(values, pattern, visitor.Records)
	if err != nil {
		return err
	}
	put.Learnt, put.Preferences = learnt.Learnt, learnt.Preferences
	if put.Empty() && remove.Empty() {
		return saved(w, r, localPath(values.Get("back"), "/ratings"))
	}
	if err := s.sessions.Save(w, r, put, remove); err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/ratings"))
}

// patternOf reads which pattern an address is about.
func patternOf(r *http.Request) (lastslot.Pattern, error) {
	pattern, err := query.Pattern(chi.URLParam(r, "oll"), 0)
	if err != nil {
		return 0, &problem.Problem{Status: http.StatusNotFound, Detail: fmt.Sprintf("patterns are numbered from 0 to %d", lastslot.Patterns-1)}
	}
	return pattern, nil
}

// readPatternForm reads what is to be kept of a pattern and what removed. Of a
// step's rating and its measured time one takes the other's place.
func readPatternForm(values url.Values, p lastslot.Pattern) (put, remove profile.Records, err error) {
	for _, step := range profile.RatedSteps(p) {
		rating := profile.Rating{Pattern: p, Step: step}
		field := step.String() + "-seconds"
		text, measured := changed(values, field)
		level, rated := changed(values, step.String())
		switch {
		case measured && text != "":
			if rating.Time, err = readSeconds(field, text); err != nil {
				return put, remove, err
			}
		case measured || rated:
			if level == "" {
				level = values.Get(step.String())
			}
			if rating.Rating, err = readLevel(step.String(), level); err != nil {
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
			remove.Names = append(remove.Names, profile.Name{Pattern: p})
		} else if name, err = profile.CheckName(name); err != nil {
			return put, remove, err
		} else {
			put.Names = append(put.Names, profile.Name{Pattern: p, Name: name})
		}
	}
	return put, remove, nil
}
