package web

import (
	"fmt"
	"net/url"
	"strconv"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
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

// choice is one of a row of choices.
type choice struct {
	Value, Label string
	Checked      bool
}

// hiddenView are parameters that a form sends along, in order.
type hiddenView []hiddenParameter

type hiddenParameter struct{ Name, Value string }

// howParameters say how a case is answered, not which it is.
var howParameters = []string{"predicted", "limit", "per", "view", "rotation", "hand", "max_count"}

// howOf are those of the parameters that say how it is answered.
func howOf(values url.Values) (how hiddenView) {
	for _, name := range howParameters {
		if value := values.Get(name); value != "" {
			how = append(how, hiddenParameter{name, value})
		}
	}
	return how
}

// shownColours are the names of the top's and the bottom's colour, as the reader
// has them.
type shownColours struct{ top, bottom string }

// oppositeColours are those of faces across the puzzle.
var oppositeColours = map[string]string{"white": "yellow", "yellow": "white", "green": "blue", "blue": "green", "red": "orange", "orange": "red"}

func (l look) shownColours() shownColours {
	top := l.Top
	if oppositeColours[top] == "" {
		top = "yellow"
	}
	return shownColours{top, oppositeColours[top]}
}

// tapOf fills the form with a figure.
func tapOf(f figure, before figureHistory, how hiddenView, colours shownColours) tapView {
	history := before.with(f)
	v := tapView{Hidden: append(hiddenView{{"was", history.String()}}, how...)}
	v.Steps = []tapStep{
		{Value: "corner", Name: "Pair’s corner", Done: f.corner.spot != untold,
			Hint: fmt.Sprintf("tap its bottom colour, %s", colours.bottom)},
		{Value: "edge", Name: "Pair’s edge", Done: f.edge.spot != untold,
			Hint: fmt.Sprintf("tap its colour of the %s side", ownColour(f.slot))},
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

	middle := netTop(f.slot)
	v.Middle = middle.class()
	for s := range lastslot.Slot(lastslot.Slots) {
		at := middle
		for _, face := range s.Edge().Facelets() {
			at.Row += 2 * netSteps[face].Row
			at.Column += 2 * netSteps[face].Column
		}
		v.Slots = append(v.Slots, slotView{"at-" + s.String() + " " + at.class(), s.String(), "The open slot is at the " + s.Words(), s == f.slot})
	}
	v.Stickers = f.stickers()

	undo := toolView{Name: "Undo", Words: "Undo: as it was before", Key: "u"}
	if n := len(history); n > 1 {
		undo.Path = tapPath(history[n-2], history[:n-1], how)
	}
	v.Tools = []toolView{
		undo,
		{"Clear", "Clear: nothing told", tapPath(emptyFigure(f.slot), history, how), "n"},
		{"Mirror", "Mirror: the same for the other hand", tapPath(f.mirrored(), history, how), "m"},
		{"Top U", "Top U: as after a turn of the top", tapPath(f.topTurned(), history, how), "t"},
		{"Hold y", "Hold y: as after turning the hold", tapPath(f.turnedRound(), history, how), "y"},
	}
	return v
}

// tapPath is where the form is with a figure, and with those before it.
func tapPath(f figure, before figureHistory, how hiddenView) string {
	values := f.values()
	values.Set("mark", "top")
	if len(before) > 0 {
		values.Set("was", before.String())
	}
	for _, p := range how {
		values.Set(p.Name, p.Value)
	}
	return "/?" + values.Encode()
}

// class names the cell for the style sheet.
func (c cell) class() string { return "r" + strconv.Itoa(c.Row) + " c" + strconv.Itoa(c.Column) }

// stickers are the figure's, spot by spot: three of a corner, two of an edge.
func (f figure) stickers() []stickerView {
	twists, flips := f.turned()
	cornerRest, edgeRest := f.rest()
	views := make([]stickerView, 0, lastslot.Spots*5)
	for spot := range lastslot.Spots {
		faces := f.slot.CornerPlace(spot).Facelets()
		of := spotFigure{
			of: "corner", place: cornerSpots[spot], pair: f.corner, told: f.corners, turned: twists, rest: cornerRest, states: 3,
			name: topName(cornerSpots, spot, "corner"), faces: cornerFaces(spot), at: cornerAt(lastslot.Case{Slot: f.slot}, spot), colour: "bottom",
		}
		for sticker, face := range faces {
			views = append(views, f.sticker(of, spot, sticker, face, netCorner(f.slot, spot, sticker)))
		}
		edge := f.slot.EdgePlace(spot).Facelets()
		of = spotFigure{
			of: "edge", place: edgeSpots[spot], pair: f.edge, told: f.edges, turned: flips, rest: edgeRest, states: 2,
			name: topName(edgeSpots, spot, "edge"), faces: edgeFaces(f.slot, spot), at: edgeAt(lastslot.Case{Slot: f.slot}, spot), colour: ownColour(f.slot),
		}
		for sticker, face := range edge {
			view := f.sticker(of, spot, sticker, face, netEdge(f.slot, spot, sticker))
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
	pair                        sticker
	told, turned                [lastslot.Spots]int
	rest, states                int
}

func (f figure) sticker(of spotFigure, spot, turned int, face cube.Face, at cell) stickerView {
	view := stickerView{Class: "sticker of-" + of.of + " at-" + of.place + " " + at.class()}
	if of.place == slotPlace {
		view.Class = "sticker of-" + of.of + " at-slot" + of.of + " " + at.class()
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
		Checked: of.told[spot] == turned,
	}
	switch {
	case of.pair.spot == spot:
		view.Class += " of-pair"
		top.Disabled = true
	case f.told() && of.told[spot] == untold && of.turned[spot] == turned:
		view.Class += " assumed"
		if spot == of.rest && turned != 0 {
			view.Class += " rest"
			top.Label += ", follows from the others"
		}
	case f.told() && of.forced(spot) && of.turned[spot] != turned:
		view.Class += " impossible"
		top.Disabled = true
	}
	view.Inputs = []tapInput{
		{
			Class: "mark-" + of.of, Name: of.of, Value: of.place + "." + of.faces[turned], Label: "Pair’s " + where + of.colour + facing,
			Checked: of.pair == sticker{spot, turned},
		},
		top,
	}
	return view
}

// forced says whether all others were told, so that there is no choice for the
// spot.
func (of spotFigure) forced(spot int) bool {
	for other := range lastslot.Spots {
		if other != spot && other != of.pair.spot && of.told[other] == untold {
			return false
		}
	}
	return of.told[spot] == untold
}
