package picture

import (
	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/words"
)

// TopView is from where the top is seen of a puzzle whose first two layers are solved.
type TopView uint8

const (
	// WholeTop has what is hidden at the back and at the side folded out.
	WholeTop TopView = iota
	// SeenTop has the top and two sides, as one sees them.
	SeenTop
	// OtherTop is seen over the front left edge, as one sees them.
	OtherTop
	// TopViews is the number of views.
	TopViews = 3
)

// Top draws the top layer, turned like that, of a puzzle whose first two layers are solved.
func Top(o lastslot.Outcome, v TopView) Picture {
	view := ViewOf(lastslot.FR)
	if v == OtherTop {
		view = ViewOf(lastslot.FL)
	}
	d := drawing{view: view}
	if v == WholeTop {
		d.bodyWith(view.topFlaps())
	} else {
		d.bodyWith(nil)
	}
	position := solvedBelow(o)
	sticker := func(s Sticker, of cube.Face, kind pieceKind) {
		seen := s.Face == cube.FaceU || s.Face == cube.FaceF || s.Face == view.seenSide()
		if seen || v == WholeTop && s.Face != cube.FaceD {
			d.sticker(s, lookOf(of, kind, nil, false))
		}
	}
	kind := func(reference cube.Face) pieceKind {
		if reference == cube.FaceU {
			return lastLayer
		}
		return ofRest
	}
	for f := range cube.Face(cube.Faces) {
		sticker(CentreSticker(f), f, kind(f))
	}
	for place, corner := range position.Corners {
		for i, of := range corner.Piece().Facelets() {
			sticker(CornerSticker(cube.CornerPlace(place), (i+corner.Twist())%3), of, kind(corner.Piece().Facelets()[0]))
		}
	}
	for place, edge := range position.Edges {
		for i, of := range edge.Piece().Facelets() {
			sticker(EdgeSticker(cube.EdgePlace(place), i^edge.Flip()), of, kind(edge.Piece().Facelets()[0]))
		}
	}
	return Picture{View: view, Shapes: d.shapes, Words: words.Outcome(o)}
}

// solvedBelow is a position with the first two layers solved and the top turned like that.
func solvedBelow(o lastslot.Outcome) cube.Cube {
	c := lastslot.Case{Slot: lastslot.FR, Corner: lastslot.InSlot, Edge: lastslot.InSlot}
	twists, flips := o.Twists(), o.Flips()
	for spot := range lastslot.InSlot {
		c.Twists[spot], c.Flips[spot] = twists[spot], flips[spot]
	}
	return c.Cube()
}
