package hands

// The prices of the model in milliseconds: an estimate of the project's own
// (common practice, no source) for a practised solver in the middle of a
// sequence.
const (
	wrist     = 120 // a wrist turns a quarter with the face it holds; fingers stay where they are
	wristHalf = 190 // both quarters in one swing, from the one end to the other
	wristWide = 30  // more for two layers: the other hand holds on by one layer only

	pull     = 100 // an index finger flicks the top towards its hand, the quickest turn of all
	pullHalf = 150 // two fingers flick one after the other
	push     = 50  // more for pushing: away from the hand is weaker than towards it

	front     = 150 // the finger comes over the front edge first
	frontHalf = 240 // two flicks, and the finger comes over the edge once
	below     = 160 // the ring finger is weaker than the index finger
	belowHalf = 240 // two fingers one after the other, as on top

	middle        = 140 // the ring finger finds the middle layer from behind
	middleAgainst = 50  // more against the finger: it must hook around the edge
	middleHalf    = 200 // two flicks, one with each ring finger
	belt          = 200 // a finger between two layers moves neither of them
	beltHalf      = 320 // the finger has to be set anew between the layers
	standing      = 260 // the same, turned away from the fingers
	standingHalf  = 400 // set anew as well

	back     = 200 // out of sight, with a hand that holds nothing meanwhile
	backHalf = 300 // the reach counts once, so less than twice
	reach    = 180 // more to get there from its place

	twoLayers = 90 // more for a finger that carries two layers: half the puzzle slips under it

	regrip  = 110 // a hand lets go and takes hold in another place; the other one waits
	overlap = 20  // less for a turn that begins while a wrist still turns

	change = 30 // the hand that held turns now, and the one that turned holds; not where both turn at once

	rotation     = 180 // both hands move the whole puzzle and take hold anew; one that is not at home regrips for it
	rotationHalf = 80  // more for a half turn
	look         = 120 // the eyes find their place in a new front; u and d bring one too, and E where it is not undone
)

// The prices of one hand; where none is given, those above.
const (
	oneIndex      = 140 // a flick by a hand that also holds
	oneIndexHalf  = 220 // the finger goes from one end to the other
	oneAcross     = 180 // the ring finger turns the face across, slower than an index finger
	oneAcrossHalf = 270 // from one end to the other
	oneReset      = 80  // a finger goes back without turning anything
	oneBelow      = 230 // the little finger holds; to turn it must let go
	oneBelowHalf  = 350 // the second quarter is pushed from where the first ended
	oneFront      = 290 // thumb and index finger turn it, and let go of all else
	oneFrontHalf  = 440 // the same
	oneBack       = 400 // the same, out of sight
	oneBackHalf   = 600 // the same
	onePalm       = 430 // the palm holds this face: the rest is turned against the table
	onePalmHalf   = 620 // the same on the table
	oneSlice      = 380 // a slice is pushed against the table
	oneSliceHalf  = 480 // pushed on, the table still holds
	oneWide       = 60  // more for two layers
	oneRotation   = 230 // the fingers roll the puzzle over the palm
)
