package page

import (
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/practice"
	"slotcast/forecast/technique"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// learnView is the page with what to learn next, and all places.
type learnView struct {
	pageView
	Slots []linkView
	// Counts are how often each place can be taken to come, and Counted how it is.
	Counts  []linkView
	Counted string
	Summary string
	// Unmarked says that nothing is marked as known for some places.
	Unmarked bool
	Next     []nextView
	Places   []placeView
	// Names are what the names of techniques on the page mean.
	Names []techniqueView
	Back  string
	// Bulk marks the first levels of every place; the others are marked place by place.
	Bulk []bulkView
	// AsksAverage says that nothing is known of the person's pace, Assumes that nothing is
	// said of what they know.
	AsksAverage, Assumes bool
	// Pays is where what pays is, of all that can be learnt, and TwoOpen what to learn with
	// another slot open.
	Pays, TwoOpen string
	// Learnt says what patterns the person has learnt.
	Learnt learntView
	// Practise are sessions of what is next.
	Practise []linkView
}

// nextView is an insertion that is worth learning next.
type nextView struct {
	Picture, Place, PlacePath string
	Lesson                    lessonView
	// Saves is what it saves over all cases of the slot, and Within what at its place.
	Saves, Within string
}

// placeView is a place with how far its list is known.
type placeView struct {
	Picture, Words, Path string
	// Known says how many insertions of the place are known.
	Known string
	// Levels are those of the list, each full, begun or empty.
	Levels []levelView
	// Gain says what the next level would save.
	Gain string
}

type levelView struct {
	UpTo  int
	Class string
	Words string
}

// lessonView is an insertion of a list with its words ready.
type lessonView struct {
	Number int
	// Turns are rotation and insertion, Hold says where the slot is.
	Turns      string
	Count      string
	Insert     string
	Known      bool
	First      bool
	Saves      string
	Average    string
	Best       string
	Techniques []techniqueView
	Leaves     []leavesView
	// ID tells the insertion apart where it is marked; Page is its own, Case one of
	// its place.
	ID, Page string
}

type techniqueView struct{ Name, Words string }

// techniquesOf words techniques.
func techniquesOf(list []technique.Technique) (views []techniqueView) {
	for _, t := range list {
		views = append(views, techniqueView{string(t), t.Words()})
	}
	return views
}

// techniqueNamesOf are what the names of the lessons' techniques mean, in the usual order.
func techniqueNamesOf(lessons []lessonView) (names []techniqueView) {
	used := map[string]bool{}
	for _, l := range lessons {
		for _, t := range l.Techniques {
			used[t.Name] = true
		}
	}
	for _, t := range technique.All {
		if used[string(t)] {
			names = append(names, techniqueView{string(t), t.Words()})
		}
	}
	return names
}

// leavesView is a pattern that an insertion is good for.
type leavesView struct{ Name, Picture string }

// Learn answers GET /learn.
func (s *Server) Learn(w http.ResponseWriter, r *http.Request) error {
	slot := lastslot.FR
	if name := r.URL.Query().Get("slot"); name != "" {
		var err error
		if slot, err = lastslot.ParseSlot(name); err != nil {
			return problem.NoSlot(name)
		}
	}
	count, err := query.ReadCount(r.URL.Query())
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	path := func(slot lastslot.Slot, met bool) string {
		if met {
			return "/learn?" + query.CountParameter + "=" + query.Counts[1] + "&slot=" + slot.String()
		}
		return "/learn?slot=" + slot.String()
	}
	v := learnView{
		pageView: s.pageView("Learn – Slotcast", "Which insertions are worth learning next, by the seconds each saves.", ""),
		Counts:   []linkView{{"All cases alike", path(slot, false), !count.Met}, {"As solves reach them", path(slot, true), count.Met}},
		Counted:  "all equally likely",
		Back:     path(slot, count.Met), Pays: "/pays?slot=" + slot.String(), TwoOpen: learnStepsPath(openBeside(slot)), Practise: practiseSet("lesson", "", practice.Execute, practice.Predict, practice.Choose, practice.Whole),
	}
	for other := range lastslot.Slot(lastslot.Slots) {
		v.Slots = append(v.Slots, linkView{words.Capital(other.Words()), path(other, count.Met), other == slot})
	}
	lists, err := s.sessions.LearningLists(r.Context(), visitor.Profile, f, slot)
	if err != nil {
		return err
	}
	known := 0
	for _, list := range lists {
		known += list.Known
		v.Unmarked = v.Unmarked || list.Known == 0
		v.Places = append(v.Places, placeOf(list))
	}
	for level := 1; level <= 2; level++ {
		bulk := bulkOf(lists, level)
		bulk.Words = fmt.Sprintf("Level %d of every place", level)
		v.Bulk = append(v.Bulk, bulk)
	}
	v.AsksAverage, v.Assumes = !visitor.Records.SaysPace(), !visitor.Records.SaysKnown()
	v.Learnt = learntOf(visitor.Records, f, v.Back)
	if v.Learnt.Rise, err = s.crossesRise(r.Context(), visitor, f, slot); err != nil {
		return err
	}
	next := learn.NextWeighted(lists, count.Weight, session.NextToLearn)
	if count.Met {
		v.Counted = "each place as often as it was met in 400,000 random positions in which slots were filled one after the other, always the quickest pair next"
	}
	for _, n := range next {
		list := lists[n.List]
		v.Next = append(v.Next, nextView{
			Picture: picture.Place(list.Place).SVG(), Place: words.Place(list.Place), PlacePath: "/learn/" + list.Place.String(),
			Lesson: lessonOf(visitor.Records, list, n.Lesson),
			Saves:  words.Thousandths(n.Saves), Within: words.Seconds(list.Lessons[n.Lesson].Saves),
		})
	}
	var saves time.Duration
	var lessons []lessonView
	for i, n := range next {
		saves += n.Saves
		lessons = append(lessons, v.Next[i].Lesson)
	}
	v.Names = techniqueNamesOf(lessons)
	v.Summary = fmt.Sprintf("You know %s for the slot at the %s. ", words.Counted(known, "insertion"), slot.Words())
	if known == 0 {
		v.Summary = fmt.Sprintf("No insertions marked as known for the slot at the %s. ", slot.Words())
	}
	if len(next) > 0 {
		v.Summary += fmt.Sprintf("Learn the next %d and save %s s on average.", len(next), words.Thousandths(saves))
	} else {
		v.Summary += "Nothing left to learn saves time."
	}
	return render(w, r, http.StatusOK, learnPage(v))
}

func placeOf(list learn.List) placeView {
	v := placeView{
		Picture: picture.Place(list.Place).SVG(), Words: words.Place(list.Place), Path: "/learn/" + list.Place.String(), Known: "none known",
		Levels: levelsOf(list),
	}
	if list.Known > 0 {
		v.Known = fmt.Sprintf("%d known", list.Known)
	}
	if upTo, saves := list.NextLevel(); upTo > list.Known {
		v.Gain = fmt.Sprintf("%d more save %s s", upTo-max(list.Known, list.Counted()), words.Seconds(saves))
	} else {
		v.Gain = "you know all that saves time"
	}
	return v
}

// levelsOf are the levels that the list has lessons for.
func levelsOf(list learn.List) (levels []levelView) {
	from := 0
	for i, upTo := range learn.Levels {
		if from >= len(list.Lessons) {
			break
		}
		l := levelView{UpTo: min(upTo, len(list.Lessons)), Class: "empty", Words: fmt.Sprintf("level %d, %s: not started", i+1, words.Counted(min(upTo, len(list.Lessons)), "insertion"))}
		switch {
		case list.Known >= l.UpTo:
			l.Class, l.Words = "full", fmt.Sprintf("level %d, %s: known", i+1, words.Counted(l.UpTo, "insertion"))
		case list.Known > from:
			l.Class, l.Words = "begun", fmt.Sprintf("level %d, %s: started", i+1, words.Counted(l.UpTo, "insertion"))
		}
		levels = append(levels, l)
		from = upTo
	}
	return levels
}

// lessonOf words one lesson of the list.
func lessonOf(records profile.Records, list learn.List, i int) lessonView {
	l := list.Lessons[i]
	v := lessonView{
		Number: i + 1, Turns: l.Turns().String(), Count: words.Counted(l.Insertion.Count(), "turn"), Insert: words.Seconds(l.Insert),
		Known: l.Known, First: i == 0 && list.Counted() == 1, Saves: words.Thousandths(l.Saves), Average: words.Seconds(l.Average),
		Best: words.Percent(l.Best, list.Place.Cases()), ID: profile.InsertionID(l.Slot, l.Insertion.String()),
	}
	v.Page = insertionPage(v.ID)
	v.Techniques = techniquesOf(technique.Of(l.Slot, l.Insertion, len(l.Rotation) > 0))
	if i > 0 || list.Place.Solved() {
		for _, p := range l.Leaves[:min(len(l.Leaves), leavesShown)] {
			v.Leaves = append(v.Leaves, leavesView{records.PatternName(p), picture.Pattern(p.Outcome())})
		}
	}
	return v
}

// leavesShown is how many of the patterns that an insertion is good for are shown.
const leavesShown = 4

// learnPlaceView is the page with the list of one place.
type learnPlaceView struct {
	pageView
	Picture, Words, Slot, All string
	Summary                   string
	// Case is a case of the place, and Cases how many there are; Print is a sheet.
	Case, Cases, Print string
	// Plan is the place's card, Scrambles a list of scrambles that lead to its cases, and
	// Practise are sessions of it.
	Plan, Scrambles string
	Practise        []linkView
	// Counted says that the first lesson counts as known.
	Counted, Solved bool
	Levels          []lessonLevelView
	Names           []techniqueView
	Back            string
}

// lessonLevelView is a level of the list. Those after the next to learn are folded.
type lessonLevelView struct {
	Title, Words string
	Folded       bool
	Lessons      []lessonView
	Bulk         bulkView
}

// LearnPlace answers GET /learn/{place}.
func (s *Server) LearnPlace(w http.ResponseWriter, r *http.Request) error {
	name := chi.URLParam(r, "place")
	place, err := lastslot.ParsePlace(name)
	if err != nil {
		return &problem.Problem{Status: http.StatusNotFound, Detail: query.NoPlace(name)}
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	list, err := s.sessions.LearningList(r.Context(), visitor.Profile, f, place)
	if err != nil {
		return err
	}
	text := words.Place(place)
	v := learnPlaceView{
		pageView: s.pageView("Learn: "+text+" – Slotcast", "What to learn for this place of the pair, by the seconds each insertion saves.", ""),
		Picture:  picture.Place(place).Named(), Words: words.Capital(text), Slot: place.Slot.Words(), All: "/learn?slot=" + place.Slot.String(),
		Case: "/case/" + place.Case().Code(), Print: "/print/place/" + place.Case().Code(), Plan: "/plan/" + place.String(), Scrambles: scramblesOf(place), Practise: practiseSet("place", place.String(), practice.Execute, practice.Predict, practice.Choose, practice.Whole), Cases: words.Thousands(place.Cases()), Counted: list.Counted() == 1, Solved: place.Solved(), Back: "/learn/" + place.String(),
	}
	v.Summary = listSummary(list)
	var lessons []lessonView
	for n := range list.Lessons {
		lessons = append(lessons, lessonOf(visitor.Records, list, n))
	}
	v.Names = techniqueNamesOf(lessons)
	next, _ := list.NextLevel()
	from := 0
	for i, upTo := range learn.Levels {
		upTo = min(upTo, len(list.Lessons))
		if from >= upTo {
			break
		}
		level := lessonLevelView{Title: fmt.Sprintf("Level %d", i+1), Folded: from >= next, Lessons: lessons[from:upTo], Bulk: bulkOf([]learn.List{list}, i+1)}
		level.Bulk.Place, level.Bulk.Words = place.String(), level.Title
		var saves time.Duration
		for _, l := range list.Lessons[from:upTo] {
			saves += l.Saves
		}
		level.Words = words.Counted(upTo, "insertion")
		if from > 0 {
			level.Words = "up to " + level.Words
		}
		if saves > 0 {
			level.Words += fmt.Sprintf("; these save %s s", words.Seconds(saves))
		}
		v.Levels = append(v.Levels, level)
		from = upTo
	}
	return render(w, r, http.StatusOK, learnPlacePage(v))
}

// listSummary says what the next level of a list saves.
func listSummary(list learn.List) string {
	var b strings.Builder
	switch {
	case list.Known > 0:
		fmt.Fprintf(&b, "You know %s: %s s on average. ", words.Counted(list.Known, "insertion"), words.Seconds(list.Average))
	case list.Counted() == 1:
		fmt.Fprintf(&b, "With the first: %s s on average. ", words.Seconds(list.Average))
	default:
		fmt.Fprintf(&b, "Doing nothing: %s s on average. ", words.Seconds(list.Average))
	}
	upTo, saves := list.NextLevel()
	have := max(list.Known, list.Counted())
	if upTo <= have {
		b.WriteString("Nothing else saves time.")
		return b.String()
	}
	these := fmt.Sprintf("these %d", upTo-have)
	switch {
	case upTo-have == 1:
		these = "one more"
	case have > 0:
		these = fmt.Sprintf("%d more", upTo-have)
	}
	fmt.Fprintf(&b, "Learn %s and save %s s on average.", these, words.Seconds(saves))
	return b.String()
}
