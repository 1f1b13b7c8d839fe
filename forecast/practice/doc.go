// Package practice is what somebody's practice says of them, and what they practise
// next, whoever shows it: no page and no store is in it.
//
// An exercise asks for an item: a pattern to recognise, an insertion to execute. What
// became of it is a try, and the tries of an item are its history: how often it was right,
// its last seconds, and when it is due again by FSRS. From the histories come the seconds
// that the ranking counts ([Measured]) and what comes next ([Draw]).
//
// It stands on forecast and lastslot.
package practice
