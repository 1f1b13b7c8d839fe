package page

import (
	"crypto/rand"
	"encoding/binary"
	"fmt"
	mathrand "math/rand/v2"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/practice"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/session"
	"slotcast/web/words"
)

// practiceItems is how many items a session has.
const practiceItems = 10

// practiceChoices is how many answers an item has: the right one and what it is likeliest
// taken for. A thumb and the keys 1 to 4 reach them.
const practiceChoices = 4

// practiceView is a session: all its items are on the page, so that it goes on without a
// network.
type practiceView struct {
	pageView
	Heading, Hint   string
	Exercises, Sets []linkView
	// Empty says why there is nothing to practise, "" where there is.
	Empty string
	Items []practiceItemView
	// Next is the address of further items of the set.
	Next string
	// Link is the address of these items in this order, for a partner.
	Link string
	// Taps says that the exercise is one from which the reaction is subtracted.
	Taps bool
	// Measured says what was measured so far, and what is subtracted.
	Measured string
}

// practiceItemView is a pattern in some AUF from some view, with its answers.
type practiceItemView struct {
	Number   int
	Exercise practice.Exercise
	Item     practice.Item
	Picture  string
	// Start is what the button with the picture says, From from where the puzzle is seen.
	Start, From string
	// Turns are those to execute, "" where the item is to be recognised.
	Turns   string
	Choices []practiceChoice
	// Name is the right answer's, Median the milliseconds that the person took so far, 0
	// for nothing yet.
	Name   string
	Median int64
}

type practiceChoice struct {
	Key, Name, Picture string
	Right              bool
}

// practiceKind is an exercise, as its page shows it.
type practiceKind struct {
	exercise      practice.Exercise
	step          forecast.Step
	heading, hint string
}

// practiceKinds are the exercises that there are pages for; the first is usual.
var practiceKinds = []practiceKind{
	{practice.Recognise, forecast.Recognise, "Recognise", "Stop the clock when you know the pattern, then say which it is. A wrong answer counts."},
	{practice.Execute, forecast.Execute, "Execute", "On your own puzzle: the clock starts when you let go and stops when you press again, as on a mat timer. A tap does as well."},
}

// practiceSet is a choice of patterns to practise.
type practiceSet struct {
	value, label, empty string
	has                 func(*Server, profile.Records, practiceKind, lastslot.Pattern) bool
}

var practiceSets = []practiceSet{
	{"", "All", "", func(*Server, profile.Records, practiceKind, lastslot.Pattern) bool { return true }},
	{"slow", "Slow ones", "No pattern is rated 1 or 2, or timed as slow as that.", func(s *Server, r profile.Records, _ practiceKind, p lastslot.Pattern) bool {
		return r.Slow(p, profile.BookOf(s.book, r))
	}},
	{"unmeasured", "Not yet measured", "All patterns have five results.", func(_ *Server, r profile.Records, k practiceKind, p lastslot.Pattern) bool {
		h := r.History(k.exercise, practice.PatternItem(p))
		return !h.Seconds().Enough()
	}},
	{"unlearnt", "Not learnt", "You have learnt all 57 patterns.", func(_ *Server, r profile.Records, _ practiceKind, p lastslot.Pattern) bool { return !r.HasLearnt(p) }},
}

// topViewWords says from where a top is seen.
var topViewWords = [picture.TopViews]string{picture.WholeTop: "the hidden rows folded out", picture.SeenTop: "seen from the right", picture.OtherTop: "seen from the left"}

// Practice answers GET /practice: patterns to recognise or to execute.
func (s *Server) Practice(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	values := r.URL.Query()
	seed, err := practiceSeed(values)
	if err != nil {
		return err
	}
	kind, err := practiceKindOf(values)
	if err != nil {
		return err
	}
	v := practiceView{
		pageView: s.pageView(kind.heading+" – Slotcast", "Practise patterns against the clock; what you measure ranks your options.", ""),
		Heading:  kind.heading, Hint: kind.hint, Taps: kind.exercise == practice.Recognise,
	}
	for _, k := range practiceKinds {
		v.Exercises = append(v.Exercises, linkView{k.heading, practicePath(k, ""), k == kind})
	}
	asked := values.Get("set")
	set := slices.IndexFunc(practiceSets, func(p practiceSet) bool { return p.value == asked })
	if set < 0 {
		return problem.BadRequest("set", fmt.Sprintf("“%s” is unknown: a set is slow, unmeasured or unlearnt", problem.Shortened(asked)))
	}
	listed := values.Has("patterns")
	for i, p := range practiceSets {
		path := practicePath(kind, p.value)
		v.Sets = append(v.Sets, linkView{p.label, path, i == set && !listed})
		if i == set {
			v.Next = path
		}
	}
	var items []practice.Item
	if listed {
		items, err = listedItems(values.Get("patterns"), kind)
	} else {
		items, err = s.itemsFor(r, visitor, kind, practiceSets[set], seed)
	}
	if err != nil {
		return err
	}
	if len(items) == 0 {
		v.Empty = practiceSets[set].empty
	}
	s.showItems(&v, visitor.Records, kind, items, seed)
	v.tellMeasured(visitor.Records, kind)
	return render(w, r, http.StatusOK, practicePage(v))
}

// practiceKindOf reads which exercise the address asks for.
func practiceKindOf(values url.Values) (practiceKind, error) {
	if !values.Has("exercise") {
		return practiceKinds[0], nil
	}
	for _, k := range practiceKinds {
		if k.exercise.String() == values.Get("exercise") {
			return k, nil
		}
	}
	return practiceKind{}, problem.BadRequest("exercise", fmt.Sprintf("“%s” is unknown: an exercise is recognise or execute", problem.Shortened(values.Get("exercise"))))
}

// practicePath is the address of a set of an exercise.
func practicePath(k practiceKind, set string) string {
	values := url.Values{}
	if k != practiceKinds[0] {
		values.Set("exercise", k.exercise.String())
	}
	if set != "" {
		values.Set("set", set)
	}
	if len(values) == 0 {
		return "/practice"
	}
	return "/practice?" + values.Encode()
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

// listedItems are patterns that an address lists, in its order. One may be there twice.
func listedItems(text string, kind practiceKind) (items []practice.Item, err error) {
	numbers := strings.Split(text, ",")
	if len(numbers) > practiceItems {
		return nil, problem.BadRequest("patterns", fmt.Sprintf("%d patterns; a session has at most %d", len(numbers), practiceItems))
	}
	for _, number := range numbers {
		p, err := deckPattern("patterns", number)
		if err != nil {
			return nil, err
		}
		if p == 0 && kind.exercise == practice.Execute {
			return nil, problem.BadRequest("patterns", "pattern 0 is oriented already: there is nothing to execute")
		}
		items = append(items, practice.PatternItem(p))
	}
	return items, nil
}

// itemsFor draws a session's items of the set by what the visitor needs.
func (s *Server) itemsFor(r *http.Request, visitor session.Visitor, kind practiceKind, set practiceSet, seed uint64) ([]practice.Item, error) {
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return nil, err
	}
	known, err := learn.KnownOf(r.Context(), f, lastslot.FR)
	if err != nil {
		return nil, fmt.Errorf("see what comes: %w", err)
	}
	records := visitor.Records
	book, person := profile.BookOf(s.book, records), profile.PersonOf(s.book, records, s.log)
	var candidates []practice.Candidate
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		if !set.has(s, records, kind, p) {
			continue
		}
		item := practice.PatternItem(p)
		// Who knows no insertion meets all outcomes alike.
		comes := float64(p.Ways()) / lastslot.Outcomes
		if cases := known.Cases - known.Without; cases > 0 {
			comes = float64(known.Leaves[p]) / float64(cases)
		}
		candidates = append(candidates, practice.Candidate{
			Item: item, Comes: comes, Takes: book.Takes(person, p, kind.step), Memory: records.History(kind.exercise, item).Memory,
		})
	}
	return practice.Draw(candidates, practice.DayOf(time.Now()), min(practiceItems, len(candidates)), seed), nil
}

// showItems puts the items on the page, each in an AUF, from a view and with its answers in
// an order that the seed tells.
func (s *Server) showItems(v *practiceView, records profile.Records, kind practiceKind, items []practice.Item, seed uint64) {
	chance := mathrand.New(mathrand.NewPCG(seed, 1)) // #nosec G404 -- no secret: a partner has the same by the seed
	book, person := profile.BookOf(s.book, records), profile.PersonOf(s.book, records, s.log)
	var numbers []string
	for i, item := range items {
		p, _ := item.Pattern()
		history := records.History(kind.exercise, item)
		one := practiceItemView{Number: i + 1, Exercise: kind.exercise, Item: item, Name: records.PatternName(p), Median: history.Seconds().Median.Milliseconds()}
		if kind.exercise == practice.Execute {
			one.toExecute(records, p, book, person)
		} else {
			one.toRecognise(records, p, chance)
		}
		v.Items = append(v.Items, one)
		numbers = append(numbers, string(item))
	}
	exercise := ""
	if kind != practiceKinds[0] {
		exercise = "exercise=" + kind.exercise.String() + "&"
	}
	v.Link = fmt.Sprintf("/practice?%spatterns=%s&seed=%d", exercise, strings.Join(numbers, ","), seed)
}

// toRecognise shows the pattern in an AUF, from a view and with its answers in an order that
// chance tells.
func (v *practiceItemView) toRecognise(records profile.Records, p lastslot.Pattern, chance *mathrand.Rand) {
	from := picture.TopView(chance.IntN(picture.TopViews))
	v.Start, v.From = "I know it", topViewWords[from]
	v.Picture = picture.Top(p.Outcome().Turned(chance.IntN(4)), from).SVG()
	answers := append([]lastslot.Pattern{p}, practice.Confusions(p, practiceChoices-1)...)
	chance.Shuffle(len(answers), func(a, b int) { answers[a], answers[b] = answers[b], answers[a] })
	for n, answer := range answers {
		v.Choices = append(v.Choices, practiceChoice{strconv.Itoa(n + 1), records.PatternName(answer), picture.Pattern(answer.Outcome()), answer == p})
	}
}

// toExecute shows the pattern as the person's sequence begins, without AUF.
func (v *practiceItemView) toExecute(records profile.Records, p lastslot.Pattern, book *forecast.Book, person *forecast.Person) {
	v.Start = "Let go to start"
	v.Turns, _ = deckSequence(records, p, book, person)
	shown := p.Outcome()
	if turns, err := cube.Parse(v.Turns); err == nil {
		if sequence, err := lastslot.CheckSequence(p, turns); err == nil {
			shown = shown.Turned(sequence.AUF(shown))
		}
	}
	v.Picture = picture.Top(shown, picture.WholeTop).SVG()
	v.Choices = []practiceChoice{{"1", "It came out right", "", true}, {"2", "It went wrong", "", false}}
}

// tellMeasured says what was measured so far.
func (v *practiceView) tellMeasured(records profile.Records, kind practiceKind) {
	measured := practice.Measure(records.Practised)
	n := 0
	for p := range measured.Patterns {
		if measured.Patterns[p][kind.step].Enough() {
			n++
		}
	}
	v.Measured = fmt.Sprintf("%d of %d patterns measured. From five results on, yours rank instead of your rating.", n, lastslot.Patterns-1)
	switch {
	case !v.Taps:
	case measured.OwnReaction:
		v.Measured += fmt.Sprintf(" Your reaction is %s s: it is subtracted.", words.Seconds(measured.Reaction))
	default:
		v.Measured += " Your reaction is not measured yet: a quarter of a second is subtracted."
	}
}

// SaveResult answers POST /practice/results: one result is counted.
func (s *Server) SaveResult(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	result, err := readResult(values)
	if err != nil {
		return err
	}
	if err := s.sessions.Save(w, r, profile.Records{Results: []profile.Result{result}}, profile.Records{}); err != nil {
		return err
	}
	return saved(w, r, "/practice")
}

func readResult(values url.Values) (profile.Result, error) {
	given := profile.ResultGiven{ID: values.Get("id"), Exercise: values.Get("exercise"), Item: values.Get("item")}
	at, err := time.Parse(time.RFC3339, values.Get("at"))
	if err != nil {
		return profile.Result{}, problem.BadRequest("at", fmt.Sprintf("“%s” is not a time", problem.Shortened(values.Get("at"))))
	}
	seconds, err := strconv.ParseFloat(values.Get("seconds"), 64)
	if err != nil {
		return profile.Result{}, problem.BadRequest("seconds", fmt.Sprintf("“%s” is not a number of seconds", problem.Shortened(values.Get("seconds"))))
	}
	right, err := strconv.ParseBool(values.Get("right"))
	if err != nil {
		return profile.Result{}, problem.BadRequest("right", "use true or false")
	}
	given.At, given.Seconds, given.Right = at, &seconds, &right
	return given.Record()
}

// WithdrawResult answers POST /practice/results/withdraw: the result counts no more.
func (s *Server) WithdrawResult(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	id := values.Get("id")
	if !profile.IsSecret(id) {
		return problem.BadRequest("id", profile.NotSecret)
	}
	if err := s.sessions.Save(w, r, profile.Records{}, profile.Records{Results: []profile.Result{{ID: id}}}); err != nil {
		return err
	}
	return saved(w, r, "/practice")
}
