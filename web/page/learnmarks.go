package page

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
)

// bulkView marks all insertions of a level at once.
type bulkView struct {
	// Place is where, "" for all places of the slot.
	Place, Slot string
	Level       int
	// Words say what is marked.
	Words string
	// Know and Forget say which of the two would change anything.
	Know, Forget bool
}

// bulkOf is what can be marked of a level, counted from 1, in the lists.
func bulkOf(lists []learn.List, level int) (b bulkView) {
	b.Level, b.Slot = level, lists[0].Place.Slot.String()
	for _, list := range lists {
		for _, lesson := range lessonsOf(list, level, forecast.Yes) {
			b.Know = b.Know || !lesson.Known
		}
		for _, lesson := range lessonsOf(list, level, forecast.No) {
			b.Forget = b.Forget || lesson.Known
		}
	}
	return b
}

// lessonsOf are the lessons that are known by who knows a level of the list, counted from
// 1, and so those of the levels before it; or those that are not by who does not.
func lessonsOf(list learn.List, level int, known forecast.Said) []learn.Lesson {
	from := 0
	if level > 1 && known == forecast.No {
		from = learn.Levels[level-2]
	}
	upTo := min(learn.Levels[level-1], len(list.Lessons))
	return list.Lessons[min(from, upTo):upTo]
}

// MarkLessons answers POST /learn/marks: all lessons of a level, at one place or at all
// places of a slot, are known from now on, or are not.
func (s *Server) MarkLessons(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	level, err := strconv.Atoi(values.Get("level"))
	if err != nil || level < 1 || level > len(learn.Levels) {
		return problem.BadRequest("level", fmt.Sprintf("“%s” is not a level: use 1 to %d", problem.Shortened(values.Get("level")), len(learn.Levels)))
	}
	var known forecast.Said
	switch mark := values.Get("mark"); mark {
	case "know":
		known = forecast.Yes
	case "forget":
		known = forecast.No
	default:
		return problem.BadRequest("mark", fmt.Sprintf("“%s” is unknown: use know or forget", problem.Shortened(mark)))
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	var lists []learn.List
	back := "/learn"
	if name := values.Get("place"); name != "" {
		place, err := lastslot.ParsePlace(name)
		if err != nil {
			return problem.BadRequest("place", query.NoPlace(name))
		}
		list, err := s.sessions.LearningList(r.Context(), visitor.Profile, f, place)
		if err != nil {
			return err
		}
		lists, back = []learn.List{list}, "/learn/"+place.String()
	} else {
		slot, err := lastslot.ParseSlot(values.Get("slot"))
		if err != nil {
			return problem.NoSlot(values.Get("slot"))
		}
		if lists, err = s.sessions.LearningLists(r.Context(), visitor.Profile, f, slot); err != nil {
			return err
		}
		back += "?" + url.Values{"slot": {slot.String()}}.Encode()
	}
	var put profile.Records
	marked := map[string]bool{}
	for _, list := range lists {
		for _, lesson := range lessonsOf(list, level, known) {
			if lesson.Known == (known == forecast.Yes) {
				continue
			}
			i, err := lastslot.NewInsertion(lesson.Slot, lesson.Insertion)
			if err != nil {
				return fmt.Errorf("a lesson’s insertion: %w", err)
			}
			own := s.recordOf(visitor.Records, i)
			own.Known, own.Hidden = known, false
			if id := profile.InsertionID(own.Slot, own.Turns); !marked[id] {
				marked[id] = true
				put.Insertions = append(put.Insertions, own)
			}
		}
	}
	if len(put.Insertions) == 0 {
		return saved(w, r, back)
	}
	if err := s.sessions.SaveFrom(w, r, put); err != nil {
		return err
	}
	return saved(w, r, back)
}
