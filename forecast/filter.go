package forecast

import (
	"slices"

	"slotcast/cube"
)

// Only says which ways are offered, beside the [View]. Its zero value offers all.
type Only struct {
	// NoRotation leaves out ways with a rotation, first or on the way.
	NoRotation bool
	// Side leaves out ways that turn the other side, alone or wide.
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

// Lets says whether a way with the turns and the count is offered.
func (o Only) Lets(turns cube.Sequence, count int) bool {
	if o.MaxCount > 0 && count > o.MaxCount {
		return false
	}
	if o.NoRotation && slices.ContainsFunc(turns, func(t cube.Turn) bool { return t.Kind() == cube.Rotation }) {
		return false
	}
	if o.Side == EitherSide {
		return true
	}
	other := cube.FaceL
	if o.Side == LeftSide {
		other = cube.FaceR
	}
	for _, t := range turns {
		if layer := t.Layer(); layer.Reference() == other && (layer.Kind() == cube.FaceTurn || layer.Kind() == cube.WideTurn) {
			return false
		}
	}
	return true
}
