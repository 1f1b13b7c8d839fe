// Package twoslots is the puzzle with cross and two slots solved and two slots open,
// whoever solves it: cases and their codes, what turns do to them, and the last-slot
// case that is left when one of the two is filled.
//
// # What belongs here
//
// What follows from the puzzle and from nothing else, as in package lastslot, whose
// slots, twists and flips these are. Times, hands, people and what the search found do
// not. This package imports lastslot, cube, and cube/solve for scrambles.
//
// # Spots
//
// Six corners and six edges are where a case says: four on top, and one in each open
// slot. Their spots are numbered in the reading order of the top face, then the open
// slots in the order of the slots (FR FL BL BR):
//
//	spot       0    1    2    3    4                5
//	corners   UBL  UBR  UFL  UFR  the first slot   the second slot
//	edges     UB   UL   UR   UF   the first slot   the second slot
//
// The six twists add up to a multiple of three and the six flips to an even number, so
// those of the last spot follow from the others.
package twoslots
