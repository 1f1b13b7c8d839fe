package page

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/looks"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/session"
	"slotcast/web/words"
)

// learntView says what somebody has learnt, and takes it in one tap.
type learntView struct {
	Back string
	// Choices are what can be said at once.
	Choices []choice
	// Words say what follows from it, and Gaps what nothing learnt leads out of, "" for
	// nothing.
	Words, Gaps string
	// Rise says how much more those count that leave a cross, "" where it is not said.
	Rise string
}

// learntOf words what the records say of it.
func learntOf(r profile.Records, f *forecast.Forecaster, back string) learntView {
	v := learntView{Back: back, Choices: choicesOf(r.Preference("learnt"), "", "all 57", profile.LearntTen, "two looks: ten algorithms", profile.LearntOwn, "pattern by pattern")}
	v.Choices[0].Value = "all"
	switch n := r.LearntCount(); n {
	case lastslot.Patterns - 1:
		v.Words = "Every pattern takes one look, or two where these are quicker for you."
	default:
		v.Words = fmt.Sprintf("You have learnt %d of 57. What is not learnt counts with all the looks that it takes you: the edges first, then the corners.", n)
	}
	v.Gaps = gapWords(r, f.Gaps())
	return v
}

// gapWords says of which patterns nothing learnt leads to the oriented top.
func gapWords(r profile.Records, gaps []lastslot.Pattern) string {
	if len(gaps) == 0 {
		return ""
	}
	var names []string
	for _, p := range gaps[:min(len(gaps), gapsNamed)] {
		names = append(names, r.PatternName(p))
	}
	named := strings.Join(names, ", ")
	if more := len(gaps) - len(names); more > 0 {
		named += fmt.Sprintf(" and %d more", more)
	}
	return fmt.Sprintf("Nothing that you have learnt solves %s: %s. Where only that is left there is no time, and it comes last. The ten of two looks close every gap.", words.Counted(len(gaps), "pattern"), named)
}

// gapsNamed is how many patterns are named; of more, how many more there are.
const gapsNamed = 6

// SaveLearnt answers POST /ratings/learnt: all, ten, or pattern by pattern, which begins with
// what was learnt before.
func (s *Server) SaveLearnt(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	var put profile.Records
	switch value := values.Get("learnt"); {
	case value == profile.LearntOwn && visitor.Records.Preference("learnt") != profile.LearntOwn && len(visitor.Records.Learnt) == 0:
		put = visitor.Records.LearntOneByOne()
	default:
		chosen, err := profile.CheckPreference("learnt", value)
		if err != nil {
			wrong := *problem.Of(err)
			wrong.Field = "learnt"
			return &wrong
		}
		put.Preferences = []profile.Preference{chosen}
	}
	if err := s.sessions.SaveFrom(w, r, put); err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/ratings"))
}

// readLearnt reads whether the form for a pattern says that it is learnt.
func readLearnt(values url.Values, p lastslot.Pattern, before profile.Records) (put profile.Records, err error) {
	said, ok := changed(values, "learnt")
	if !ok {
		return put, nil
	}
	if p == 0 || said != "yes" && said != "no" {
		return put, problem.BadRequest("learnt", fmt.Sprintf("“%s” is unknown; a pattern from 1 to 57 is learnt, yes or no", problem.Shortened(said)))
	}
	return before.LearntOneByOne(profile.Learnt{Pattern: p, Learnt: said == "yes"}), nil
}

// lookView is one of several looks.
type lookView struct {
	// At says what is looked at, "" for the last look.
	At, AUF, Turns string
}

// looksOf words the looks.
func looksOf(all []looks.Look) (views []lookView) {
	for i, l := range all {
		v := lookView{AUF: l.AUF.String(), Turns: l.Turns.String()}
		switch {
		case l.Edges:
			v.At = "look at the edges"
		case i == len(all)-1 && l.Pattern == 0:
			v.At = "look: oriented"
		default:
			v.At = "look at the corners"
		}
		views = append(views, v)
	}
	return views
}

// visitorForecaster is the visitor's own.
func (s *Server) visitorForecaster(r *http.Request) (session.Visitor, *forecast.Forecaster, error) {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return session.Visitor{}, nil, err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	return visitor, f, err
}
