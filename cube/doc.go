// Package cube is the puzzle and nothing else: pieces, places, turns, notation,
// holds and mirrors.
//
// What is true of the puzzle whatever it is turned for may be added; what knows of
// slots or patterns belongs in forecast/lastslot. Nothing of the project is imported.
//
// # Faces and places
//
// The faces are U D L R F B, in that order, and name both a side of space and
// the colour that belongs there. A place is a spot in space that a piece can
// stand in, written by its faces; the numbers follow the reading order of the
// top face, then the middle layer and the bottom layer from the front right
// round to the front left, back left and back right:
//
//	corners   0 UBL  1 UBR  2 UFL  3 UFR   4 DFR  5 DFL  6 DBL  7 DBR
//	edges     0 UB   1 UL   2 UR   3 UF    4 FR   5 FL   6 BL   7 BR
//	          8 DF   9 DL  10 DB  11 DR
//
//	            ┌─────┬─────┬─────┐
//	            │ UBL │ UB  │ UBR │        back
//	            ├─────┼─────┼─────┤
//	            │ UL  │  U  │ UR  │   left      right
//	            ├─────┼─────┼─────┤
//	            │ UFL │ UF  │ UFR │        front
//	            └─────┴─────┴─────┘
//
// A piece has the number of the place it stands in when the puzzle is solved.
//
// # Orientation
//
// A corner's facelets are counted clockwise, seen from outside, from the one on
// U or D, which is its reference. Its twist is the number of the place's
// facelet (0, 1, 2) that shows the piece's reference colour. An edge's
// reference facelet is the one on U or D, in the middle layer the one on F or
// B; its flip is 0 where the place's reference facelet shows the piece's
// reference colour, otherwise 1. These are fixed in space, so slices, wide
// turns and rotations change them like any other turn.
//
// # Order
//
// A [Cube] says for each place which piece stands there. a.Then(b) is a
// followed by b, read from left to right as a sequence is; the sequence "R U"
// is R first.
//
// # Counting
//
// [Sequence.Count] counts a face or wide turn 1, a slice 2 and a rotation 0:
// the outer block turn metric of the WCA Regulations (version of January 1,
// 2024), 12a5, for all that it defines, and the half turn metric of their 2010
// text, 12a17 to 12a19, for slices.
package cube
