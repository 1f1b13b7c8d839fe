package api

import (
	"errors"
	"math"
	"net/http"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/routes"
	"slotcast/forecast/technique"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
)

// The learning lists as JSON.
type (
	learningAnswer struct {
		learningPlace
		Lessons []learningLesson `json:"lessons"`
	}
	learningPlace struct {
		Place string `json:"place"`
		Case  string `json:"case"`
		Cases int    `json:"cases"`
		// Met is in what share of solves the place of the last pair is met, of those at
		// its slot; each place counted as solves
		// reach it.
		Met float64 `json:"met"`
		// KnownLessons is how many of the lessons are known.
		KnownLessons int           `json:"known_lessons"`
		Average      secondsNumber `json:"average"`
	}
	learningLesson struct {
		Turns      string                `json:"turns"`
		Level      int                   `json:"level"`
		Known      bool                  `json:"known"`
		Count      int                   `json:"count"`
		Insert     secondsNumber         `json:"insert"`
		Average    secondsNumber         `json:"average"`
		Saves      secondsNumber         `json:"saves"`
		Best       int                   `json:"best"`
		Leaves     []int                 `json:"leaves"`
		Techniques []technique.Technique `json:"techniques"`
	}
	learningPlacesAnswer struct {
		Places []learningPlace `json:"places"`
	}
)

func answerPlace(list learn.List) learningPlace {
	return learningPlace{list.Place.String(), list.Place.Case().Code(), list.Place.Cases(), metShare(list.Place), list.Known, average(list.Average)}
}

// metShare is in what share of solves the place is met, of those at its slot, to the
// hundred-thousandth.
func metShare(place lastslot.Place) float64 {
	all := 0
	for _, other := range lastslot.Places(place.Slot) {
		all += routes.Met(other)
	}
	return math.Round(1e5*float64(routes.Met(place))/float64(all)) / 1e5
}

// average is that of many times, to the nearest millisecond.
func average(d time.Duration) secondsNumber { return secondsNumber(d.Round(time.Millisecond)) }

// answerTo answers what may be somebody's own. The estimates change with the
// program.
func answerTo(w http.ResponseWriter, own bool, answer any) {
	w.Header().Set("Cache-Control", "no-cache")
	if own {
		w.Header().Set("Cache-Control", "private, no-cache")
	}
	problem.WriteJSON(w, http.StatusOK, answer)
}

// learner is the profile whose key the request has, nil for none, and its forecaster.
func (s *Server) learner(r *http.Request) (*profile.Profile, *forecast.Forecaster, error) {
	p, err := s.sessions.ProfileOf(r)
	var f *forecast.Forecaster
	if err == nil {
		f, err = s.sessions.Forecaster(r.Context(), p)
	}
	switch {
	case err == nil:
		return &p, f, nil
	case errors.Is(err, session.ErrNoKey) || errors.Is(err, profile.ErrNotFound):
		return nil, s.sessions.Anyone(), nil
	}
	return nil, nil, err
}

// Learning answers GET /api/v1/learning.
func (s *Server) Learning(w http.ResponseWriter, r *http.Request) error {
	name, err := query.One(r, "place")
	if err != nil {
		return err
	}
	place, err := lastslot.ParsePlace(name)
	if err != nil {
		return problem.BadSyntax("place", 0, query.NoPlace(name))
	}
	owner, f, err := s.learner(r)
	if err != nil {
		return err
	}
	list, err := s.sessions.LearningList(r.Context(), owner, f, place)
	if err != nil {
		return err
	}
	answer := learningAnswer{learningPlace: answerPlace(list), Lessons: make([]learningLesson, len(list.Lessons))}
	for i := range list.Lessons {
		l := &list.Lessons[i]
		lesson := learningLesson{
			Turns: l.Turns().String(), Level: learn.LevelOf(i + 1), Known: l.Known, Count: l.Insertion.Count(),
			Insert: secondsNumber(l.Insert), Average: average(l.Average), Saves: average(l.Saves),
			Best: l.Best, Leaves: []int{}, Techniques: technique.Of(l.Slot, l.Insertion, len(l.Rotation) > 0),
		}
		for _, p := range l.Leaves {
			lesson.Leaves = append(lesson.Leaves, int(p))
		}
		answer.Lessons[i] = lesson
	}
	answerTo(w, owner != nil, answer)
	return nil
}

// LearningPlaces answers GET /api/v1/learning/places.
func (s *Server) LearningPlaces(w http.ResponseWriter, r *http.Request) error {
	name, err := query.One(r, "slot")
	if err != nil {
		return err
	}
	slot, err := lastslot.ParseSlot(name)
	if err != nil {
		return problem.NoSlot(name)
	}
	owner, f, err := s.learner(r)
	if err != nil {
		return err
	}
	var answer learningPlacesAnswer
	lists, err := s.sessions.LearningLists(r.Context(), owner, f, slot)
	if err != nil {
		return err
	}
	for _, list := range lists {
		answer.Places = append(answer.Places, answerPlace(list))
	}
	answerTo(w, owner != nil, answer)
	return nil
}
