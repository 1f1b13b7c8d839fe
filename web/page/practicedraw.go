package page

import (
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/forecast/twoslots"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

// practiceDrawn is an item of a session.
type practiceDrawn struct {
	practice.Item
	// Case is the one to show of a place; nil for all other items.
	Case *lastslot.Case
	// Two is the one to show of two open slots.
	Two *twoslots.Case
}

// String is how an address lists it.
func (d practiceDrawn) String() string {
	switch {
	case d.Case != nil:
		return d.Case.Code()
	case d.Two != nil:
		return d.Two.Code()
	}
	return string(d.Item)
}

// draw draws so many of a set's items, or all there are, by what the person needs.
func (p *practiser) draw(ctx context.Context, set *practiceSet, items int, seed uint64) (drawn []practiceDrawn, err error) {
	candidates, err := set.candidates(ctx, p)
	if err != nil {
		return nil, err
	}
	if of := p.caseCount(); of > 0 {
		items = min(items, of)
	} else if !set.repeats {
		items = min(items, len(candidates))
	}
	for _, item := range practice.Draw(candidates, practice.DayOf(time.Now()), items, seed) {
		drawn = append(drawn, practiceDrawn{Item: item})
	}
	p.drawListed(drawn, seed)
	p.drawCases(drawn, seed)
	return drawn, nil
}

// caseCount is how many cases there are to show, 0 for any.
func (p *practiser) caseCount() (n int) {
	for _, cases := range p.cases {
		n += len(cases)
	}
	return n
}

// drawListed gives each place one of the cases to show of it, in an order by chance. A place that
// was drawn more often than it has cases gives way to what is left of the others.
func (p *practiser) drawListed(drawn []practiceDrawn, seed uint64) {
	if len(p.cases) == 0 {
		return
	}
	chance := rand.New(rand.NewPCG(seed, 0)) // #nosec G404 -- no secret: a partner draws the same
	var left []lastslot.Case
	for _, item := range slices.Sorted(maps.Keys(p.cases)) {
		left = append(left, p.cases[item]...)
	}
	chance.Shuffle(len(left), func(a, b int) { left[a], left[b] = left[b], left[a] })
	for i := range drawn {
		at := max(0, slices.IndexFunc(left, func(c lastslot.Case) bool { return practice.PlaceItem(c.Place()) == drawn[i].Item }))
		drawn[i] = practiceDrawn{Item: practice.PlaceItem(left[at].Place()), Case: new(left[at])}
		left = slices.Delete(left, at, at+1)
	}
}

// drawCases draws a case for each place and each pair of open slots that has none, each as
// likely as any other.
func (p *practiser) drawCases(drawn []practiceDrawn, seed uint64) {
	for i := range drawn {
		if open, ok := drawn[i].Open(); ok && drawn[i].Two == nil {
			drawn[i].Two = new(drawTwo(open, chanceOf(seed, i)))
		}
		place, ok := drawn[i].Place()
		if !ok || drawn[i].Case != nil {
			continue
		}
		drawn[i].Case = new(place.Draw(chanceOf(seed, i)))
	}
}

// chanceOf decides what is left to chance of a session's item: by the session's number and the
// item's place alone, whatever there is of the others.
func chanceOf(seed uint64, item int) *rand.Rand {
	return rand.New(rand.NewPCG(seed, 1+uint64(item))) // #nosec G404 -- no secret: a partner draws the same
}

// listedItems are those that an address lists, in its order. One may be there twice.
func listedItems(texts []string, kind *practiceKind) (drawn []practiceDrawn, err error) {
	parts := listedParts(texts, kind)
	if len(parts) > mostItems {
		return nil, problem.BadRequest("items", fmt.Sprintf("%d items; a session has at most %d", len(parts), mostItems))
	}
	if len(parts) == 0 {
		return nil, problem.BadRequest("items", "nothing is listed: choose at least one")
	}
	for _, part := range parts {
		one, err := listedItem(part, kind)
		if err != nil {
			return nil, problem.BadRequest("items", err.Error())
		}
		drawn = append(drawn, one)
	}
	return drawn, nil
}

// listedParts are the items as they are written: with commas between them or on lines of their
// own, patterns and cases with spaces as well, as in a form.
func listedParts(texts []string, kind *practiceKind) (parts []string) {
	apart := ",\n"
	if kind.exercise != practice.Predict && kind.exercise != practice.Execute {
		apart += " "
	}
	for _, text := range texts {
		for part := range strings.FieldsFuncSeq(text, func(r rune) bool { return strings.ContainsRune(apart, r) }) {
			if part = strings.TrimSpace(part); part != "" {
				parts = append(parts, part)
			}
		}
	}
	return parts
}

// listedTwo is a case with two slots open.
func listedTwo(code string) (practiceDrawn, error) {
	c, err := twoslots.ParseCode(code)
	if err != nil {
		return practiceDrawn{}, err
	}
	return practiceDrawn{Item: practice.OpenItem(c.Open), Two: &c}, nil
}

// listedItem is one item. A case stands for its place, and is the one to show.
func listedItem(text string, kind *practiceKind) (practiceDrawn, error) {
	if kind.exercise == practice.Slots {
		return listedTwo(text)
	}
	if kind.ofCases() && !strings.Contains(text, "-") {
		c, err := profile.CheckCode("", text)
		if err != nil {
			return practiceDrawn{}, err
		}
		return practiceDrawn{Item: practice.PlaceItem(c.Place()), Case: &c}, nil
	}
	item, err := practice.ParseItem(kind.exercise, text)
	return practiceDrawn{Item: item}, err
}
