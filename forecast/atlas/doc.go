// Package atlas knows, for every case and every pattern, an insertion with the
// fewest turns. It is found by a complete search, kept in an embedded file, and
// looked up.
//
// # Rows
//
// A row is a sequence of face turns in the one order in which it is counted: no
// face is turned twice running, and of two neighbours on one axis the first of
// U-D, L-R, F-B comes first. A row neither begins nor ends with U, not even
// beside D: that is the AUF, which is free. Every row is looked at with the
// slot at front right.
//
// # Classes
//
// With AUF free before, the 32,400 cases of a slot fall into 8,112 classes; with
// AUF free after, the 216 outcomes into the 58 patterns. So the atlas has one
// entry for each of 8,112 x 58 pairs of a class and a pattern.
//
// # What belongs here
//
// The complete search, the file, and what is looked up in it; nothing that depends
// on a person. This package imports lastslot, cube and, to choose the easiest of
// equally short rows, hands.
package atlas
