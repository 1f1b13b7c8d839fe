package page

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/practice"
	"slotcast/web/picture"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/words"
)

// mostToChoose is how many insertions there are to choose from at most, and leastToChoose at
// least.
const mostToChoose, leastToChoose = 6, 2

// choosable are the places where the person knows at least two things to do.
func choosable(ctx context.Context, p *practiser) (all []practice.Candidate, err error) {
	for _, place := range lastslot.Places(lastslot.FR) {
		known := p.forecaster.KnownCandidates(place)
		ways := len(known)
		if len(place.AUFs()) == 1 {
			ways *= len(lastslot.AUFs) // each leaves something else after each AUF
		}
		if place.Solved() {
			ways++ // doing nothing
		}
		if ways > 1 {
			all = append(all, p.placeCandidate(place))
		}
	}
	return all, nil
}

// placeCandidate is the place, which costs what it takes on average with the best insertion
// alone that the person knows: that leaves every outcome as often as any other.
func (p *practiser) placeCandidate(place lastslot.Place) practice.Candidate {
	var insert, least time.Duration
	aufs := place.AUFs()
	for _, quarters := range aufs {
		insert += p.forecaster.AUF(quarters) / time.Duration(len(aufs))
	}
	for _, c := range p.forecaster.KnownCandidates(place) {
		if takes := c.Insert + insert + p.afterwards(c.Followed); least == 0 || takes < least {
			least = takes
		}
	}
	if place.Solved() {
		least = p.afterwards(0)
	}
	return p.candidate(practice.PlaceItem(place), float64(place.Cases())/lastslot.CasesPerSlot, least)
}

// afterwards is what the person takes after an insertion on average in which so many pieces
// are followed.
func (p *practiser) afterwards(followed int) time.Duration {
	if mean, ok := p.means[followed]; ok {
		return mean
	}
	var sum time.Duration
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		sum += p.forecaster.After(o, followed)
	}
	if p.means == nil {
		p.means = map[int]time.Duration{}
	}
	p.means[followed] = sum / lastslot.Outcomes
	return p.means[followed]
}

// options are the best that the person knows for the case, the best first. Where they know
// fewer than the least, the best of all others are among them.
func (p *practiser) options(c lastslot.Case, least int) []forecast.Option {
	options := p.forecaster.Forecast(forecast.Request{Case: c, View: forecast.KnownFirst, Limit: mostToChoose})
	unknown := slices.IndexFunc(options, func(o forecast.Option) bool { return !o.Known })
	if unknown >= 0 {
		options = options[:max(unknown, least)]
	}
	slices.SortStableFunc(options, func(a, b forecast.Option) int { return int(a.Seconds.Total() - b.Seconds.Total()) })
	return options
}

// optionName is what is to be done.
func (p *practiser) optionName(o forecast.Option) string {
	if len(o.Turns) == 0 {
		return "Do nothing"
	}
	return p.records.Appearance().Notated(o.Turns.String())
}

// placeCaseWords say which case of which place it is.
func placeCaseWords(c lastslot.Case) string {
	return words.Capital(words.Place(c.Place())) + ", " + c.Code()
}

// toChoose shows the case, what there is to choose from, and what each takes.
func (v *practiceItemView) toChoose(ctx context.Context, p *practiser, c lastslot.Case, chance *rand.Rand) error {
	v.Name = placeCaseWords(c)
	v.Picture = picture.PositionOf(c).Picture().SVG()
	options := p.options(c, leastToChoose)
	best := options[0]
	name := p.optionName
	v.Answer, v.Step = name(best), query.Option(c, best.Turns, nil)
	v.More = []linkView{{Label: "All options", Path: "/case/" + c.Code()}}
	plan, err := p.plan(ctx, c.Place())
	if err != nil {
		return err
	}
	planned := ""
	if o := plannedOption(plan, c, options); o != nil {
		planned = fmt.Sprintf(" Your plan here takes %s.", name(*o))
		v.More = append(v.More, linkView{Label: "Your plan", Path: "/plan/" + c.Place().String()})
	}
	chance.Shuffle(len(options), func(a, b int) { options[a], options[b] = options[b], options[a] })
	for n, o := range options {
		total := o.Seconds.Total()
		choice := practiceChoice{
			Key: strconv.Itoa(n + 1), Name: name(o), Turns: len(o.Turns) > 0, Right: forecast.Near(total, best.Seconds.Total()),
			Told: fmt.Sprintf("%s s, leaves %s", words.Seconds(total), p.records.PatternName(o.Leaves.Pattern())),
		}
		switch {
		case total == best.Seconds.Total():
			choice.Said = fmt.Sprintf("%s takes %s s: nothing here takes less.", choice.Name, words.Seconds(total))
		case choice.Right:
			choice.Said = fmt.Sprintf("%s takes %s s, as good as the %s s of %s.", choice.Name, words.Seconds(total), words.Seconds(best.Seconds.Total()), v.Answer)
		default:
			choice.Said = fmt.Sprintf("%s takes %s s. %s takes %s s: it would have saved %s s.", choice.Name, words.Seconds(total), v.Answer, words.Seconds(best.Seconds.Total()), words.Seconds(total-best.Seconds.Total()))
		}
		choice.Said += planned
		v.Choices = append(v.Choices, choice)
	}
	return nil
}

// plan is the person's for the place, nil where they have none.
func (p *practiser) plan(ctx context.Context, place lastslot.Place) (*learn.Plan, error) {
	if plan, ok := p.plans[place]; ok {
		return plan, nil
	}
	plan, err := learn.PlanOf(ctx, p.forecaster, place, true)
	if err != nil {
		return nil, fmt.Errorf("find the plan of a place: %w", err)
	}
	if plan != nil && plan.Saves() < learn.GroupsLose {
		plan = nil // as its card says
	}
	if p.plans == nil {
		p.plans = map[lastslot.Place]*learn.Plan{}
	}
	p.plans[place] = plan
	return plan, nil
}

// plannedOption is what the plan takes in the case, nil where there is no plan or it is not
// among the options.
func plannedOption(plan *learn.Plan, c lastslot.Case, options []forecast.Option) *forecast.Option {
	if plan == nil {
		return nil
	}
	of := func(part *learn.PlanPart) *forecast.Option {
		at := slices.IndexFunc(options, func(o forecast.Option) bool {
			slot, turns := o.Insertion(c.Slot)
			_, auf, _ := o.Split()
			return slices.Equal(turns, part.Insertion) && (len(turns) == 0 || slot == part.Slot) && (len(c.Place().AUFs()) > 1 || slices.Equal(auf, part.AUF))
		})
		if at < 0 {
			return nil
		}
		return new(options[at])
	}
	if first := of(&plan.Predict); first != nil && slices.Contains(plan.Accept, first.Leaves.Pattern()) {
		return first
	}
	return of(&plan.Otherwise)
}

// tellChosen says how often the person chose right so far.
func (v *practiceView) tellChosen(records profile.Records, exercise practice.Exercise) {
	tries, right := 0, 0
	for i := range records.Practised {
		if of := &records.Practised[i]; of.Exercise == exercise {
			tries += of.Tries
			right += of.Right
		}
	}
	v.Measured = "You have chosen nothing yet."
	if tries > 0 {
		v.Measured = fmt.Sprintf("You chose right in %s of %s cases.", words.Thousands(right), words.Thousands(tries))
	}
}
