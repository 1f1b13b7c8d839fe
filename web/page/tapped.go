package page

import (
	"fmt"
	"slices"
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/query"
	"slotcast/web/tap"
	"slotcast/web/words"
)

// tapView is the form in which a case is tapped in.
type tapView struct {
	Steps []tapStep
	Slots []slotView
	// View is the class of the side from which the puzzle is seen, and Picture how it looks.
	View, Picture string
	// AtBack says that the slot is at the back.
	AtBack bool
	// Stickers are always in the same order, whatever slot they are laid out for.
	Stickers []stickerView
	Tools    []toolView
	// Hidden are the parameters that the form sends along.
	Hidden hiddenView
}

// tapStep is one of the three steps, and what taps mark in it.
type tapStep struct {
	Value, Name, Hint string
	Checked, Done     bool
}

// slotView is one of the four slots.
type slotView struct {
	Value, Label string
	Checked      bool
}

// stickerView is one sticker of the figure and what can be marked on it.
type stickerView struct {
	Class  string
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

// shownColours are the names of the sides' colours as the reader has them, by the side
// that each belongs to.
type shownColours [cube.Faces]string

// coloursOf are those with this colour on top, "" for the usual one: the style sheet has
// the same, and a test compares them.
func coloursOf(top string) shownColours {
	sides, ok := map[string]shownColours{
		"white":  {"white", "yellow", "orange", "red", "green", "blue"},
		"green":  {"green", "blue", "orange", "red", "yellow", "white"},
		"blue":   {"blue", "green", "orange", "red", "white", "yellow"},
		"red":    {"red", "orange", "white", "yellow", "green", "blue"},
		"orange": {"orange", "red", "yellow", "white", "green", "blue"},
	}[top]
	if !ok {
		return shownColours{"yellow", "white", "red", "orange", "green", "blue"}
	}
	return sides
}

// crossOf is the face that the cross is on of a puzzle that is white on top and green in
// front, for who has this colour on top.
func crossOf(top string) cube.Face {
	return cube.Face(slices.Index(query.CrossColours[:], coloursOf(top)[cube.FaceD])) // #nosec G115 -- one of six
}

// of are the colours of a piece, the first that of its first side.
func (c shownColours) of(faces ...cube.Face) string {
	names := make([]string, len(faces))
	for i, f := range faces {
		names[i] = c[f]
	}
	return strings.Join(names, "-")
}

// tapOf fills the form with a figure.
func tapOf(f tap.Figure, before tap.History, how hiddenView, colours shownColours) tapView {
	history := before.With(f)
	v := blankTap(f, history, how, colours)
	v.Picture = pictureOf(f).Named()
	v.Tools = toolsOf(f, history, how)
	return v
}

// toolsOf are what changes the whole figure; history ends with it.
func toolsOf(f tap.Figure, history tap.History, how hiddenView) []toolView {
	undo := toolView{Name: "Undo", Words: "Undo: as it was before", Key: "u"}
	if n := len(history); n > 1 {
		undo.Path = tapPath(history[n-2], history[:n-1], how)
	}
	return []toolView{
		undo,
		{"Clear", "Clear: nothing set", tapPath(tap.Empty(f.Slot), history, how), "n"},
		{"Mirror", "Mirror: the same for the other hand", tapPath(f.Mirrored(), history, how), "m"},
		{"Turn the top", "Turn the top: as after U", tapPath(f.TopTurned(), history, how), "t"},
		{"Turn the puzzle", "Turn the puzzle: as after y", tapPath(f.TurnedRound(), history, how), "y"},
	}
}

// exampleTap shows a figure, but the form is empty: the first tap begins a case of one's
// own, with nothing of the example in it.
func exampleTap(shown tap.Figure, how hiddenView, colours shownColours) tapView {
	v := blankTap(tap.Empty(shown.Slot), nil, how, colours)
	v.Picture = pictureOf(shown).Named()
	v.Tools = toolsOf(shown, nil, how)
	for i := range v.Tools {
		v.Tools[i].Path = ""
	}
	return v
}

// blankTap is the form without picture and tools.
func blankTap(f tap.Figure, history tap.History, how hiddenView, colours shownColours) tapView {
	v := tapView{Hidden: append(hiddenView{{"was", history.String()}}, how...), View: picture.ViewOf(f.Slot).Class(), AtBack: f.Slot == lastslot.BR || f.Slot == lastslot.BL}
	corner, edge := f.Slot.Corner().Facelets(), f.Slot.Edge().Facelets()
	v.Steps = []tapStep{
		{Value: "corner", Name: "Corner", Done: f.Corner.Spot != tap.Unset,
			Hint: fmt.Sprintf("%s: tap its %s", colours.of(corner[:]...), colours[corner[0]])},
		{Value: "edge", Name: "Edge", Done: f.Edge.Spot != tap.Unset,
			Hint: fmt.Sprintf("%s: tap its %s", colours.of(edge[:]...), colours[edge[0]])},
		{Value: "top", Name: "Top",
			Hint: fmt.Sprintf("tap each %s that is not on top", colours[cube.FaceU])},
	}
	step := 2
	for i := len(v.Steps) - 2; i >= 0; i-- {
		if !v.Steps[i].Done {
			step = i
		}
	}
	v.Steps[step].Checked = true
	// As they lie, seen from above.
	for _, s := range []lastslot.Slot{lastslot.BL, lastslot.BR, lastslot.FL, lastslot.FR} {
		v.Slots = append(v.Slots, slotView{s.String(), "The open slot is at the " + s.Words(), s == f.Slot})
	}
	v.Stickers = stickersOf(f)
	return v
}

// pictureOf draws a figure.
func pictureOf(f tap.Figure) picture.Picture {
	t := picture.Tapped{Slot: f.Slot, Corner: f.Corner.Spot, Edge: f.Edge.Spot}
	t.Twists, t.Flips = f.Turned()
	for spot := range lastslot.Spots {
		t.AssumedCorners[spot] = f.Corners[spot] == tap.Unset
		t.AssumedEdges[spot] = f.Edges[spot] == tap.Unset
	}
	return t.Picture()
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
			views = append(views, stickerOf(f, of, spot, sticker, face, picture.TileClass(f.Slot.CornerPlace(spot).String(), face)))
		}
		edge := f.Slot.EdgePlace(spot).Facelets()
		of = spotFigure{
			of: "edge", place: words.EdgeSpots[spot], pair: f.Edge, set: f.Edges, turned: flips, rest: edgeRest, states: 2,
			name: tap.TopName(words.EdgeSpots, spot, "edge"), faces: tap.EdgeFaces(f.Slot, spot), at: words.EdgeAt(lastslot.Case{Slot: f.Slot}, spot), colour: words.OwnColour(f.Slot),
		}
		for sticker, face := range edge {
			views = append(views, stickerOf(f, of, spot, sticker, face, picture.TileClass(f.Slot.EdgePlace(spot).String(), face)))
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

func stickerOf(f tap.Figure, of spotFigure, spot, turned int, face cube.Face, tile string) stickerView {
	view := stickerView{Class: "sticker of-" + of.of + " at-" + of.place + " " + tile}
	if of.place == words.InSlot {
		view.Class = "sticker of-" + of.of + " at-slot" + of.of + " " + tile
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
