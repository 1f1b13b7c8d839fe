// Package routes is the forecast one slot earlier: with two slots open it ranks what fills
// one of them now by what that leaves for the last slot and then for the top.
//
// # Steps and routes
//
// A step fills one of the two open slots, keeps the cross and the two solved slots, and
// may do anything to the other open one. A route is a step and then the first option of
// the forecast for the last-slot case that it leaves; its total is the sum of both. Of
// routes that fill the same slot and leave the same case only the best is listed.
//
// Steps come from three sources: the table that the search made (steps.bin), each spelt so
// that it is the easiest with its map; where the pair stands on top or in its own slot,
// every insertion that the forecast offers for it there, the person's own among them; and
// doing nothing, where the slot is filled already.
//
// A person knows the insertions that they know with one slot open and, where a piece of
// the pair is in the other open slot, the usual step: the quickest that turns only U and
// the side faces of the two slots.
//
// # What belongs here
//
// The table of steps, routes and their ranking, and which steps are worth learning. This
// package imports forecast, lastslot, technique, twoslots, hands and cube. The table is read,
// for each pair of slots and each hands, when it is first needed.
package routes
