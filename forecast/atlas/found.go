package atlas

import "slotcast/cube"

// Found is what the search found.
type Found struct {
	Levels []Level
	// Rows has one row for each map of at most completeTo turns, and every row
	// that an entry names, in order of length, cost and turns.
	Rows []cube.Sequence
	// Entries has, by class and then pattern, the place in Rows.
	Entries []uint32
}

// completeTo is the most turns up to which all maps are kept, so that other
// options than the shortest can be offered; with 11 there would be four times as many.
const completeTo = 10

// noEntry is an entry that is not filled yet.
const noEntry = ^uint32(0)
