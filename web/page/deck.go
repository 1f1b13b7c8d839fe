package page

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/words"
)

// deckView is the deck: patterns that are rated one at a time. All its cards are on
// the page, so that a script can show the next without asking for it.
type deckView struct {
	pageView
	// Heading says which patterns they are.
	Heading string
	Cards   []deckCardView
	// Progress is that of the shown card.
	Progress string
	// Done is what comes after the last card.
	Done deckDoneView
}

// deckCardView is a card: the form for a pattern, with its sequence.
type deckCardView struct {
	patternFormView
	Shown bool
	// Progress is how far the card is.
	Progress string
	// Here is the card's own address, Before and After those beside it; the first has
	// none before it.
	Here, Before, After string
	// Turns is the pattern's sequence, "" for none; Whose says whether it is one's own.
	Turns, Whose string
}

// deckDoneView is what comes after the last card.
type deckDoneView struct {
	Shown bool
	// Before is the last card's address, "" where there is none.
	Here, Before string
	// Summary counts those of the deck that are rated.
	Summary string
}

// nextTen is how many patterns the short deck has.
const nextTen = 10

// deckEnd is the value of the parameter at, after the last card.
const deckEnd = "end"

// deckKind is a choice of patterns for a deck. The addresses of its cards name the
// patterns, so that a deck of unrated ones stays the same while they are rated.
type deckKind struct {
	value, label, which string
	choose              func(profile.Records) []lastslot.Pattern
}

var deckKinds = []deckKind{
	{"", "All", "all patterns", func(profile.Records) []lastslot.Pattern { return patternsInOrder() }},
	{"unrated", "Unrated", "unrated patterns", unratedPatterns},
	{"next", "The next ten", "the next ten", func(r profile.Records) []lastslot.Pattern { return nextPatterns(r, nextTen) }},
}

// path is the address of such a deck.
func (k deckKind) path() string {
	if k.value == "" {
		return "/ratings/deck"
	}
	return "/ratings/deck?show=" + k.value
}

// patternsInOrder are all patterns as the long page has them.
func patternsInOrder() (all []lastslot.Pattern) {
	for _, group := range edgeGroups {
		for p := range lastslot.Pattern(lastslot.Patterns) {
			if p.Outcome().Edges() == group.edges {
				all = append(all, p)
			}
		}
	}
	return all
}

// unratedPatterns are those of which a step is neither rated nor measured.
func unratedPatterns(r profile.Records) []lastslot.Pattern {
	return slices.DeleteFunc(patternsInOrder(), r.Rated)
}

// nextPatterns are the unrated ones that come most often, at most so many; of those
// that come alike, the lower numbers.
func nextPatterns(r profile.Records, most int) []lastslot.Pattern {
	all := unratedPatterns(r)
	slices.SortFunc(all, func(a, b lastslot.Pattern) int {
		return cmp.Or(cmp.Compare(b.Ways(), a.Ways()), cmp.Compare(a, b))
	})
	return all[:min(most, len(all))]
}

// deck is what a request asks for.
type deck struct {
	patterns []lastslot.Pattern
	// address is the deck's, without the shown card.
	address string
	which   string
	// at is the number of the shown card, or how many there are.
	at int
}

// deckOf reads which patterns a deck has, and which is shown.
func deckOf(values url.Values, r profile.Records) (d deck, err error) {
	show := values.Get("show")
	kind := slices.IndexFunc(deckKinds, func(k deckKind) bool { return k.value == show })
	if kind < 0 {
		return d, problem.BadRequest("show", fmt.Sprintf("“%s” is unknown; a deck has the patterns that are unrated, or the next", problem.Shortened(show)))
	}
	d.which, d.patterns = deckKinds[kind].which, deckKinds[kind].choose(r)
	listed := values.Has("patterns")
	if listed {
		if d.patterns, err = deckPatterns(values.Get("patterns")); err != nil {
			return d, err
		}
	}
	d.address = "/ratings/deck?"
	if show != "" {
		d.address += "show=" + show + "&"
	}
	if listed || show != "" {
		var numbers []string
		for _, p := range d.patterns {
			numbers = append(numbers, strconv.Itoa(int(p)))
		}
		d.address += "patterns=" + strings.Join(numbers, ",") + "&"
	}
	switch at := values.Get("at"); at {
	case "":
	case deckEnd:
		d.at = len(d.patterns)
	default:
		p, err := deckPattern("at", at)
		if err != nil {
			return d, err
		}
		if d.at = slices.Index(d.patterns, p); d.at < 0 {
			return d, problem.BadRequest("at", fmt.Sprintf("pattern %d is not in this deck", p))
		}
	}
	return d, nil
}

// deckPatterns reads numbers of patterns with commas between them, "" for none.
func deckPatterns(text string) (all []lastslot.Pattern, err error) {
	if text == "" {
		return nil, nil
	}
	for number := range strings.SplitSeq(text, ",") {
		p, err := deckPattern("patterns", number)
		if err != nil {
			return nil, err
		}
		if slices.Contains(all, p) {
			return nil, problem.BadRequest("patterns", fmt.Sprintf("pattern %d is there twice", p))
		}
		all = append(all, p)
	}
	return all, nil
}

// deckPattern reads the number of a pattern.
func deckPattern(field, number string) (lastslot.Pattern, error) {
	p, err := query.Pattern(number, 0)
	if err != nil {
		return 0, problem.BadRequest(field, fmt.Sprintf("“%s” is no pattern: they are numbered from 0 to %d", problem.Shortened(number), lastslot.Patterns-1))
	}
	return p, nil
}

// card is the address of a card, or of what comes after the last.
func (d deck) card(i int) string {
	if i == len(d.patterns) {
		return d.address + "at=" + deckEnd
	}
	return fmt.Sprintf("%sat=%d", d.address, d.patterns[i])
}

// progress is how far a card is.
func (d deck) progress(i int) string {
	if i == len(d.patterns) {
		return "Done"
	}
	return fmt.Sprintf("%d of %d", i+1, len(d.patterns))
}

// Deck answers GET /ratings/deck.
func (s *Server) Deck(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	d, err := deckOf(r.URL.Query(), visitor.Records)
	if err != nil {
		return err
	}
	return render(w, r, http.StatusOK, deckPage(s.deckView(visitor.Records, d)))
}

func (s *Server) deckView(records profile.Records, d deck) deckView {
	v := deckView{
		pageView: s.pageView(fmt.Sprintf("Rate %s – Slotcast", d.which), "How well you recognise and execute each pattern, one at a time.", ""),
		Heading:  words.Capital(d.which), Progress: d.progress(d.at),
	}
	book, person := profile.BookOf(s.book, records), profile.PersonOf(s.book, records, s.log)
	rated := 0
	for i, p := range d.patterns {
		card := deckCardView{
			patternFormView: patternForm(records, p, d.card(i+1)), Shown: i == d.at,
			Progress: d.progress(i), Here: d.card(i), After: d.card(i + 1),
		}
		if i > 0 {
			card.Before = d.card(i - 1)
		}
		card.Turns, card.Whose = deckSequence(records, p, book, person)
		if records.Rated(p) {
			rated++
		}
		v.Cards = append(v.Cards, card)
	}
	v.Done = deckDoneView{Shown: d.at == len(d.patterns), Here: d.card(len(d.patterns)), Summary: fmt.Sprintf("%d of %d patterns rated", rated, len(d.patterns))}
	if len(d.patterns) > 0 {
		v.Done.Before = d.card(len(d.patterns) - 1)
	}
	return v
}

// deckSequence is what somebody executes for the pattern: of their own sequences the
// quickest, or the one that forecasts use.
func deckSequence(r profile.Records, p lastslot.Pattern, book *forecast.Book, person *forecast.Person) (turns, whose string) {
	quickest := cube.Sequence(nil)
	for _, own := range r.Sequences {
		if own.Pattern != p {
			continue
		}
		if s, err := cube.Parse(own.Turns); err == nil && (quickest == nil || person.Estimate(s) < person.Estimate(quickest)) {
			quickest, turns = s, own.Turns
		}
	}
	if turns != "" {
		return turns, "yours"
	}
	return book.FollowUp(p).String(), "the usual one"
}

// levels are the choices that a card shows: the ratings themselves.
func (v stepView) levels() []choice {
	return slices.DeleteFunc(slices.Clone(v.Choices), func(c choice) bool { return !isLevel(c) })
}

// others are the choices of which a card only keeps whether they are chosen.
func (v stepView) others() []choice {
	return slices.DeleteFunc(slices.Clone(v.Choices), isLevel)
}

func isLevel(c choice) bool { return len(c.Value) == 1 && c.Value >= "1" && c.Value <= "5" }

// note says what a step is rated by, where that is a time.
func (v stepView) note() string {
	if v.Seconds == "" {
		return ""
	}
	return fmt.Sprintf("measured: %s s", v.Seconds)
}
