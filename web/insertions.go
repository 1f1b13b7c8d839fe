package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// insertionsView is the page with all that a person says of insertions.
type insertionsView struct {
	pageView
	Own   []ownInsertionView
	Add   addView
	Wrong map[string]fieldError
}

// addView is the form that adds an insertion, as it was filled in.
type addView struct {
	Turns string
	Slots []choice
	// Mirror adds it for the other hand too.
	Mirror bool
}

// ownInsertionView is an insertion that the person's book says something of.
type ownInsertionView struct {
	// ID tells insertions apart, as "FR R U R'".
	ID, Slot, Turns string
	// Case is a page where it is offered.
	Case          string
	Own           bool
	Known, Hidden bool
	Levels        []choice
	Seconds       string
	// Back is the page to return to.
	Back string
}

// insertionID tells insertions apart in forms: the slot where it stands before
// the turns, then the turns.
func insertionID(slot lastslot.Slot, turns string) string { return slot.String() + " " + turns }

// insertionPage is the page about one insertion.
func insertionPage(id string) string { return "/insertions/one?insertion=" + url.QueryEscape(id) }

// readInsertion reads an insertion from a form, as it is kept: AUF and rotation
// at the front do not tell insertions apart.
func readInsertion(slot *lastslot.Slot, turns cube.Sequence) (lastslot.Insertion, error) {
	insertion, err := lastslot.CheckInsertion(slot, turns)
	if err == nil && insertion.Turns[0].Layer() == cube.Y {
		turned := lastslot.Slot((int(insertion.Slot) + insertion.Turns[0].Quarters()) % lastslot.Slots)
		insertion, err = lastslot.NewInsertion(turned, insertion.Turns[1:])
	}
	if err != nil {
		return lastslot.Insertion{}, unfit(err)
	}
	return insertion, nil
}

func readInsertionID(field, id string) (lastslot.Insertion, error) {
	name, text, _ := strings.Cut(id, " ")
	slot, err := lastslot.ParseSlot(name)
	if err != nil {
		return lastslot.Insertion{}, unclear(field, fmt.Sprintf("“%s” does not begin with a slot", shortened(id)))
	}
	turns, err := checkTurns(text)
	if err != nil {
		return lastslot.Insertion{}, err
	}
	return readInsertion(&slot, turns)
}

// insertions answers GET /insertions.
func (s *site) insertions(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	return render(w, r, http.StatusOK, insertionsPage(s.insertionsView(visitor.Records, url.Values{})))
}

func (s *site) insertionsView(records Records, typed url.Values) insertionsView {
	v := insertionsView{
		pageView: s.pageView("Insertions – Slotcast", "The insertions that you know, hide, time or added.", ""),
		Add: addView{
			Turns: typed.Get("turns"), Mirror: typed.Get("mirror") == "true",
			Slots: []choice{{"", "the one that it opens", typed.Get("slot") == ""}},
		},
	}
	for slot := range lastslot.Slot(lastslot.Slots) {
		v.Add.Slots = append(v.Add.Slots, choice{slot.String(), slot.Words(), typed.Get("slot") == slot.String()})
	}
	for _, own := range records.Insertions {
		v.Own = append(v.Own, cardOf(own, "/insertions"))
	}
	return v
}

func cardOf(own OwnInsertion, back string) ownInsertionView {
	v := ownInsertionView{
		ID: insertionID(own.Slot, own.Turns), Slot: own.Slot.Words(), Turns: own.Turns, Own: own.Own, Known: own.Known, Hidden: own.Hidden,
		Seconds: secondsField(own.Time), Back: back,
		Levels: []choice{{"", "–", own.Rating == 0}},
	}
	for level := 1; level <= 5; level++ {
		v.Levels = append(v.Levels, choice{strconv.Itoa(level), strconv.Itoa(level), own.Rating == level})
	}
	if insertion, err := readInsertionID("", v.ID); err == nil {
		v.Case = "/case/" + insertion.Case().Code() + "?view=all"
	}
	return v
}

// oneInsertionView is the page about one insertion.
type oneInsertionView struct {
	pageView
	Card   ownInsertionView
	Seeing seeingView
}

// oneInsertion answers GET /insertions/one.
func (s *site) oneInsertion(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	i, err := readInsertionID("insertion", r.URL.Query().Get("insertion"))
	if err != nil {
		return err
	}
	view := oneInsertionView{
		pageView: s.pageView(notated(r.Context(), i.Turns.String())+" – Slotcast", "", ""),
		Card:     cardOf(s.recordOf(visitor.Records, i), r.URL.RequestURI()),
		Seeing:   seeingOf(i),
	}
	return render(w, r, http.StatusOK, oneInsertionPage(view))
}

// addInsertion answers POST /insertions.
func (s *site) addInsertion(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	added, err := s.readAdded(values, visitor.Records)
	if err == nil {
		err = s.keepMade(w, r, Records{Insertions: added})
	}
	if wrong := told(err); wrong != nil {
		view := s.insertionsView(visitor.Records, values)
		view.Wrong = wrongAt("turns", wrong, values)
		return render(w, r, wrong.Status, insertionsPage(view))
	}
	if err != nil {
		return err
	}
	return saved(w, r, "/insertions")
}

// readAdded verifies an insertion that is added, and its mirror image if wished.
// Who adds one knows it.
func (s *site) readAdded(values url.Values, records Records) ([]OwnInsertion, error) {
	turns, err := checkTurns(values.Get("turns"))
	if err != nil {
		return nil, err
	}
	var slot *lastslot.Slot
	if name := values.Get("slot"); name != "" {
		named, err := lastslot.ParseSlot(name)
		if err != nil {
			return nil, unclear("slot", fmt.Sprintf("no slot “%s”: a slot is FR, FL, BL or BR", shortened(name)))
		}
		slot = &named
	}
	insertion, err := readInsertion(slot, turns)
	if err != nil {
		return nil, err
	}
	insertions := []lastslot.Insertion{insertion}
	if values.Get("mirror") == "true" {
		insertions = append(insertions, insertion.Mirror())
	}
	var added []OwnInsertion
	for _, i := range insertions {
		own := s.recordOf(records, i)
		own.Known, own.Hidden = true, false
		added = append(added, own)
	}
	return added, nil
}

// recordOf is what the records say of an insertion; where they say nothing yet, a
// record that only says whether the book has it.
func (s *site) recordOf(records Records, i lastslot.Insertion) OwnInsertion {
	turns := i.Turns.String()
	at := slices.IndexFunc(records.Insertions, func(own OwnInsertion) bool { return own.is(i.Slot, turns) })
	if at >= 0 {
		return records.Insertions[at]
	}
	spelled, ok := s.bookOf(records).Insertion(i)
	return OwnInsertion{Slot: i.Slot, Turns: turns, Own: !ok || spelled.Turns.String() != turns}
}

// is says whether the record is about the insertion. One that was kept with a
// rotation at the front is the same as that for the slot after the rotation.
func (o OwnInsertion) is(slot lastslot.Slot, turns string) bool {
	for quarters, rotation := range [...]string{"", "y ", "y2 ", "y' "} {
		if rest, ok := strings.CutPrefix(o.Turns, rotation); ok && rest == turns && (int(o.Slot)+quarters)%lastslot.Slots == int(slot) {
			return true
		}
	}
	return false
}

// markInsertions answers POST /insertions/marks: each field names insertions and
// what is said of them.
func (s *site) markInsertions(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	var put Records
	mark := func(field string, say func(*OwnInsertion)) {
		for _, id := range values[field] {
			if err != nil {
				return
			}
			var i lastslot.Insertion
			if i, err = readInsertionID(field, id); err != nil {
				return
			}
			own := s.recordOf(visitor.Records, i)
			say(&own)
			put.Insertions = append(put.Insertions, own)
		}
	}
	mark("know", func(own *OwnInsertion) { own.Known, own.Hidden = true, false })
	mark("forget", func(own *OwnInsertion) { own.Known = false })
	mark("hide", func(own *OwnInsertion) { own.Hidden, own.Known = true, false })
	mark("show", func(own *OwnInsertion) { own.Hidden = false })
	if err != nil {
		return err
	}
	back := localPath(values.Get("back"), "/insertions")
	if len(put.Insertions) == 0 {
		return saved(w, r, back)
	}
	if err := s.keepMade(w, r, put); err != nil {
		return err
	}
	return saved(w, r, back)
}

// timeInsertion answers POST /insertions/time: a measured time or a rating of one
// insertion; of both the time counts.
func (s *site) timeInsertion(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	i, err := readInsertionID("insertion", values.Get("insertion"))
	if err != nil {
		return err
	}
	own := s.recordOf(visitor.Records, i)
	if own.Rating, err = readLevel("rating", values.Get("rating")); err != nil {
		return err
	}
	own.Time = 0
	if text := strings.TrimSpace(values.Get("seconds")); text != "" {
		if own.Time, err = readSeconds("seconds", text); err != nil {
			return err
		}
	}
	if err := s.keepMade(w, r, Records{Insertions: []OwnInsertion{own}}); err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/insertions"))
}

// removeInsertion answers POST /insertions/remove.
func (s *site) removeInsertion(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	i, err := readInsertionID("insertion", values.Get("insertion"))
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		gone := Records{Insertions: []OwnInsertion{{Slot: i.Slot, Turns: i.Turns.String()}}}
		if err := s.keep(w, r, Records{}, gone); err != nil {
			return err
		}
	}
	return saved(w, r, "/insertions")
}
