package page

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"time"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

// practiceDrawn is an item of a session.
type practiceDrawn struct {
	practice.Item
	// Case is the one to show of a place; nil for all other items.
	Case *lastslot.Case
}

// String is how an address lists it.
func (d practiceDrawn) String() string {
	if d.Case != nil {
		return d.Case.Code()
	}
	return string(d.Item)
}

// draw draws so many of a set's items, or all there are, by what the person needs.
func (p *practiser) draw(ctx context.Context, set *practiceSet, items int, seed uint64) (drawn []practiceDrawn, err error) {
	candidates, err := set.candidates(ctx, p)
	if err != nil {
		return nil, err
	}
	for _, item := range practice.Draw(candidates, practice.DayOf(time.Now()), min(items, len(candidates)), seed) {
		drawn = append(drawn, practiceDrawn{Item: item})
	}
	p.drawCases(drawn, seed)
	return drawn, nil
}

// drawCases draws a case for each place that has none, each of the place's as likely as any
// other.
func (p *practiser) drawCases(drawn []practiceDrawn, seed uint64) {
	for i := range drawn {
		place, ok := drawn[i].Place()
		if !ok || drawn[i].Case != nil {
			continue
		}
		drawn[i].Case = new(place.Draw(chanceOf(seed, i)))
	}
}

// chanceOf is by what all that is left to chance of a session's item follows from the seed,
// whatever there is of the others.
func chanceOf(seed uint64, item int) *rand.Rand {
	return rand.New(rand.NewPCG(seed, 1+uint64(item))) // #nosec G404 -- no secret: a partner has the same by the seed
}

// listedItems are those that an address lists, in its order. One may be there twice.
func listedItems(text string, kind *practiceKind) (drawn []practiceDrawn, err error) {
	parts := strings.Split(text, ",")
	if len(parts) > mostItems {
		return nil, problem.BadRequest("items", fmt.Sprintf("%d items; a session has at most %d", len(parts), mostItems))
	}
	for _, part := range parts {
		one, err := listedItem(strings.TrimSpace(part), kind)
		if err != nil {
			return nil, problem.BadRequest("items", err.Error())
		}
		drawn = append(drawn, one)
	}
	return drawn, nil
}

// listedItem is one item. A case stands for its place, and is the one to show.
func listedItem(text string, kind *practiceKind) (practiceDrawn, error) {
	if kind.ofCases() && !strings.Contains(text, "-") {
		c, err := profile.CheckCode("", text)
		if err != nil {
			return practiceDrawn{}, err
		}
		return practiceDrawn{practice.PlaceItem(c.Place()), &c}, nil
	}
	item, err := practice.ParseItem(kind.exercise, text)
	return practiceDrawn{Item: item}, err
}
