// Package search finds insertions and follow-up sequences: every row of turns
// up to a length that keeps what must be kept, each spelt so that it is the
// easiest to execute. What it finds is kept in the files that package forecast
// embeds; only the task that makes them, and tests, run it.
//
// # Motions
//
// The search looks at motions, not at spellings. It follows the pieces from a
// frame fixed to the centres, where a slice is two opposite face turns and a
// wide turn is one, and a rotation is nothing. In that frame a motion is a row
// of blocks: turns of one axis, on alternating axes. Each motion is written in
// one row only, and is spelt for the hands afterwards (see [Speller]). What it does
// to the spots is its map, as package lastslot has it.
//
// # What belongs here
//
// Finding, spelling and choosing; what is found is the book's. This package imports
// lastslot, hands and cube, and not the forecast.
package search
