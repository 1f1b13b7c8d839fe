package page

import (
	"crypto/rand"
	"encoding/binary"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/words"
)

// practiceItems is how many items a session has.
const practiceItems = 10

// practiceView is a session: all its items are on the page, so that it goes on without a
// network.
type practiceView struct {
	pageView
	Heading, Hint   string
	Exercises, Sets []linkView
	// Empty says why there is nothing to practise, "" where there is.
	Empty string
	Items []practiceItemView
	// Next is the address of further items of the set, Link that of these items in this
	// order, for a partner.
	Next, Link string
	// Taps says that the exercise is one from which the reaction is subtracted.
	Taps bool
	// Measured says what was measured so far, and what is subtracted.
	Measured string
	// Track proposes how many pieces to count as tracked, "" for what counts already.
	Track, TrackWords string
}

// practiceKind is an exercise, as its page shows it.
type practiceKind struct {
	exercise      practice.Exercise
	heading, hint string
	sets          []practiceSet
}

// practiceKinds are the exercises that there are pages for; the first is usual.
var practiceKinds = []practiceKind{
	{practice.Recognise, "Recognise", "Stop the clock when you know the pattern, then say which it is. A wrong answer counts.", patternSets},
	{practice.Predict, "Predict", "Follow the pieces through the insertion in your head, stop the clock when you know what it leaves, then say it.", []practiceSet{{"", "Few pieces to track", "You know no insertion: mark some under Learn.", predictable}}},
	{practice.Execute, "Execute", "On your own puzzle: the clock starts when you let go and stops when you press again, as on a mat timer. A tap does as well.", append(slices.Clone(patternSets), practiceSet{"insertions", "Insertions", "You know no insertion: mark some under Learn.", executable})},
}

// practiceKindOf reads which exercise the address asks for.
func practiceKindOf(values url.Values) (*practiceKind, error) {
	if !values.Has("exercise") {
		return &practiceKinds[0], nil
	}
	var known []string
	for i := range practiceKinds {
		name := practiceKinds[i].exercise.String()
		if name == values.Get("exercise") {
			return &practiceKinds[i], nil
		}
		known = append(known, name)
	}
	return nil, problem.BadRequest("exercise", fmt.Sprintf("“%s” is unknown: an exercise is one of %s", problem.Shortened(values.Get("exercise")), strings.Join(known, ", ")))
}

// set is that which the address asks for.
func (k *practiceKind) set(values url.Values) (*practiceSet, error) {
	asked := values.Get("set")
	var known []string
	for i := range k.sets {
		if k.sets[i].value == asked {
			return &k.sets[i], nil
		}
		if k.sets[i].value != "" {
			known = append(known, k.sets[i].value)
		}
	}
	detail := fmt.Sprintf("“%s” is unknown: leave it out", problem.Shortened(asked))
	if len(known) > 0 {
		detail = fmt.Sprintf("“%s” is unknown: a set is one of %s", problem.Shortened(asked), strings.Join(known, ", "))
	}
	return nil, problem.BadRequest("set", detail)
}

// path is the address of the exercise with further names and values in turn.
func (k *practiceKind) path(more ...string) string {
	exercise := ""
	if k.exercise != practiceKinds[0].exercise {
		exercise = k.exercise.String()
	}
	return query.With("/practice", url.Values{}, append([]string{"exercise", exercise}, more...)...)
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
	seed, err := practiceSeed(values)
	if err != nil {
		return err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	p := newPractiser(s, visitor.Records, f, kind)
	v := practiceView{
		pageView: s.pageView(kind.heading+" – Slotcast", "Practise against the clock; what you measure ranks your options.", ""),
		Heading:  kind.heading, Hint: kind.hint, Taps: kind.exercise == practice.Recognise, Next: kind.path("set", set.value),
	}
	for i := range practiceKinds {
		k := &practiceKinds[i]
		v.Exercises = append(v.Exercises, linkView{k.heading, k.path(), k == kind})
	}
	for i := range kind.sets {
		other := &kind.sets[i]
		v.Sets = append(v.Sets, linkView{other.label, kind.path("set", other.value), other == set && !values.Has("items")})
	}
	var items []practice.Item
	if values.Has("items") {
		items, err = listedItems(values.Get("items"), kind.exercise)
	} else {
		items, err = p.draw(r.Context(), set, seed)
	}
	if err != nil {
		return err
	}
	if len(items) == 0 {
		v.Empty = set.empty
	}
	v.Items = p.show(items, seed)
	listed := make([]string, len(items))
	for i, item := range items {
		listed[i] = string(item)
	}
	v.Link = kind.path("items", strings.Join(listed, ","), "seed", strconv.FormatUint(seed, 10))
	v.tellMeasured(visitor.Records, kind.exercise)
	return render(w, r, http.StatusOK, practicePage(v))
}

// practiceSeed is the seed that the address names, or a new one.
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

// listedItems are those that an address lists, in its order. One may be there twice.
func listedItems(text string, exercise practice.Exercise) (items []practice.Item, err error) {
	parts := strings.Split(text, ",")
	if len(parts) > practiceItems {
		return nil, problem.BadRequest("items", fmt.Sprintf("%d items; a session has at most %d", len(parts), practiceItems))
	}
	for _, part := range parts {
		item, err := practice.ParseItem(exercise, part)
		if err != nil {
			return nil, problem.BadRequest("items", err.Error())
		}
		items = append(items, item)
	}
	return items, nil
}

// tellMeasured says what was measured so far.
func (v *practiceView) tellMeasured(records profile.Records, exercise practice.Exercise) {
	measured := practice.Measure(records.Practised)
	if exercise == practice.Predict {
		v.tellTracked(records, measured)
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
