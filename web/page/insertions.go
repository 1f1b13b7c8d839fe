package page

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// insertionsView is the page with all that a person says of insertions.
type insertionsView struct {
	pageView
	// Own are those of this page, of Count in all; Pages lead to the others where they
	// do not all fit on one.
	Own   []ownInsertionView
	Count int
	Pages []linkView
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
	// NotKnown says that it is said not to be known.
	NotKnown bool
	Levels   []choice
	// Predict is what can be said of predicting it.
	Predict []choice
	Seconds string
	// Back is the page to return to.
	Back string
}

// insertionPage is the page about one insertion.
func insertionPage(id string) string { return "/insertions/one?insertion=" + url.QueryEscape(id) }

// Insertions answers GET /insertions.
func (s *Server) Insertions(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	typed := r.URL.Query()
	view, status := s.insertionsView(visitor.Records, typed), http.StatusOK
	if typed.Get("turns") != "" {
		// What was refused is so again.
		if _, err := s.readAdded(typed, visitor.Records); err != nil {
			wrong := problem.Of(err)
			if wrong == nil {
				return err
			}
			view.Wrong, status = wrongAt("turns", wrong, typed), wrong.Status
		}
	}
	return render(w, r, status, insertionsPage(view))
}

// cardsShown is how many insertions, or steps, a page has: a card takes 2.3 kB.
const cardsShown = 100

// cardPage is the part of a list of cards that is shown: those from the first to before the
// end, at an address, with links to the others where they do not all fit on one page.
type cardPage struct {
	from, to int
	address  string
	links    []linkView
}

// cardPageOf is the page that is asked for of so many cards. What is no page any more, as
// some were removed, is the nearest that is one.
func cardPageOf(cards int, path, asked string) cardPage {
	address := func(page int) string {
		if page == 1 {
			return path
		}
		return fmt.Sprintf("%s?page=%d", path, page)
	}
	pages := max(1, (cards+cardsShown-1)/cardsShown)
	page, _ := strconv.Atoi(asked)
	page = min(max(page, 1), pages)
	p := cardPage{from: (page - 1) * cardsShown, to: min(page*cardsShown, cards), address: address(page)}
	for n := 1; n <= pages && pages > 1; n++ {
		p.links = append(p.links, linkView{fmt.Sprintf("%d–%d", (n-1)*cardsShown+1, min(n*cardsShown, cards)), address(n), n == page})
	}
	return p
}

func (s *Server) insertionsView(records profile.Records, typed url.Values) insertionsView {
	v := insertionsView{
		pageView: s.pageView("Insertions – Slotcast", "The insertions you know, hide, timed or added.", ""),
		Add: addView{
			Turns: typed.Get("turns"), Mirror: typed.Get("mirror") == "true",
			Slots: slotChoices("the one it opens", typed.Get("slot")),
		},
	}
	v.Count = len(records.Insertions)
	page := cardPageOf(v.Count, "/insertions", typed.Get("page"))
	for _, own := range records.Insertions[page.from:page.to] {
		v.Own = append(v.Own, cardOf(own, page.address))
	}
	v.Pages = page.links
	return v
}

func cardOf(own profile.OwnInsertion, back string) ownInsertionView {
	v := ownInsertionView{
		ID: profile.InsertionID(own.Slot, own.Turns), Slot: own.Slot.Words(), Turns: own.Turns, Own: own.Own, Known: own.Known == forecast.Yes, NotKnown: own.Known == forecast.No, Hidden: own.Hidden, Predict: predictChoices(own.Predict),
		Seconds: words.Field(own.Time), Back: back,
		Levels: levelChoices(own.Rating),
	}
	if insertion, err := profile.ReadInsertionID("", v.ID); err == nil {
		v.Case = "/case/" + insertion.Case().Code()
	}
	return v
}

// predictChoices are what can be said of predicting an insertion.
func predictChoices(said forecast.Said) []choice {
	return []choice{
		{Label: "as I track", Checked: said == forecast.Unsaid},
		{Value: "yes", Label: "I predict it", Checked: said == forecast.Yes},
		{Value: "no", Label: "I do not", Checked: said == forecast.No},
	}
}

// oneInsertionView is the page about one insertion.
type oneInsertionView struct {
	pageView
	Card   ownInsertionView
	Seeing seeingView
}

// OneInsertion answers GET /insertions/one.
func (s *Server) OneInsertion(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	i, err := profile.ReadInsertionID("insertion", r.URL.Query().Get("insertion"))
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

// AddInsertion answers POST /insertions.
func (s *Server) AddInsertion(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	added, err := s.readAdded(values, visitor.Records)
	typed := url.Values{"turns": values["turns"], "slot": values["slot"], "mirror": values["mirror"]}
	if problem.Of(err) != nil && values.Get("turns") != "" && shownAgain(w, r, "/insertions", typed) {
		return nil
	}
	if err == nil {
		err = s.sessions.SaveFrom(w, r, profile.Records{Insertions: added})
	}
	if wrong := problem.Of(err); wrong != nil {
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
func (s *Server) readAdded(values url.Values, records profile.Records) ([]profile.OwnInsertion, error) {
	turns, err := profile.CheckTurns(values.Get("turns"))
	if err != nil {
		return nil, err
	}
	var slot *lastslot.Slot
	if name := values.Get("slot"); name != "" {
		named, err := lastslot.ParseSlot(name)
		if err != nil {
			return nil, problem.NoSlot(name)
		}
		slot = &named
	}
	insertion, err := profile.ReadInsertion(slot, turns)
	if err != nil {
		return nil, err
	}
	insertions := []lastslot.Insertion{insertion}
	if values.Get("mirror") == "true" {
		insertions = append(insertions, insertion.Mirror())
	}
	var added []profile.OwnInsertion
	for _, i := range insertions {
		own := s.recordOf(records, i)
		own.Known, own.Hidden = forecast.Yes, false
		added = append(added, own)
	}
	return added, nil
}

// recordOf is what the records say of an insertion; where they say nothing yet, a
// record that only says whether the book has it.
func (s *Server) recordOf(records profile.Records, i lastslot.Insertion) profile.OwnInsertion {
	turns := i.Turns.String()
	at := slices.IndexFunc(records.Insertions, func(own profile.OwnInsertion) bool { return own.Is(i.Slot, turns) })
	if at >= 0 {
		return records.Insertions[at]
	}
	spelled, ok := profile.BookOf(s.book, records).Insertion(i)
	return profile.OwnInsertion{Slot: i.Slot, Turns: turns, Own: !ok || spelled.Turns.String() != turns}
}

// MarkInsertions answers POST /insertions/marks: each field names insertions and
// what is said of them.
func (s *Server) MarkInsertions(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	var put profile.Records
	mark := func(field string, say func(*profile.OwnInsertion)) {
		for _, id := range values[field] {
			if err != nil {
				return
			}
			var i lastslot.Insertion
			if i, err = profile.ReadInsertionID(field, id); err != nil {
				return
			}
			own := s.recordOf(visitor.Records, i)
			say(&own)
			put.Insertions = append(put.Insertions, own)
		}
	}
	mark("know", func(own *profile.OwnInsertion) { own.Known, own.Hidden = forecast.Yes, false })
	mark("forget", func(own *profile.OwnInsertion) { own.Known = forecast.No })
	mark("hide", func(own *profile.OwnInsertion) { own.Hidden, own.Known = true, forecast.Unsaid })
	mark("show", func(own *profile.OwnInsertion) { own.Hidden = false })
	if err != nil {
		return err
	}
	back := localPath(values.Get("back"), "/insertions")
	if len(put.Insertions) == 0 {
		return saved(w, r, back)
	}
	if err := s.sessions.SaveFrom(w, r, put); err != nil {
		return err
	}
	return saved(w, r, back)
}

// TimeInsertion answers POST /insertions/time: a measured time or a rating of one
// insertion; of both the time counts.
func (s *Server) TimeInsertion(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	i, err := profile.ReadInsertionID("insertion", values.Get("insertion"))
	if err != nil {
		return err
	}
	own := s.recordOf(visitor.Records, i)
	if own.Rating, err = readLevel("rating", values.Get("rating")); err != nil {
		return err
	}
	// A form of before it could be said says nothing of it.
	if values.Has("predict") {
		if own.Predict, err = readPredict(values.Get("predict")); err != nil {
			return err
		}
	}
	own.Time = 0
	if text := strings.TrimSpace(values.Get("seconds")); text != "" {
		if own.Time, err = readSeconds("seconds", text); err != nil {
			return err
		}
	}
	if err := s.sessions.SaveFrom(w, r, profile.Records{Insertions: []profile.OwnInsertion{own}}); err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/insertions"))
}

// readPredict reads what is said of predicting an insertion; "" is nothing.
func readPredict(text string) (forecast.Said, error) {
	switch text {
	case "":
		return forecast.Unsaid, nil
	case "yes":
		return forecast.Yes, nil
	case "no":
		return forecast.No, nil
	}
	return 0, problem.BadRequest("predict", fmt.Sprintf("“%s” is unknown: use yes or no", problem.Shortened(text)))
}

// RemoveInsertion answers POST /insertions/remove.
func (s *Server) RemoveInsertion(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	i, err := profile.ReadInsertionID("insertion", values.Get("insertion"))
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		gone := profile.Records{Insertions: []profile.OwnInsertion{{Slot: i.Slot, Turns: i.Turns.String()}}}
		if err := s.sessions.Save(w, r, profile.Records{}, gone); err != nil {
			return err
		}
	}
	return saved(w, r, "/insertions")
}
