package api

import (
	"errors"
	"math"
	"net/http"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
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
		// Frequency is how often the place comes, of all places of the slot.
		Frequency float64 `json:"frequency"`
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
		SavesInAll secondsNumber         `json:"saves_in_all"`
		Best       int                   `json:"best"`
		Leaves     []int                 `json:"leaves"`
		Techniques []technique.Technique `json:"techniques"`
	}
	learningPlacesAnswer struct {
		Places []learningPlace `json:"places"`
		// Next are the lessons that save most over all places.
		Next []learningNext `json:"next"`
	}
	learningNext struct {
		Place      string        `json:"place"`
		Turns      string        `json:"turns"`
		Saves      secondsNumber `json:"saves"`
		SavesInAll secondsNumber `json:"saves_in_all"`
	}
)

func answerPlace(list learn.List, frequency float64) learningPlace {
	return learningPlace{list.Place.String(), list.Place.Case().Code(), list.Place.Cases(), math.Round(frequency*1e6) / 1e6, list.Known, average(list.Average)}
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
	count, err := query.ReadCount(r.URL.Query())
	if err != nil {
		return err
	}
	owner, f, err := s.learner(r)
	if err != nil {
		return err
	}
	list, err := s.sessions.LearningList(r.Context(), owner, f, place)
	if err != nil {
		return err
	}
	frequency := float64(count.Weight(place)) / float64(count.OfSlot(place.Slot))
	answer := learningAnswer{learningPlace: answerPlace(list, frequency), Lessons: make([]learningLesson, len(list.Lessons))}
	for i := range list.Lessons {
		l := &list.Lessons[i]
		lesson := learningLesson{
			Turns: l.Turns().String(), Level: learn.LevelOf(i + 1), Known: l.Known, Count: l.Insertion.Count(),
			Insert: secondsNumber(l.Insert), Average: average(l.Average), Saves: average(l.Saves), SavesInAll: average(time.Duration(float64(l.Saves) * frequency)),
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
	count, err := query.ReadCount(r.URL.Query())
	if err != nil {
		return err
	}
	owner, f, err := s.learner(r)
	if err != nil {
		return err
	}
	answer := learningPlacesAnswer{Next: []learningNext{}}
	lists, err := s.sessions.LearningLists(r.Context(), owner, f, slot)
	if err != nil {
		return err
	}
	for _, list := range lists {
		answer.Places = append(answer.Places, answerPlace(list, float64(count.Weight(list.Place))/float64(count.OfSlot(slot))))
	}
	for _, n := range learn.NextWeighted(lists, count.Weight, session.NextToLearn) {
		lesson := &lists[n.List].Lessons[n.Lesson]
		answer.Next = append(answer.Next, learningNext{lists[n.List].Place.String(), lesson.Turns().String(), average(lesson.Saves), average(n.Saves)})
	}
	answerTo(w, owner != nil, answer)
	return nil
}
