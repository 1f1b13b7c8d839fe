// Package forecast is the trade: cases before the last slot, orientation
// patterns of the top layer, insertions and what each leaves, follow-up
// sequences, and the ranking by a person's own ratings.
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
// number, so the fourth spot on top never needs to be told.
//
// # Motions and maps
//
// An insertion is a fixed map: for each spot, the spot whose piece it brings
// there and the twist or flip that it adds. What it leaves is therefore a look
// up in two tables, one for corners and one for edges (see [Book]). Maps differ
// where they differ by more than a turn of U at the end; that turn belongs to
// the AUF before the follow-up sequence.
//
// # Times
//
// How long turns take is estimated by package hands. Rotation, AUF, insertion and
// follow-up sequence are each estimated by themselves, begun with the hands at
// home, so their times add up: insert is rotation + AUF + insertion, execute is
// AUF + sequence. All of them scale with the person's speed; what a person has
// measured does not.
//
// # A person's own book
//
// A forecast is for a [Person]; what it needs of them is worked out once, by
// [Book.For]. Own sequences and insertions are kept without AUF at either end,
// which is added where it is needed, but with their rotations. An insertion is
// told from others by the slot, as it stands when its turns begin, and its map:
// hiding it hides what has that map, however it is written. One that is known,
// timed or added is offered as it is written, in place of the same turns in the
// [Book] and of others there with the same map that take no less time.
//
// [CheckSequence] and [CheckInsertion] look at the puzzle in the hold in which
// the turns begin, so a rotation among them moves no piece.
package forecast
