// Package lastslot is the position before the last slot: slots, spots and cases with
// their codes, where a pair stands, orientation patterns of the top layer, and
// insertions with what each leaves. Search, atlas, ranking and learning stand on it;
// it knows no person and no estimate of time. It imports package cube and what is
// below that.
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
// up in two tables, one for corners and one for edges. Maps differ
// where they differ by more than a turn of U at the end; that turn belongs to
// the AUF before the follow-up sequence.
//
// # Checks
//
// [CheckSequence] and [CheckInsertion] look at the puzzle in the hold in which
// the turns begin, so a rotation among them moves no piece.
package lastslot
