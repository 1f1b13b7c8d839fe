package page

import (
	"context"
	"math/rand/v2"
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
	"slotcast/web/session"
	"slotcast/web/words"
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
	// Scramble leads to the case, "" for none.
	Scramble string
	// Turns are those to execute or to follow, "" for none.
	Turns   string
	Choices []practiceChoice
	// Name is the item's, Answer the right answer's.
	Name, Answer string
	// Step is where the turns are shown one by one, "" for nowhere.
	Step string
	// More leads to what else there is to the case, nil for nothing.
	More []linkView
	// Median are the milliseconds that the person took so far, 0 for nothing yet.
	Median int64
}

// practiceChoice is an answer. Said is what is said of it where that is more than whether it
// is right, and Told what stands beside it then.
type practiceChoice struct {
	Key, Name, Picture, Said, Told string
	// Turns says that the name is written in turns.
	Turns bool
	// Left is the number of the pattern that a whole solve came to, "" for an answer that says
	// none; More has all other patterns shown.
	Left  string
	More  bool
	Right bool
}

// practiser is whose session is made.
type practiser struct {
	records    profile.Records
	forecaster *forecast.Forecaster
	book       *forecast.Book
	person     *forecast.Person
	kind       *practiceKind
	profile    *profile.Profile
	sessions   *session.Sessions
	// place is that which the set is of, nil for none.
	place *lastslot.Place
	// cases are those to show of places, where it is not any.
	cases map[practice.Item][]lastslot.Case
	// What was worked out so far: the plans of places, nil for none, and what follows an
	// insertion on average, by how many pieces are followed.
	plans map[lastslot.Place]*learn.Plan
	means map[int]time.Duration
}

func newPractiser(s *Server, visitor session.Visitor, f *forecast.Forecaster, kind *practiceKind) *practiser {
	records := visitor.Records
	return &practiser{
		records: records, forecaster: f, book: profile.BookOf(s.book, records), person: profile.PersonOf(s.book, records, s.log), kind: kind,
		profile: visitor.Profile, sessions: s.sessions,
	}
}

func (p *practiser) candidate(item practice.Item, comes float64, takes time.Duration) practice.Candidate {
	return practice.Candidate{Item: item, Comes: comes, Takes: takes, Memory: p.records.History(p.kind.exercise, item).Memory}
}

// show puts the items on the page. AUF, view, what else is on top, and the order of the
// answers follow from the session's number.
func (p *practiser) show(ctx context.Context, items []practiceDrawn, seed uint64) (views []practiceItemView, err error) {
	for i, drawn := range items {
		item, chance := drawn.Item, chanceOf(seed, i)
		history := p.records.History(p.kind.exercise, item)
		v := practiceItemView{Number: i + 1, Exercise: p.kind.exercise, Item: item, Median: history.Seconds().Median.Milliseconds()}
		insertion, isInsertion := item.Insertion()
		pattern, _ := item.Pattern()
		switch {
		case p.kind.exercise == practice.Choose:
			err = v.toChoose(ctx, p, *drawn.Case, chance)
		case p.kind.exercise == practice.Slots:
			v.toSlots(p, *drawn.Two, chance)
		case p.kind.exercise == practice.Whole:
			v.toWhole(p, *drawn.Case, chance)
		case p.kind.exercise == practice.Predict:
			onlyEdges, only := item.Edges()
			if only {
				insertion = onlyEdges
			}
			v.toPredict(p, insertion, only, chance)
		case isInsertion:
			v.toInsert(insertion)
		case p.kind.exercise == practice.Execute:
			v.toExecute(p, pattern)
		default:
			v.toRecognise(p, pattern, chance)
		}
		if err != nil {
			return nil, err
		}
		views = append(views, v)
	}
	return views, nil
}

// answers are the pattern and what it is likeliest taken for.
func (v *practiceItemView) answers(p *practiser, right lastslot.Pattern, chance *rand.Rand) {
	v.Answer = p.records.PatternName(right)
	all := append([]lastslot.Pattern{right}, practice.Confusions(right, practiceChoices-1)...)
	chance.Shuffle(len(all), func(a, b int) { all[a], all[b] = all[b], all[a] })
	for n, answer := range all {
		v.Choices = append(v.Choices, practiceChoice{Key: strconv.Itoa(n + 1), Name: p.records.PatternName(answer), Picture: picture.Pattern(answer.Outcome()), Right: answer == right})
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

// toPredict shows a case for the insertion, all of whose cases come alike. Where only the edges
// are said, these are the answers, always in the same order.
func (v *practiceItemView) toPredict(p *practiser, i lastslot.Insertion, edges bool, chance *rand.Rand) {
	c := i.Case().DrawRest(chance)
	v.Name, v.Turns, v.Start = i.Turns.String(), i.Turns.String(), "I know it"
	v.Picture, v.Step = picture.PositionOf(c).Picture().SVG(), query.Option(c, i.Turns, nil)
	left, err := lastslot.Leaves(c, i.Turns)
	if err != nil {
		panic("page: an insertion does not fit its own case: " + err.Error())
	}
	if !edges {
		v.answers(p, left.Pattern(), chance)
		return
	}
	v.Name += ", edges"
	for n, group := range edgeGroups {
		answer := practiceChoice{Key: strconv.Itoa(n + 1), Name: group.title, Right: left.Edges() == group.edges, Told: group.words}
		if answer.Right {
			v.Answer = answer.Name
		}
		v.Choices = append(v.Choices, answer)
	}
}

// executed are the answers to what was executed: the person judges.
var executed = []practiceChoice{{Key: "1", Name: "It came out right", Right: true}, {Key: "2", Name: "It went wrong"}}

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

// itemName is what people call the item.
func itemName(records profile.Records, item practice.Item) string {
	if p, ok := item.Pattern(); ok {
		return records.PatternName(p)
	}
	if insertion, ok := item.Insertion(); ok {
		return insertion.Turns.String()
	}
	if insertion, ok := item.Edges(); ok {
		return insertion.Turns.String() + ", edges"
	}
	if open, ok := item.Open(); ok {
		return words.Capital(open.Words())
	}
	if place, ok := item.Place(); ok {
		return words.Capital(words.Place(place))
	}
	return string(item)
}
