package hands

import (
	"fmt"

	"slotcast/cube"
)

// Handed says with which hands a person turns.
type Handed uint8

// With both hands, or with one alone.
const (
	TwoHands Handed = iota
	RightHand
	LeftHand
)

// handedWords are the words that [Handed.String] writes and [Parse] reads.
var handedWords = [...]string{TwoHands: "both", RightHand: "right", LeftHand: "left"}

// String is "both", "right" or "left".
func (h Handed) String() string { return handedWords[h] }

// Parse is the inverse of [Handed.String].
func Parse(text string) (Handed, error) {
	for h, word := range handedWords {
		if text == word {
			return Handed(h), nil
		}
	}
	return 0, fmt.Errorf("no hands “%s”: say both, right or left", text)
}

// Mirror is the other hand; both stay both.
func (h Handed) Mirror() Handed {
	switch h {
	case RightHand:
		return LeftHand
	case LeftHand:
		return RightHand
	}
	return h
}

// Grip is how the hands hold the puzzle, 0 to Grips-1. Of two hands it is
//
//	place of the right hand*80 + place of the left hand*20 +
//	what is remembered of the turns*4 + quarters that E has turned since the eyes looked,
//
// of one hand the index finger's quarters*3 + the ring finger's, 0 to 8.
type Grip uint16

// Step is a turn done: the grip that it ends in, and how long it takes
// in milliseconds, regrips included.
type Step struct {
	To Grip
	Ms uint16
}

func mirrored(t cube.Turn) cube.Turn { return cube.Sequence{t}.Mirror(cube.MirrorLR)[0] }
