// Package looks is how somebody orients the top who has not learnt a sequence for every
// pattern: in several looks, each followed by a sequence that is learnt.
//
// # Looks
//
// A look is recognising, an AUF and a sequence. It takes what recognising and executing take
// for the pattern whose sequence is done.
//
//   - Where the pattern is learnt, one look can do: the pattern's own.
//   - Where edges are not oriented, a look can be at the edges only. After it comes a learnt
//     sequence of a pattern whose edges are not oriented either. The AUF is one that the edges
//     tell: of those after which they look alike nobody chooses, so what follows takes the mean
//     over these, rounded to the millisecond. Usually this orients the edges. Where it does not
//     the next look is at the edges again, at most three times in all: dot, line and L. Such a
//     detour is chosen by the edges alone, so what follows takes the mean over all corners, too.
//   - Where the edges are oriented, a look can be followed by the learnt sequence of another
//     pattern with oriented edges, in any AUF: the whole top is seen.
//
// Of all that somebody can do with what is learnt, the quickest counts. So another pattern
// learnt never makes anything slower. An outcome from which nothing leads to the oriented top is
// a gap; it counts as [Gap].
//
// # What belongs here
//
// What looks take, from what one look takes, whoever it is for. Persons, books and ratings
// do not. This package imports lastslot and cube.
package looks
