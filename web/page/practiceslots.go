package page

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/practice"
	"slotcast/forecast/routes"
	"slotcast/forecast/technique"
	"slotcast/forecast/twoslots"
	"slotcast/web/words"
)

// mostFirst is how many steps there are to choose from at most: one or two for each slot.
const mostFirst = 4

// openPairs are the pairs of open slots that are adjacent, or those that are not.
func openPairs(pairs ...bool) func(context.Context, *practiser) ([]practice.Candidate, error) {
	return func(_ context.Context, p *practiser) (all []practice.Candidate, err error) {
		for o := range twoslots.Open(twoslots.Opens) {
			if slices.Contains(pairs, o.Adjacent()) {
				// Each pair is met as often, and what it costs is not known before the case is.
				all = append(all, p.candidate(practice.OpenItem(o), 1, time.Second))
			}
		}
		return all, nil
	}
}

// firstStep tells apart what there is to choose from: which slot is filled, and whether by keyhole,
// by pseudo-slotting or by neither.
type firstStep struct {
	fills     string
	technique technique.Technique
}

// firstRoutes are the best route for each first step, the best first: of what the person knows, or
// of everything where that leaves nothing to choose.
func (p *practiser) firstRoutes(c twoslots.Case) (best []routes.Route) {
	ranking := p.sessions.Routes(p.forecaster)
	for _, view := range []forecast.View{forecast.Known, forecast.All} {
		best = nil
		seen := map[firstStep]bool{}
		list, _ := ranking.Routes(routes.Request{Case: c, View: view})
		for i := range list {
			of := firstStep{fills: list[i].Fills.String()}
			for _, t := range list[i].Techniques(c) {
				if t == technique.Keyhole || t == technique.PseudoSlotting {
					of.technique = t
				}
			}
			if !seen[of] && len(best) < mostFirst {
				seen[of] = true
				best = append(best, list[i])
			}
		}
		if len(best) > 1 {
			return best
		}
	}
	return best
}

// toSlots shows a case with two slots open, and what there is to do first.
func (v *practiceItemView) toSlots(p *practiser, c twoslots.Case, chance *rand.Rand) {
	v.Name = words.Capital(c.Open.Words()) + ", " + c.Code()
	for _, seen := range openPictures(c) {
		v.Picture += seen.position.Picture().SVG()
	}
	list := p.firstRoutes(c)
	best := list[0]
	name := func(r *routes.Route) string {
		turns := "nothing"
		if len(r.Step.Turns) > 0 {
			turns = p.records.Appearance().Notated(r.Step.Turns.String())
		}
		return words.Capital(r.Fills.Words()) + ": " + turns
	}
	v.Answer = name(&best)
	v.More = []linkView{{Label: "All of them", Path: "/routes/" + c.Code()}}
	chance.Shuffle(len(list), func(a, b int) { list[a], list[b] = list[b], list[a] })
	for n := range list {
		r := &list[n]
		told := []string{words.Seconds(r.Total) + " s"}
		for _, t := range r.Techniques(c) {
			told = append(told, string(t))
		}
		choice := practiceChoice{Key: strconv.Itoa(n + 1), Name: name(r), Turns: true, Right: r.Near(&best), Told: strings.Join(told, ", ")}
		switch {
		case r.Total == best.Total:
			choice.Said = fmt.Sprintf("%s takes %s s: nothing here takes less.", choice.Name, words.Seconds(r.Total))
		case choice.Right:
			choice.Said = fmt.Sprintf("%s takes %s s, as good as the %s s of %s.", choice.Name, words.Seconds(r.Total), words.Seconds(best.Total), v.Answer)
		default:
			choice.Said = fmt.Sprintf("%s takes %s s. %s takes %s s: it would have saved %s s.", choice.Name, words.Seconds(r.Total), v.Answer, words.Seconds(best.Total), words.Seconds(r.Total-best.Total))
		}
		v.Choices = append(v.Choices, choice)
	}
}

// drawTwo draws a case of the pair of slots, each as likely as any other in which neither is
// filled.
func drawTwo(open twoslots.Open, chance *rand.Rand) twoslots.Case {
	for {
		c := twoslots.CaseAt(int(open)*twoslots.CasesPerOpen + chance.IntN(twoslots.CasesPerOpen))
		if slots := open.Slots(); !c.Filled(slots[0]) && !c.Filled(slots[1]) {
			return c
		}
	}
}
