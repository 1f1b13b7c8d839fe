package forecast

import (
	"slices"

	"slotcast/cube"
)

// Filter says which options are offered, beside the [View]. Its zero value offers all.
type Filter struct {
	// NoRotation leaves out options with a rotation, first or on the way.
	NoRotation bool
	// Side leaves out options that turn the other side, alone or wide.
	Side Side
	// MaxCount is the most turns of an insertion, as [Option.Count] has them; 0 sets
	// no bound.
	MaxCount int
}

// Side is a side of the puzzle, left or right, as one hand turns it.
type Side uint8

// The sides.
const (
	EitherSide Side = iota
	RightSide
	LeftSide
)

// Offers says whether an option with the turns and the count is offered.
func (f Filter) Offers(turns cube.Sequence, count int) bool {
	if f.MaxCount > 0 && count > f.MaxCount {
		return false
	}
	if f.NoRotation && slices.ContainsFunc(turns, func(t cube.Turn) bool { return t.Kind() == cube.Rotation }) {
		return false
	}
	if f.Side == EitherSide {
		return true
	}
	other := cube.FaceL
	if f.Side == LeftSide {
		other = cube.FaceR
	}
	for _, t := range turns {
		if layer := t.Layer(); layer.Reference() == other && (layer.Kind() == cube.FaceTurn || layer.Kind() == cube.WideTurn) {
			return false
		}
	}
	return true
}

// View says which insertions are offered.
type View uint8

// The views: every insertion, only those that the person knows, or these first and then
// the others. Doing nothing where the pair is solved needs no knowing.
const (
	All View = iota
	Known
	KnownFirst
)
