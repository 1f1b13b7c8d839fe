package tap

import (
	"fmt"
	"net/http"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/web/problem"
)

// Spots is the most spots of corners, and of edges, that a figure can have: four on top,
// the slot's, and the second slot's.
const (
	Spots    = twoslots.Spots
	inSlot   = twoslots.First
	inSecond = twoslots.Second
)

// Figure is what was told of a case by stickers. The pairs' pieces have to be
// told; of the others, what was not told is oriented, but for one corner and one
// edge where it cannot be: see [Figure.Rest].
type Figure struct {
	// Slot is open, and Second too; they are the same where one is open.
	Slot, Second lastslot.Slot
	// Pairs are where the pieces of their pairs are.
	Pairs [2]Pair
	// Corners and Edges have, for each spot, which of its stickers shows the top
	// colour, or Unset.
	Corners, Edges [Spots]int
}

// Pair is where the pieces of a pair are.
type Pair struct{ Corner, Edge Sticker }

// Sticker is one of a spot's, numbered as its place's facelets are: so it is also
// the twist or the flip of a piece that shows there what it is told by.
type Sticker struct{ Spot, Turned int }

// Unset is the number of a spot, twist or flip that is not set.
const Unset = -1

// Empty is one of which nothing was told but the slot.
func Empty(slot lastslot.Slot) Figure { return EmptyTwo(slot, slot) }

// EmptyTwo is one of which nothing was told but the two slots.
func EmptyTwo(slot, second lastslot.Slot) Figure {
	f := Figure{Slot: slot, Second: second}
	for i := range f.Pairs {
		f.Pairs[i] = Pair{Sticker{Spot: Unset}, Sticker{Spot: Unset}}
	}
	for spot := range Spots {
		f.Corners[spot], f.Edges[spot] = Unset, Unset
	}
	return f
}

// Two says whether two slots are open.
func (f Figure) Two() bool { return f.Second != f.Slot }

// Slots are the open slots.
func (f Figure) Slots() []lastslot.Slot {
	if f.Two() {
		return []lastslot.Slot{f.Slot, f.Second}
	}
	return []lastslot.Slot{f.Slot}
}

// Spots is how many spots of corners, and of edges, there are.
func (f Figure) Spots() int {
	if f.Two() {
		return Spots
	}
	return lastslot.Spots
}

// SlotOf is the slot that a spot is in, or whose pair is told by the same colours.
func (f Figure) SlotOf(spot int) lastslot.Slot {
	if spot == inSecond {
		return f.Second
	}
	return f.Slot
}

// CornerPlace is the place of a corner spot.
func (f Figure) CornerPlace(spot int) cube.CornerPlace {
	return f.SlotOf(spot).CornerPlace(min(spot, lastslot.InSlot))
}

// EdgePlace is the place of an edge spot.
func (f Figure) EdgePlace(spot int) cube.EdgePlace {
	return f.SlotOf(spot).EdgePlace(min(spot, lastslot.InSlot))
}

// EdgeFaces has the names of the faces of an edge spot, by flip.
func (f Figure) EdgeFaces(spot int) []string {
	return EdgeFaces(f.SlotOf(spot), min(spot, lastslot.InSlot))
}

// OfCorner is the pair whose corner is in the spot, or Unset; OfEdge likewise.
func (f Figure) OfCorner(spot int) int {
	return slices.IndexFunc(f.Pairs[:], func(p Pair) bool { return p.Corner.Spot == spot })
}

// OfEdge is the pair whose edge is in the spot, or Unset.
func (f Figure) OfEdge(spot int) int {
	return slices.IndexFunc(f.Pairs[:], func(p Pair) bool { return p.Edge.Spot == spot })
}

// restOrder is in which order spots that were not told take what is left of
// twists and flips: first the slots, where neither way is the usual one, then
// those that are hardest to look at.
var restOrder = [Spots]int{inSlot, inSecond, 0, 1, 2, 3}

// Of tells a case in the fewest taps.
func Of(c lastslot.Case) Figure {
	f := Empty(c.Slot)
	f.Pairs[0] = Pair{Sticker{c.Corner, c.Twists[c.Corner]}, Sticker{c.Edge, c.Flips[c.Edge]}}
	return f.with(c.Twists[:], c.Flips[:])
}

// OfTwo tells a case with two slots open in the fewest taps.
func OfTwo(c twoslots.Case) Figure {
	slots := c.Open.Slots()
	f := EmptyTwo(slots[0], slots[1])
	for i := range f.Pairs {
		corner, edge := c.Corners[i], c.Edges[i]
		f.Pairs[i] = Pair{Sticker{corner, c.Twists[corner]}, Sticker{edge, c.Flips[edge]}}
	}
	return f.with(c.Twists[:], c.Flips[:])
}

// with tells what is not oriented and does not follow from the others.
func (f Figure) with(twists, flips []int) Figure {
	cornerRest, edgeRest := f.Rest()
	for spot := range twists {
		if spot != cornerRest && twists[spot] != 0 && f.OfCorner(spot) == Unset {
			f.Corners[spot] = twists[spot]
		}
		if spot != edgeRest && flips[spot] != 0 && f.OfEdge(spot) == Unset {
			f.Edges[spot] = flips[spot]
		}
	}
	return f
}

// Complete says whether the pairs were told.
func (f Figure) Complete() bool {
	for i := range f.Slots() {
		if f.Pairs[i].Corner.Spot == Unset || f.Pairs[i].Edge.Spot == Unset {
			return false
		}
	}
	return true
}

// Rest is the corner spot and the edge spot that take what the others leave, as
// twists add up to a multiple of three and flips to an even number. They are
// Unset where all were told.
func (f Figure) Rest() (corner, edge int) {
	first := func(set *[Spots]int, of func(spot int) int) int {
		for _, spot := range restOrder {
			if spot < f.Spots() && set[spot] == Unset && of(spot) == Unset {
				return spot
			}
		}
		return Unset
	}
	return first(&f.Corners, f.OfCorner), first(&f.Edges, f.OfEdge)
}

// Assumed is how many last-layer pieces are taken as oriented because nothing was said of
// them and nothing follows from the others.
func (f Figure) Assumed() (n int) {
	corner, edge := f.Rest()
	for spot := range f.Spots() {
		if spot != corner && f.Corners[spot] == Unset && f.OfCorner(spot) == Unset {
			n++
		}
		if spot != edge && f.Edges[spot] == Unset && f.OfEdge(spot) == Unset {
			n++
		}
	}
	return n
}

// Turned are all twists and flips, as far as they were told and follow from that.
func (f Figure) Turned() (twists, flips [Spots]int) {
	fill := func(set *[Spots]int, pairs [2]Sticker, rest, states int) (all [Spots]int) {
		sum := 0
		for spot := range f.Spots() {
			turned := set[spot]
			for _, pair := range pairs {
				if spot == pair.Spot {
					turned = pair.Turned
				}
			}
			all[spot] = max(turned, 0)
			sum += all[spot]
		}
		untold := slices.ContainsFunc(pairs[:len(f.Slots())], func(pair Sticker) bool { return pair.Spot == Unset })
		if rest != Unset && !untold {
			all[rest] = (states - sum%states) % states
		}
		return all
	}
	corner, edge := f.Rest()
	return fill(&f.Corners, [2]Sticker{f.Pairs[0].Corner, f.Pairs[1].Corner}, corner, 3),
		fill(&f.Edges, [2]Sticker{f.Pairs[0].Edge, f.Pairs[1].Edge}, edge, 2)
}

// Missing is the slot and the piece of its pair, corner or edge, that is to be told next,
// "" where all are.
func (f Figure) Missing() (slot lastslot.Slot, piece string) {
	for i, slot := range f.Slots() {
		switch {
		case f.Pairs[i].Corner.Spot == Unset:
			return slot, "corner"
		case f.Pairs[i].Edge.Spot == Unset:
			return slot, "edge"
		}
	}
	return f.Slot, ""
}

// Case is the case with one slot open that was told. An error is a [*problem.Problem].
func (f Figure) Case() (lastslot.Case, error) {
	if err := f.told(); err != nil {
		return lastslot.Case{}, err
	}
	c := lastslot.Case{Slot: f.Slot, Corner: f.Pairs[0].Corner.Spot, Edge: f.Pairs[0].Edge.Spot}
	twists, flips := f.Turned()
	copy(c.Twists[:], twists[:])
	copy(c.Flips[:], flips[:])
	c, err := lastslot.NewCase(c)
	return c, impossible(err)
}

// TwoCase is the case with two slots open that was told. An error is a [*problem.Problem].
func (f Figure) TwoCase() (twoslots.Case, error) {
	if err := f.told(); err != nil {
		return twoslots.Case{}, err
	}
	c := twoslots.Case{Open: twoslots.OpenOf(f.Slot, f.Second)}
	// Of a case the slots are in their own order.
	swap := f.Slot > f.Second
	at := func(spot int) int {
		if swap && spot >= inSlot {
			return inSlot + inSecond - spot
		}
		return spot
	}
	for i, pair := range f.Pairs {
		if swap {
			i = 1 - i
		}
		c.Corners[i], c.Edges[i] = at(pair.Corner.Spot), at(pair.Edge.Spot)
	}
	twists, flips := f.Turned()
	for spot := range Spots {
		c.Twists[at(spot)], c.Flips[at(spot)] = twists[spot], flips[spot]
	}
	c, err := twoslots.NewCase(c)
	return c, impossible(err)
}

// told is an error where something of a pair is to be told.
func (f Figure) told() error {
	switch slot, piece := f.Missing(); {
	case piece != "" && f.Two():
		return problem.BadRequest("top", fmt.Sprintf("tap where the %s of the %s pair is", piece, slot.Words()))
	case piece != "":
		return problem.BadRequest("top", fmt.Sprintf("tap where the pair’s %s is", piece))
	}
	return nil
}

func impossible(err error) error {
	if err == nil {
		return nil
	}
	return &problem.Problem{Status: http.StatusUnprocessableEntity, Title: "No puzzle shows this", Detail: err.Error(), Field: "top"}
}
