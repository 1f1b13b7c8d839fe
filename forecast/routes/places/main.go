// Places counts how often each place of the pair is met before the last slot, and writes
// the table places.tsv; its only argument is the file's name.
// "go generate ./forecast/routes/places" calls it.
//
// Random positions with the cross solved are solved slot by slot, as somebody of whom
// nothing is known does it: always the pair that is the quickest by what they know comes
// next. A piece in another open slot is taken out first, with three turns of a side, after
// the AUF by which both together take least.
package main

import (
	"bytes"
	"fmt"
	"log"
	"math/rand/v2"
	"os"
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

//go:generate go run . places.tsv

// positions is how many are solved, from the first seed on.
const positions = 400_000

func main() {
	if len(os.Args) != 2 {
		log.Fatal("places: name the file to write")
	}
	if err := run(os.Args[1]); err != nil {
		log.Fatal("places: ", err)
	}
}

func run(name string) error {
	book, err := forecast.Load()
	if err != nil {
		return err
	}
	start := time.Now()
	counts := newSolver(book).count(positions)
	log.Printf("%d positions in %v", positions, time.Since(start).Round(time.Millisecond))
	return os.WriteFile(name, table(counts), 0o644) // #nosec G306 G703 -- a command that writes a committed file where it is told
}

// table is the file: a line for each place, its name and how often it was met.
func table(counts map[lastslot.Place]int) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# Made by counting; do not edit. How often each place of the last slot’s pair was met in %d random positions.\n", positions)
	for slot := range lastslot.Slot(lastslot.Slots) {
		for _, place := range lastslot.Places(slot) {
			fmt.Fprintf(&b, "%s\t%d\n", place, counts[place])
		}
	}
	return b.Bytes()
}

// solver solves slots by what is known.
type solver struct {
	// known has, for each slot and place of the pair, the quickest insertion that is known.
	known [lastslot.Slots][lastslot.PairPlaces]known
	// out has, for each slot, the ways to take a piece out of it.
	out [lastslot.Slots][]known
}

// known is what somebody knows to do: its turns, what they do, and how long they take.
type known struct {
	effect cube.Cube
	takes  time.Duration
}

func newSolver(book *forecast.Book) *solver {
	s := &solver{}
	person := forecast.Anyone()
	f := book.For(person)
	for index := range lastslot.Cases {
		c := lastslot.CaseAt(index)
		if at := &s.known[c.Slot][c.PairPlace()]; at.takes == 0 {
			*at = quickest(f.Forecast(forecast.Request{Case: c, View: forecast.Known}))
		}
	}
	for slot, side := range [lastslot.Slots]cube.Turn{
		lastslot.FR: cube.TurnOf(cube.R, 1), lastslot.FL: cube.TurnOf(cube.L, -1),
		lastslot.BL: cube.TurnOf(cube.L, 1), lastslot.BR: cube.TurnOf(cube.R, -1),
	} {
		for _, auf := range lastslot.AUFs {
			for _, top := range lastslot.AUFs[1:] {
				turns := cube.Join(auf, cube.Sequence{side}, top, cube.Sequence{side.Inverse()})
				s.out[slot] = append(s.out[slot], knownOf(turns, person.Estimate(turns)))
			}
		}
	}
	return s
}

func quickest(options []forecast.Option) known {
	best := options[0]
	for _, o := range options {
		if o.Seconds.Insert() < best.Seconds.Insert() {
			best = o
		}
	}
	// What takes no time is doing nothing, and is told from what was not looked at.
	return knownOf(best.Turns, max(1, best.Seconds.Insert()))
}

// knownOf has the effect as it is seen in the hold in which the turns begin.
func knownOf(turns cube.Sequence, takes time.Duration) known {
	effect, _ := lastslot.Effect(turns)
	return known{effect, takes}
}

// count solves positions until one slot is open, and counts the places of its pair.
func (s *solver) count(positions int) map[lastslot.Place]int {
	counts := map[lastslot.Place]int{}
	random := rand.New(rand.NewPCG(15, 16)) // #nosec G404 -- a fixed seed, so that the table is always the same
	for range positions {
		position, slot := drawn(random), lastslot.Slot(0)
		open := []lastslot.Slot{lastslot.FR, lastslot.FL, lastslot.BL, lastslot.BR}
		for len(open) > 1 {
			slot, position = s.next(position, open)
			open = slices.DeleteFunc(open, func(o lastslot.Slot) bool { return o == slot })
		}
		c, _ := alone(&position, open[0])
		counts[c.Place()]++
	}
	return counts
}

// next fills the slot whose pair is the quickest, and says which it was.
func (s *solver) next(position cube.Cube, open []lastslot.Slot) (filled lastslot.Slot, after cube.Cube) {
	least := time.Hour
	offer := func(slot lastslot.Slot, from cube.Cube, before time.Duration) {
		if c, ok := alone(&from, slot); ok {
			if k := &s.known[slot][c.PairPlace()]; before+k.takes < least {
				least, filled, after = before+k.takes, slot, from.Then(k.effect)
			}
		}
	}
	for _, slot := range open {
		offer(slot, position, 0)
		if _, free := alone(&position, slot); free {
			continue
		}
		for _, other := range open {
			if other == slot {
				continue
			}
			for i := range s.out[other] {
				offer(slot, position.Then(s.out[other][i].effect), s.out[other][i].takes)
			}
		}
	}
	if least == time.Hour {
		// Both pieces are in different slots: one is taken out first.
		return s.next(position.Then(s.out[open[0]][0].effect), open)
	}
	return filled, after
}

// alone is the last-slot case of the slot's pair, as if all else were solved; false where
// a piece of it is in another slot.
func alone(position *cube.Cube, slot lastslot.Slot) (c lastslot.Case, ok bool) {
	c = lastslot.Case{Slot: slot, Corner: -1, Edge: -1}
	for spot := range lastslot.Spots {
		if at := position.Corners[slot.CornerPlace(spot)]; at.Piece() == slot.Corner() {
			c.Corner, c.Twists[spot] = spot, at.Twist()
		}
		if at := position.Edges[slot.EdgePlace(spot)]; at.Piece() == slot.Edge() {
			c.Edge, c.Flips[spot] = spot, at.Flip()
		}
	}
	return c, c.Corner >= 0 && c.Edge >= 0
}

// drawn is a random position with the cross solved.
func drawn(random *rand.Rand) cube.Cube {
	c := cube.Solved
	corners, edges := random.Perm(cube.CornerPlaces), random.Perm(int(cube.DF))
	if odd(corners) != odd(edges) {
		edges[0], edges[1] = edges[1], edges[0]
	}
	twists, flips := 0, 0
	for place, piece := range corners {
		twist := random.IntN(3)
		if place == len(corners)-1 {
			twist = (3 - twists%3) % 3
		}
		twists += twist
		c.Corners[place] = cube.CornerAs(cube.CornerPlace(piece), twist)
	}
	for place, piece := range edges {
		flip := random.IntN(2)
		if place == len(edges)-1 {
			flip = flips % 2
		}
		flips += flip
		c.Edges[place] = cube.EdgeAs(cube.EdgePlace(piece), flip)
	}
	return c
}

// odd says whether an odd number of swaps makes the order.
func odd(order []int) bool {
	swaps := 0
	for i := range order {
		for j := range i {
			if order[j] > order[i] {
				swaps++
			}
		}
	}
	return swaps%2 == 1
}
