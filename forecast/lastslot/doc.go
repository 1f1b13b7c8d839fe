// Package lastslot is the last slot as the puzzle has it, whoever solves it: cases
// and their codes, places of the pair, orientation patterns of the top layer, and
// verified sequences: insertions with their maps, and follow-ups.
//
// # What belongs here
//
// What follows from the puzzle and from nothing else, and what several of
// forecast's packages need. Times, hands, people and what the search found do not:
// this package imports package cube, and cube/solve for scrambles.
//
// # Spots
//
// Before the last slot five corners and five edges are where a case says: four
// on top and one in the slot. Their spots are numbered, for corners and edges
// alike, in the reading order of the top face, the slot last:
//
//	spot       0    1    2    3    4
//	corners   UBL  UBR  UFL  UFR  the slot
//	edges     UB   UL   UR   UF   the slot
//
// Twists and flips are those of package cube. For a last-layer corner that is
// where its top colour faces; for the slot's own corner, where its bottom
// colour does; for an edge on top, whether it shows its top colour (the slot's
// edge: its front or back colour) on the top face.
//
// The five twists add up to a multiple of three and the flips to an even
// number, so the fourth spot on top never needs to be set.
//
// # Effects and maps
//
// The effect of turns is what they do to the whole puzzle, seen in the hold in
// which they begin (see [Effect]). An insertion's effect is a fixed map of the
// spots: for each spot, the spot whose piece it brings there and the twist or flip
// that it adds (see [Map]). What it leaves is therefore a look-up in two tables,
// one for corners and one for edges (see [LeftTables]). Maps differ where they
// differ by more than a turn of U at the end; that turn belongs to the AUF before
// the follow-up sequence.
//
// [CheckSequence] and [CheckInsertion] look at the puzzle in the hold in which
// the turns begin, so a rotation among them moves no piece.
package lastslot
