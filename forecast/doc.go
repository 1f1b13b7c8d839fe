// Package forecast is the forecast itself: of a case before the last slot it lists
// what fills the slot and what that leaves, ranked by a person's own times.
//
// # What belongs here
//
// The book of all that is known, the person, and the ranking. A file knows only
// those before it: person, afterwards, book, collect, bookfile, load; filter,
// request, option; forecaster, candidate, byturns. What needs no person's times
// belongs in package lastslot or in a package beside it (facts, technique, pll).
// This package imports lastslot, looks,
// hands and cube.
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
// which is added where it is needed, but with their rotations. Insertions
// differ by the slot, as it stands when the turns begin, and by the map: hiding one
// hides what has its map, however it is written. One that is known,
// timed or added is offered as it is written, in place of the same turns in the
// [Book] and of others there with the same map that take no less time.
package forecast
