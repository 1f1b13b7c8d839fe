package practice

import (
	"fmt"
	"strconv"
	"strings"
	"sync"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// Exercise is a kind of practice.
type Exercise uint8

// The exercises.
const (
	// React is a plain tap on a signal: how long somebody takes who has nothing to
	// recognise.
	React Exercise = iota
	// Recognise is to see which pattern it is.
	Recognise
	// Predict is to say what an insertion will leave.
	Predict
	// Choose is to pick an insertion for a case.
	Choose
	// Execute is to turn a pattern's sequence or an insertion.
	Execute
	// Whole is to scramble, insert and orient.
	Whole
	// Slots is to say which of two open slots to fill first, and how.
	Slots
	// Exercises is the number of exercises.
	Exercises = 7
)

var exerciseNames = [Exercises]string{"react", "recognise", "predict", "choose", "execute", "whole", "slots"}

// String is the exercise's name, as JSON has it.
func (e Exercise) String() string { return exerciseNames[e] }

// ExerciseNames are those of all exercises.
func ExerciseNames() []string { return exerciseNames[:] }

// ParseExercise is the inverse of [Exercise.String].
func ParseExercise(name string) (Exercise, error) {
	for e, known := range exerciseNames {
		if name == known {
			return Exercise(e), nil
		}
	}
	return 0, fmt.Errorf("no exercise “%s”: they are %s", name, strings.Join(exerciseNames[:], ", "))
}

// Item is what an exercise is about, in its one spelling:
//
//   - a pattern: its number, such as “27”, of [Recognise] and [Execute];
//   - an insertion: where the slot is before it and the turns, such as “FR R U R'”, of
//     [Predict] and [Execute];
//   - “edges ” before an insertion, of [Predict]: only what edges it leaves is said;
//   - a place of the pair: its name, such as “FR-UFR.R-UB.U”, of [Choose] and [Whole];
//   - two open slots, such as “FR,BL”, of [Slots];
//   - [Signal], of [React].
type Item string

// Signal is the only item of [React].
const Signal Item = "signal"

// LongestItem is how many characters an item has at most: some 24 turns.
const LongestItem = 60

// PatternItem is the pattern as an item.
func PatternItem(p lastslot.Pattern) Item { return Item(strconv.Itoa(int(p))) }

// InsertionItem is the insertion as an item.
func InsertionItem(i lastslot.Insertion) Item { return Item(i.Slot.String() + " " + i.Turns.String()) }

// edges begins an item of which only the edges are said.
const edges = "edges "

// EdgesItem is the insertion as an item of which only the edges are said that it leaves.
func EdgesItem(i lastslot.Insertion) Item { return edges + InsertionItem(i) }

// PlaceItem is the place as an item.
func PlaceItem(p lastslot.Place) Item { return Item(p.String()) }

// OpenItem is the pair of open slots as an item.
func OpenItem(o twoslots.Open) Item { return Item(o.String()) }

// ParseItem reads an item of the exercise.
func ParseItem(e Exercise, text string) (Item, error) {
	if len(text) > LongestItem {
		return "", fmt.Errorf("%d characters: an item has at most %d", len(text), LongestItem)
	}
	switch e {
	case React:
		if Item(text) != Signal {
			return "", fmt.Errorf("“%s” is no item of react: the only one is %s", text, Signal)
		}
		return Signal, nil
	case Recognise:
		return patternOf(text, 0)
	case Execute:
		if strings.Contains(text, " ") {
			return insertionOf(text)
		}
		return patternOf(text, 1)
	case Predict:
		rest, only := strings.CutPrefix(text, edges)
		item, err := insertionOf(rest)
		if only && err == nil {
			item = edges + item
		}
		return item, err
	case Slots:
		open, err := twoslots.ParseOpen(text)
		if err != nil {
			return "", err
		}
		return OpenItem(open), nil
	}
	p, err := placeOf(text)
	if err != nil {
		return "", err
	}
	return PlaceItem(p), nil
}

// placeNames has all places by their names.
var placeNames = sync.OnceValue(func() map[string]lastslot.Place {
	names := map[string]lastslot.Place{}
	for slot := range lastslot.Slot(lastslot.Slots) {
		for _, p := range lastslot.Places(slot) {
			names[p.String()] = p
		}
	}
	return names
})

// placeOf is [lastslot.ParsePlace], at once for a name in its own AUF: an export has
// thousands.
func placeOf(name string) (lastslot.Place, error) {
	if p, ok := placeNames()[name]; ok {
		return p, nil
	}
	return lastslot.ParsePlace(name)
}

func patternOf(text string, first int) (Item, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < first || n >= lastslot.Patterns {
		return "", fmt.Errorf("“%s” is no pattern: they are numbered from %d to %d", text, first, lastslot.Patterns-1)
	}
	return PatternItem(lastslot.Pattern(n)), nil
}

func insertionOf(text string) (Item, error) {
	i, err := parseInsertion(text)
	if err != nil {
		return "", err
	}
	return InsertionItem(i), nil
}

func parseInsertion(text string) (lastslot.Insertion, error) {
	name, rest, _ := strings.Cut(text, " ")
	slot, err := lastslot.ParseSlot(name)
	if err != nil {
		return lastslot.Insertion{}, fmt.Errorf("“%s” is no insertion: it is written as FR R U R', the slot first", text)
	}
	turns, err := cube.Parse(rest)
	if err != nil {
		return lastslot.Insertion{}, err
	}
	return lastslot.CheckInsertion(&slot, turns)
}

// Pattern is the pattern that the item is, if it is one.
func (i Item) Pattern() (lastslot.Pattern, bool) {
	n, err := strconv.Atoi(string(i))
	return lastslot.Pattern(n), err == nil && n >= 0 && n < lastslot.Patterns
}

// Insertion is the insertion that the item is, if it is one.
func (i Item) Insertion() (lastslot.Insertion, bool) {
	insertion, err := parseInsertion(string(i))
	return insertion, err == nil
}

// Edges is the insertion of which only the edges are said, if the item is that.
func (i Item) Edges() (lastslot.Insertion, bool) {
	rest, ok := strings.CutPrefix(string(i), edges)
	if !ok {
		return lastslot.Insertion{}, false
	}
	return Item(rest).Insertion()
}

// Open is the pair of open slots that the item is, if it is one.
func (i Item) Open() (twoslots.Open, bool) {
	open, err := twoslots.ParseOpen(string(i))
	return open, err == nil
}

// Place is the place that the item is, if it is one.
func (i Item) Place() (lastslot.Place, bool) {
	p, err := placeOf(string(i))
	return p, err == nil
}
