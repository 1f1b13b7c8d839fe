// Package hands is a small model of the hands that turn the puzzle: how long a
// sequence takes them, and how they best hold it meanwhile.
//
// # Two hands
//
// The right hand holds the right face, the left hand the left one. A grip says
// for each hand where it is:
//
//	down   its wrist is turned a quarter so that the thumb points down
//	home   the thumbs are in front, the index fingers at the back of the top
//	up     its wrist is turned a quarter so that the thumb points up
//	away   it has left its place to turn the back
//
// and whose wrist turned last, whether a finger turned since, and how far E has
// turned. Every sequence starts with both hands at home and ends with neither away.
//
// A wrist turns the face that its hand holds, from place to place: R takes the
// right hand from down to home or from home to up, R' back again, R2 from down to
// up or back; r does the same with two layers. On the left L' goes up and L down.
// All other turns are done by a finger of a hand that stays where it is:
//
//	U'  the left index finger pulls, or the right one pushes; U is the mirror image
//	F   the right index finger pulls over the front, or the left thumb pushes
//	D'  the right ring finger pulls below, or the left one pushes
//	M   a ring finger of either hand from behind; M' goes with the finger, M against it
//	E'  a finger between the layers pulls as for U; E is the mirror image
//	S   a finger between front and back
//	B   a hand leaves its place and reaches around
//
// Each needs the hand in a place from which the finger reaches; otherwise the
// hand regrips first. While a wrist turns the other hand must hold the puzzle, so
// one that is away comes home first.
//
// A finger of either hand is ready while a wrist still turns, and so is the other
// wrist: part of the turn that follows a wrist's is hidden. A wrist waits for a
// finger, as it would lock the layer that still moves; and where the other wrist
// turned before that, the hands change, as the one that held turns now.
//
// A rotation moves both hands and leaves both at home, and the eyes look anew. It
// begins at home, too: a hand that is turned or away has no way left to move the
// puzzle, and regrips first. The eyes also look anew after u and d, and after E, but
// then not at once: as long as E is undone before the end, nobody looks for the new
// front meanwhile.
//
// # One hand
//
// The right hand alone holds the right face in its palm and the puzzle with thumb
// and little finger. Its index finger pulls U and pushes U'; its ring finger turns
// the face across. For each of the two fingers the grip says how many quarters it
// is from where it rests: one more or one less at most, then it is set back first.
// What neither reaches takes the other fingers, the table, or a rotation, and has
// a price without a grip. After u, d and rotations the eyes look anew, as with two.
//
// # Mirror
//
// The left hand is the mirror image of the right one, in both models: a sequence
// takes as long as its mirror image in the mirrored hands. [TwoHands] are their
// own mirror image.
//
// How true the model is rests on the reasons beside its prices and on the four
// comparisons that its tests make; nothing else was measured.
//
// # What belongs here
//
// What a turn takes the hands: the prices, each with its reason, and the grips. This
// package imports package cube and nothing else of the project.
package hands
