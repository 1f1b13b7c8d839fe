package page

import (
	"crypto/rand"
	"encoding/binary"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// practiceLength is how long a session is. One without an end of its own begins again with all
// its items.
type practiceLength struct {
	value, label string
	items        int
}

// practiceLengths are those to choose from; the first is usual.
var practiceLengths = []practiceLength{{"", "10 items", 10}, {"25", "25 items", mostItems}, {"5min", "5 minutes", mostItems}, {"open", "Until I stop", mostItems}}

// mostItems is how many items a session's page has at most.
const mostItems = 25

// practiceLengthOf reads which length the address asks for.
func practiceLengthOf(values url.Values) (*practiceLength, error) {
	asked := values.Get("length")
	var known []string
	for i := range practiceLengths {
		if practiceLengths[i].value == asked {
			return &practiceLengths[i], nil
		}
		known = append(known, practiceLengths[i].value)
	}
	return nil, problem.BadRequest("length", fmt.Sprintf("“%s” is unknown: leave it out, or use one of %s", problem.Shortened(asked), strings.Join(known[1:], ", ")))
}

// practiceView is a session: all its items are on the page, so that it goes on without a
// network.
type practiceView struct {
	pageView
	Heading, Hint   string
	Exercises, Sets []linkView
	// Length is that of the session, as the script knows it, and Lengths those to choose from:
	// nil for items that are listed.
	Length  string
	Lengths []linkView
	// Empty says why there is nothing to practise, "" where there is.
	Empty string
	Items []practiceItemView
	// Next is the address of further items of the set, Link that of these items in this
	// order, for a partner.
	Next, Link string
	// Drill is the drill for two that the session is done in, "" for none; Exercise, Listed
	// and Seed are what one is made of.
	Drill, Exercise, Listed, Seed string
	// What says what is chosen of these: which items, and how long.
	What string
	// List is where a list is made by hand, or this one changed.
	List linkView
	// Whole says that it is of whole solves, which may come to any of the Patterns.
	Whole    bool
	Patterns []practicePatternGroup
	// Taps says that the exercise is one from which the reaction is subtracted.
	Taps bool
	// Measured says what was measured so far, and what is subtracted.
	Measured string
	// Track proposes how many pieces to count as tracked, "" for what counts already.
	Track, TrackWords string
}

// Practice answers GET /practice: a session of an exercise.
func (s *Server) Practice(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	values := r.URL.Query()
	kind, err := practiceKindOf(values)
	if err != nil {
		return err
	}
	set, err := kind.set(values)
	if err != nil {
		return err
	}
	length, err := practiceLengthOf(values)
	if err != nil {
		return err
	}
	place, err := practicePlaceOf(values, set)
	if err != nil {
		return err
	}
	seed, err := practiceSeed(values)
	if err != nil {
		return err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	p := newPractiser(s, visitor, f, kind)
	p.place = place
	where := ""
	if place != nil {
		where = place.String()
	}
	v := practiceView{
		pageView: s.pageView(kind.heading+" – Slotcast", "Practise against the clock; what you measure ranks your options.", ""),
		Heading:  kind.heading, Hint: kind.hint, Taps: kind.exercise == practice.Recognise, Next: kind.path("set", set.value, "place", where, "length", length.value),
	}
	for i := range practiceKinds {
		k := &practiceKinds[i]
		v.Exercises = append(v.Exercises, linkView{k.heading, k.inScope(set, where), k == kind})
	}
	for i := range kind.sets {
		other := &kind.sets[i]
		if other.place && place == nil {
			continue
		}
		v.Sets = append(v.Sets, linkView{other.label, kind.path("set", other.value, "place", where, "length", length.value), other == set && !values.Has("items")})
	}
	var items []practiceDrawn
	if values.Has("items") {
		items, err = listedItems(values["items"], kind)
		p.drawCases(items, seed)
	} else {
		v.Length = length.value
		for i := range practiceLengths {
			other := &practiceLengths[i]
			v.Lengths = append(v.Lengths, linkView{other.label, kind.path("set", set.value, "place", where, "length", other.value), other == length})
		}
		items, err = p.draw(r.Context(), set, length.items, seed)
	}
	if err != nil {
		return err
	}
	if len(items) == 0 {
		v.Empty = set.empty
	}
	if v.Items, err = p.show(r.Context(), items, seed); err != nil {
		return err
	}
	if kind.exercise == practice.Whole {
		v.Whole, v.Patterns = true, practicePatterns(visitor.Records)
	}
	listed := make([]string, len(items))
	for i, item := range items {
		listed[i] = item.String()
	}
	v.Exercise, v.Listed, v.Seed = kind.exercise.String(), strings.Join(listed, ","), strconv.FormatUint(seed, 10)
	drill, err := readDrill(values)
	if err != nil {
		return err
	}
	v.Drill = string(drill)
	v.Link = kind.path("items", v.Listed, "seed", v.Seed)
	v.What = "A list"
	if !values.Has("items") {
		v.What = set.label
		if place != nil && set.place {
			v.What += ": " + words.Place(*place)
		}
		v.What += ", " + strings.ToLower(length.label[:1]) + length.label[1:]
	}
	v.List = linkView{Label: "Make a list", Path: strings.Replace(kind.path(), "/practice", "/practice/list", 1)}
	if values.Has("items") {
		v.List = linkView{Label: "Change this list", Path: strings.Replace(kind.path("items", v.Listed), "/practice", "/practice/list", 1)}
	}
	v.tellMeasured(visitor.Records, kind.exercise)
	return render(w, r, http.StatusOK, practicePage(v))
}

// practiceSeed is the number that the address names for what is left to chance, or a new one.
func practiceSeed(values url.Values) (uint64, error) {
	if !values.Has("seed") {
		var random [8]byte
		_, _ = rand.Read(random[:]) // never fails
		// What JavaScript's numbers hold, too.
		return binary.BigEndian.Uint64(random[:]) >> 11, nil
	}
	seed, err := strconv.ParseUint(values.Get("seed"), 10, 53)
	if err != nil {
		return 0, problem.BadRequest("seed", fmt.Sprintf("“%s” is not a number from 0 to %d", problem.Shortened(values.Get("seed")), uint64(1)<<53-1))
	}
	return seed, nil
}

// tellMeasured says what was measured so far.
func (v *practiceView) tellMeasured(records profile.Records, exercise practice.Exercise) {
	measured := practice.Measure(records.Practised)
	switch exercise {
	case practice.Predict:
		v.tellTracked(records, measured)
		return
	case practice.Choose, practice.Slots:
		v.tellChosen(records, exercise)
		return
	case practice.Whole:
		v.tellWhole(records)
		return
	}
	step, n := forecast.Execute, 0
	if exercise == practice.Recognise {
		step = forecast.Recognise
	}
	for p := range measured.Patterns {
		if measured.Patterns[p][step].Enough() {
			n++
		}
	}
	v.Measured = fmt.Sprintf("%d of %d patterns measured. From five results on, yours rank instead of your rating.", n, lastslot.Patterns-1)
	switch {
	case exercise != practice.Recognise:
	case measured.OwnReaction:
		v.Measured += fmt.Sprintf(" Your reaction is %s s: it is subtracted.", words.Seconds(measured.Reaction))
	default:
		v.Measured += " Your reaction is not measured yet: a quarter of a second is subtracted."
	}
}

// tellTracked says how many pieces the person tracks by their predictions, and proposes that
// where another number counts.
func (v *practiceView) tellTracked(records profile.Records, measured *practice.Measured) {
	pieces, ok := measured.Track()
	if !ok {
		v.Measured = "How many pieces you track is not measured yet: that takes five predictions of as many pieces."
		return
	}
	v.Measured = fmt.Sprintf("You track %s: of your last predictions with as many, four in five were right within four seconds.", words.Counted(pieces, "piece"))
	if pieces != profile.Tracked(records) {
		v.Track = strconv.Itoa(pieces)
		v.TrackWords = fmt.Sprintf("Count me as tracking %s", words.Counted(pieces, "piece"))
	}
}
