package page

import (
	"fmt"
	"strconv"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/tap"
	"slotcast/web/words"
)

// tapView is the form in which a case is tapped in.
type tapView struct {
	Steps []tapStep
	Slots []slotView
	// Stickers are always in the same order, whatever slot they are laid out for.
	Stickers []stickerView
	// Middle is where the top's middle is.
	Middle string
	Tools  []toolView
	// Hidden are the parameters that the form sends along.
	Hidden hiddenView
}

// tapStep is one of the three steps, and what taps mark in it.
type tapStep struct {
	Value, Name, Hint string
	Checked, Done     bool
}

// slotView is one of the four slots, at its corner of the top.
type slotView struct {
	Class, Value, Label string
	Checked             bool
}

// stickerView is one sticker of the figure and what can be marked on it.
type stickerView struct {
	Class string
	// Side is the name of the side that the sticker is on, at the middle of each.
	Side   string
	Inputs []tapInput
}

// tapInput is a mark on a sticker: a radio input named for what it tells.
type tapInput struct {
	Class, Name, Value, Label string
	Checked, Disabled         bool
}

// toolView changes the whole figure. Path is "" where there is nothing to do.
type toolView struct {
	Name, Words, Path, Key string
}

// shownColours are the names of the top's and the bottom's colour, as the reader
// has them.
type shownColours struct{ top, bottom string }

// oppositeColours are those of faces across the puzzle.
var oppositeColours = map[string]string{"white": "yellow", "yellow": "white", "green": "blue", "blue": "green", "red": "orange", "orange": "red"}

// coloursOf are those with this colour on top, "" for the usual one.
func coloursOf(top string) shownColours {
	if oppositeColours[top] == "" {
		top = "yellow"
	}
	return shownColours{top, oppositeColours[top]}
}

// tapOf fills the form with a figure.
func tapOf(f tap.Figure, before tap.History, how hiddenView, colours shownColours) tapView {
	history := before.With(f)
	v := tapView{Hidden: append(hiddenView{{"was", history.String()}}, how...)}
	v.Steps = []tapStep{
		{Value: "corner", Name: "Pair’s corner", Done: f.Corner.Spot != tap.Unset,
			Hint: fmt.Sprintf("tap its bottom colour, %s", colours.bottom)},
		{Value: "edge", Name: "Pair’s edge", Done: f.Edge.Spot != tap.Unset,
			Hint: fmt.Sprintf("tap its colour of the %s side", words.OwnColour(f.Slot))},
		{Value: "top", Name: "Top",
			Hint: fmt.Sprintf("tap %s where it is not on top", colours.top)},
	}
	step := 2
	for i := len(v.Steps) - 2; i >= 0; i-- {
		if !v.Steps[i].Done {
			step = i
		}
	}
	v.Steps[step].Checked = true

	middle := picture.NetTop(f.Slot)
	v.Middle = cellClass(middle)
	for s := range lastslot.Slot(lastslot.Slots) {
		at := middle
		for _, face := range s.Edge().Facelets() {
			at.Row += 2 * picture.NetSteps[face].Row
			at.Column += 2 * picture.NetSteps[face].Column
		}
		v.Slots = append(v.Slots, slotView{"at-" + s.String() + " " + cellClass(at), s.String(), "The open slot is at the " + s.Words(), s == f.Slot})
	}
	v.Stickers = stickersOf(f)

	undo := toolView{Name: "Undo", Words: "Undo: as it was before", Key: "u"}
	if n := len(history); n > 1 {
		undo.Path = tapPath(history[n-2], history[:n-1], how)
	}
	v.Tools = []toolView{
		undo,
		{"Clear", "Clear: nothing told", tapPath(tap.Empty(f.Slot), history, how), "n"},
		{"Mirror", "Mirror: the same for the other hand", tapPath(f.Mirrored(), history, how), "m"},
		{"Top U", "Top U: as after a turn of the top", tapPath(f.TopTurned(), history, how), "t"},
		{"Hold y", "Hold y: as after turning the hold", tapPath(f.TurnedRound(), history, how), "y"},
	}
	return v
}

// tapPath is where the form is with a figure, and with those before it.
func tapPath(f tap.Figure, before tap.History, how hiddenView) string {
	values := f.Values()
	values.Set("mark", "top")
	if len(before) > 0 {
		values.Set("was", before.String())
	}
	for _, p := range how {
		values.Set(p.Name, p.Value)
	}
	return "/?" + values.Encode()
}

// cellClass names a cell of the net for the style sheet.
func cellClass(c picture.Cell) string {
	return "r" + strconv.Itoa(c.Row) + " c" + strconv.Itoa(c.Column)
}

// stickersOf are the figure's, spot by spot: three of a corner, two of an edge.
func stickersOf(f tap.Figure) []stickerView {
	twists, flips := f.Turned()
	cornerRest, edgeRest := f.Rest()
	views := make([]stickerView, 0, lastslot.Spots*5)
	for spot := range lastslot.Spots {
		faces := f.Slot.CornerPlace(spot).Facelets()
		of := spotFigure{
			of: "corner", place: words.CornerSpots[spot], pair: f.Corner, set: f.Corners, turned: twists, rest: cornerRest, states: 3,
			name: tap.TopName(words.CornerSpots, spot, "corner"), faces: tap.CornerFaces(spot), at: words.CornerAt(lastslot.Case{Slot: f.Slot}, spot), colour: "bottom",
		}
		for sticker, face := range faces {
			views = append(views, stickerOf(f, of, spot, sticker, face, picture.NetCorner(f.Slot, spot, sticker)))
		}
		edge := f.Slot.EdgePlace(spot).Facelets()
		of = spotFigure{
			of: "edge", place: words.EdgeSpots[spot], pair: f.Edge, set: f.Edges, turned: flips, rest: edgeRest, states: 2,
			name: tap.TopName(words.EdgeSpots, spot, "edge"), faces: tap.EdgeFaces(f.Slot, spot), at: words.EdgeAt(lastslot.Case{Slot: f.Slot}, spot), colour: words.OwnColour(f.Slot),
		}
		for sticker, face := range edge {
			view := stickerOf(f, of, spot, sticker, face, picture.NetEdge(f.Slot, spot, sticker))
			if spot != lastslot.InSlot && face != cube.FaceU {
				view.Side = face.Words()
			}
			views = append(views, view)
		}
	}
	return views
}

// spotFigure is what a spot's stickers have in common: of is corner or edge.
type spotFigure struct {
	of, place, name, at, colour string
	faces                       []string
	pair                        tap.Sticker
	set, turned                 [lastslot.Spots]int
	rest, states                int
}

func stickerOf(f tap.Figure, of spotFigure, spot, turned int, face cube.Face, at picture.Cell) stickerView {
	view := stickerView{Class: "sticker of-" + of.of + " at-" + of.place + " " + cellClass(at)}
	if of.place == words.InSlot {
		view.Class = "sticker of-" + of.of + " at-slot" + of.of + " " + cellClass(at)
	}
	if face == cube.FaceU {
		view.Class += " on-top"
	}
	// Plain sums: there are fifty labels, and they are made anew with each tap.
	where := of.of + " " + of.at + ", "
	facing := " colour facing " + face.Words()
	top := tapInput{
		Class: "mark-top", Name: of.name, Value: of.faces[turned],
		Label:   where + "top" + facing,
		Checked: of.set[spot] == turned,
	}
	switch {
	case of.pair.Spot == spot:
		view.Class += " of-pair"
		top.Disabled = true
	case f.Complete() && of.set[spot] == tap.Unset && of.turned[spot] == turned:
		view.Class += " assumed"
		if spot == of.rest && turned != 0 {
			view.Class += " rest"
			top.Label += ", follows from the others"
		}
	case f.Complete() && of.forced(spot) && of.turned[spot] != turned:
		view.Class += " impossible"
		top.Disabled = true
	}
	view.Inputs = []tapInput{
		{
			Class: "mark-" + of.of, Name: of.of, Value: of.place + "." + of.faces[turned], Label: "Pair’s " + where + of.colour + facing,
			Checked: of.pair == tap.Sticker{Spot: spot, Turned: turned},
		},
		top,
	}
	return view
}

// forced says whether all others were told, so that there is no choice for the
// spot.
func (of spotFigure) forced(spot int) bool {
	for other := range lastslot.Spots {
		if other != spot && other != of.pair.Spot && of.set[other] == tap.Unset {
			return false
		}
	}
	return of.set[spot] == tap.Unset
}
