package page

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/practice"
	"slotcast/web/picture"
	"slotcast/web/profile"
	"slotcast/web/query"
)

// practiceChoices is how many answers an item has: the right one and what it is likeliest
// taken for. A thumb and the keys 1 to 4 reach them.
const practiceChoices = 4

// practiceItemView is an item with its answers.
type practiceItemView struct {
	Number   int
	Exercise practice.Exercise
	Item     practice.Item
	Picture  string
	// Start is what the button with the picture says, From from where the puzzle is seen.
	Start, From string
	// Turns are those to execute or to follow, "" for none.
	Turns   string
	Choices []practiceChoice
	// Name is the item's, Answer the right answer's.
	Name, Answer string
	// Step is where the turns are shown one by one, "" for nowhere.
	Step string
	// Median are the milliseconds that the person took so far, 0 for nothing yet.
	Median int64
}

type practiceChoice struct {
	Key, Name, Picture string
	Right              bool
}

// practiceSet is a choice of items.
type practiceSet struct {
	value, label, empty string
	// candidates are its items, with what they cost and how often they come.
	candidates func(context.Context, *practiser) ([]practice.Candidate, error)
}

// patternSets are choices of patterns.
var patternSets = []practiceSet{
	patternSet("", "All", "", func(*practiser, lastslot.Pattern) bool { return true }),
	patternSet("slow", "Slow ones", "No pattern is rated 1 or 2, or timed as slow as that.", func(p *practiser, of lastslot.Pattern) bool { return p.records.Slow(of, p.book) }),
	patternSet("unmeasured", "Not yet measured", "All patterns have five results.", func(p *practiser, of lastslot.Pattern) bool {
		h := p.records.History(p.kind.exercise, practice.PatternItem(of))
		return !h.Seconds().Enough()
	}),
	patternSet("unlearnt", "Not learnt", "You have learnt all 57 patterns.", func(p *practiser, of lastslot.Pattern) bool { return !p.records.HasLearnt(of) }),
}

// patternSet is the choice of those patterns that it has.
func patternSet(value, label, empty string, has func(*practiser, lastslot.Pattern) bool) practiceSet {
	return practiceSet{value, label, empty, func(ctx context.Context, p *practiser) (all []practice.Candidate, err error) {
		known, err := learn.KnownOf(ctx, p.forecaster, lastslot.FR)
		if err != nil {
			return nil, fmt.Errorf("see what comes: %w", err)
		}
		step := forecast.Recognise
		if p.kind.exercise == practice.Execute {
			step = forecast.Execute
		}
		for of := lastslot.Pattern(1); of < lastslot.Patterns; of++ {
			if !has(p, of) {
				continue
			}
			// Who knows no insertion meets all outcomes alike.
			comes := float64(of.Ways()) / lastslot.Outcomes
			if cases := known.Cases - known.Without; cases > 0 {
				comes = float64(known.Leaves[of]) / float64(cases)
			}
			all = append(all, p.candidate(practice.PatternItem(of), comes, p.book.Takes(p.person, of, step)))
		}
		return all, nil
	}}
}

// practiser is whose session is made.
type practiser struct {
	records    profile.Records
	forecaster *forecast.Forecaster
	book       *forecast.Book
	person     *forecast.Person
	kind       *practiceKind
}

func newPractiser(s *Server, records profile.Records, f *forecast.Forecaster, kind *practiceKind) *practiser {
	return &practiser{records, f, profile.BookOf(s.book, records), profile.PersonOf(s.book, records, s.log), kind}
}

func (p *practiser) candidate(item practice.Item, comes float64, takes time.Duration) practice.Candidate {
	return practice.Candidate{Item: item, Comes: comes, Takes: takes, Memory: p.records.History(p.kind.exercise, item).Memory}
}

// knownInsertions are those that the person knows at the front right slot, each with the
// share of the cases in whose place it fits.
func (p *practiser) knownInsertions() (all []forecast.Candidate, comes map[practice.Item]float64) {
	comes = map[practice.Item]float64{}
	for _, place := range lastslot.Places(lastslot.FR) {
		for _, c := range p.forecaster.KnownCandidates(place) {
			item := practice.InsertionItem(*c.Insertion)
			if len(item) > practice.LongestItem {
				continue
			}
			if comes[item] == 0 {
				all = append(all, c)
			}
			comes[item] += float64(place.Cases()) / lastslot.CasesPerSlot
		}
	}
	return all, comes
}

// executable are the insertions that the person knows.
func executable(_ context.Context, p *practiser) (all []practice.Candidate, err error) {
	known, comes := p.knownInsertions()
	for _, c := range known {
		item := practice.InsertionItem(*c.Insertion)
		all = append(all, p.candidate(item, comes[item], c.Insert))
	}
	return all, nil
}

// predictable are the insertions that the person knows with one piece to track more than
// they do, or two; where there are none, those with the fewest.
func predictable(_ context.Context, p *practiser) (all []practice.Candidate, err error) {
	known, comes := p.knownInsertions()
	known = slices.DeleteFunc(known, func(c forecast.Candidate) bool { return c.Insertion.Map().Track() == 0 })
	most := max(2, profile.Tracked(p.records)+1)
	fewest := 2 * lastslot.InSlot
	for _, c := range known {
		fewest = min(fewest, c.Insertion.Map().Track())
	}
	for _, c := range known {
		if track := c.Insertion.Map().Track(); track <= max(most, fewest) {
			item := practice.InsertionItem(*c.Insertion)
			all = append(all, p.candidate(item, comes[item], p.forecaster.Tracking(track)))
		}
	}
	return all, nil
}

// draw draws a session's items of the set by what the person needs.
func (p *practiser) draw(ctx context.Context, set *practiceSet, seed uint64) ([]practice.Item, error) {
	candidates, err := set.candidates(ctx, p)
	if err != nil {
		return nil, err
	}
	return practice.Draw(candidates, practice.DayOf(time.Now()), min(practiceItems, len(candidates)), seed), nil
}

// show puts the items on the page. AUF, view, what else is on top, and the order of the
// answers follow from the seed.
func (p *practiser) show(items []practice.Item, seed uint64) (views []practiceItemView) {
	chance := rand.New(rand.NewPCG(seed, 1)) // #nosec G404 -- no secret: a partner draws the same
	for i, item := range items {
		history := p.records.History(p.kind.exercise, item)
		v := practiceItemView{Number: i + 1, Exercise: p.kind.exercise, Item: item, Median: history.Seconds().Median.Milliseconds()}
		insertion, isInsertion := item.Insertion()
		pattern, _ := item.Pattern()
		switch {
		case p.kind.exercise == practice.Predict:
			v.toPredict(p, insertion, chance)
		case isInsertion:
			v.toInsert(insertion)
		case p.kind.exercise == practice.Execute:
			v.toExecute(p, pattern)
		default:
			v.toRecognise(p, pattern, chance)
		}
		views = append(views, v)
	}
	return views
}

// answers are the pattern and what it is likeliest taken for.
func (v *practiceItemView) answers(p *practiser, right lastslot.Pattern, chance *rand.Rand) {
	v.Answer = p.records.PatternName(right)
	all := append([]lastslot.Pattern{right}, practice.Confusions(right, practiceChoices-1)...)
	chance.Shuffle(len(all), func(a, b int) { all[a], all[b] = all[b], all[a] })
	for n, answer := range all {
		v.Choices = append(v.Choices, practiceChoice{strconv.Itoa(n + 1), p.records.PatternName(answer), picture.Pattern(answer.Outcome()), answer == right})
	}
}

// topViewWords says from where a top is seen.
var topViewWords = [picture.TopViews]string{picture.WholeTop: "the hidden rows folded out", picture.SeenTop: "seen from the right", picture.OtherTop: "seen from the left"}

// toRecognise shows the pattern in an AUF and from a view.
func (v *practiceItemView) toRecognise(p *practiser, pattern lastslot.Pattern, chance *rand.Rand) {
	from := picture.TopView(chance.IntN(picture.TopViews))
	v.Name, v.Start, v.From = p.records.PatternName(pattern), "I know it", topViewWords[from]
	v.Picture = picture.Top(pattern.Outcome().Turned(chance.IntN(4)), from).SVG()
	v.answers(p, pattern, chance)
}

// toPredict shows a case for the insertion, all of whose cases come alike.
func (v *practiceItemView) toPredict(p *practiser, i lastslot.Insertion, chance *rand.Rand) {
	c := i.Case().DrawRest(chance)
	v.Name, v.Turns, v.Start = i.Turns.String(), i.Turns.String(), "I know it"
	v.Picture, v.Step = picture.PositionOf(c).Picture().SVG(), query.Option(c, i.Turns, nil)
	left, err := lastslot.Leaves(c, i.Turns)
	if err != nil {
		panic("page: an insertion does not fit its own case: " + err.Error())
	}
	v.answers(p, left.Pattern(), chance)
}

// executed are the answers to what was executed: the person judges.
var executed = []practiceChoice{{"1", "It came out right", "", true}, {"2", "It went wrong", "", false}}

// toExecute shows the pattern as the person's sequence begins, without AUF.
func (v *practiceItemView) toExecute(p *practiser, pattern lastslot.Pattern) {
	v.Name, v.Start, v.Choices = p.records.PatternName(pattern), "Let go to start", executed
	v.Turns, _ = deckSequence(p.records, pattern, p.book, p.person)
	shown := pattern.Outcome()
	if turns, err := cube.Parse(v.Turns); err == nil {
		if sequence, err := lastslot.CheckSequence(pattern, turns); err == nil {
			shown = shown.Turned(sequence.AUF(shown))
		}
	}
	v.Picture = picture.Top(shown, picture.WholeTop).SVG()
}

// toInsert shows the insertion from where its pair stands.
func (v *practiceItemView) toInsert(i lastslot.Insertion) {
	v.Name, v.Turns, v.Start, v.Choices = i.Turns.String(), i.Turns.String(), "Let go to start", executed
	v.Picture = picture.PositionOf(i.Case()).Picture().SVG()
}
