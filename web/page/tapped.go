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
	// Two says that a second slot is open.
	Two   bool
	Steps []tapStep
	Slots []slotView
	// SecondSlots are those that may be open besides, and none.
	SecondSlots []slotView
	// View is the class of the side from which the puzzle is seen, and Picture how it looks.
	View, Picture string
	// AtBack says that an open slot is at the back on the side that is seen, AtOther that
	// one is at the front on the other, and Above that the picture is higher for one behind.
	AtBack, AtOther, Above bool
	// Stickers are always in the same order, whatever slot they are laid out for.
	Stickers []stickerView
	Tools    []toolView
	// Hidden are the parameters that the form sends along.
	Hidden hiddenView
}

// tapStep is one of the steps, two for the pair of each open slot and one for the top, and
// what taps mark in it.
type tapStep struct {
	Value, Name, Hint string
	Checked, Done     bool
}

// slotView is one of the four slots, or none.
type slotView struct {
	Value, Label      string
	Checked, Disabled bool
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
		{"Clear", "Clear: nothing set", tapPath(tap.EmptyTwo(f.Slot, f.Second), history, how), "n"},
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
	view := picture.ViewOfTwo(f.Slot, f.Second)
	v := tapView{Two: f.Two(), Hidden: append(hiddenView{{"was", history.String()}}, how...), View: view.Class(), Above: view.Above() > 0}
	for _, slot := range f.Slots() {
		seen, back := picture.ViewOf(slot).Class() == v.View, slot == lastslot.BR || slot == lastslot.BL
		v.AtBack = v.AtBack || seen && back
		v.AtOther = v.AtOther || !seen && !back
	}
	for i, slot := range f.Slots() {
		corner, edge := slot.Corner().Facelets(), slot.Edge().Facelets()
		cornerName, edgeName := tap.PairNames(i)
		of := ""
		if f.Two() {
			of = " of " + slot.Words()
		}
		v.Steps = append(v.Steps,
			tapStep{Value: cornerName, Name: "Corner" + of, Done: f.Pairs[i].Corner.Spot != tap.Unset,
				Hint: fmt.Sprintf("%s: tap its %s", colours.of(corner[:]...), colours[corner[0]])},
			tapStep{Value: edgeName, Name: "Edge" + of, Done: f.Pairs[i].Edge.Spot != tap.Unset,
				Hint: fmt.Sprintf("%s: tap its %s", colours.of(edge[:]...), colours[edge[0]])})
	}
	v.Steps = append(v.Steps, tapStep{Value: "top", Name: "Top",
		Hint: fmt.Sprintf("tap each %s that is not on top", colours[cube.FaceU])})
	step := len(v.Steps) - 1
	for i := len(v.Steps) - 2; i >= 0; i-- {
		if !v.Steps[i].Done {
			step = i
		}
	}
	v.Steps[step].Checked = true
	// As they lie, seen from above.
	for _, s := range []lastslot.Slot{lastslot.BL, lastslot.BR, lastslot.FL, lastslot.FR} {
		v.Slots = append(v.Slots, slotView{Value: s.String(), Label: "The open slot is at the " + s.Words(), Checked: s == f.Slot})
	}
	v.SecondSlots = append(v.SecondSlots, slotView{Value: "", Label: "none", Checked: !f.Two()})
	for s := range lastslot.Slot(lastslot.Slots) {
		v.SecondSlots = append(v.SecondSlots, slotView{s.String(), s.Words(), f.Two() && s == f.Second, s == f.Slot})
	}
	v.Stickers = stickersOf(f)
	return v
}

// pictureOf draws a figure.
func pictureOf(f tap.Figure) picture.Picture {
	t := picture.Tapped{Slot: f.Slot, Second: f.Second}
	for i, pair := range f.Pairs {
		t.Corners[i], t.Edges[i] = pair.Corner.Spot, pair.Edge.Spot
	}
	t.Twists, t.Flips = f.Turned()
	for spot := range f.Spots() {
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
	views := make([]stickerView, 0, tap.Spots*5)
	complete := f.Complete()
	for spot := range f.Spots() {
		corner, edge := f.CornerPlace(spot), f.EdgePlace(spot)
		of := spotFigure{
			of: "corner", place: tap.CornerSpots[spot], name: tap.TopName(tap.CornerSpots, spot, "corner"), where: "corner " + spotWords(f, spot, corner.String()),
			faces: tap.CornerFaces(spot), complete: complete, set: f.Corners[spot], turned: twists[spot], follows: spot == cornerRest,
			forced: f.Corners[spot] == tap.Unset && othersTold(&f.Corners, f.OfCorner, spot, f.Spots()), pair: f.OfCorner(spot),
		}
		for i := range f.Slots() {
			of.pieces = append(of.pieces, pieceFigure{"bottom", f.Pairs[i].Corner == tap.Sticker{Spot: spot, Turned: twists[spot]}})
		}
		for sticker, face := range corner.Facelets() {
			views = append(views, of.sticker(sticker, face, picture.TileClass(corner.String(), face)))
		}
		of = spotFigure{
			of: "edge", place: tap.EdgeSpots[spot], name: tap.TopName(tap.EdgeSpots, spot, "edge"), where: "edge " + spotWords(f, spot, edge.String()),
			faces: f.EdgeFaces(spot), complete: complete, set: f.Edges[spot], turned: flips[spot], follows: spot == edgeRest,
			forced: f.Edges[spot] == tap.Unset && othersTold(&f.Edges, f.OfEdge, spot, f.Spots()), pair: f.OfEdge(spot),
		}
		for i, slot := range f.Slots() {
			of.pieces = append(of.pieces, pieceFigure{words.OwnColour(slot), f.Pairs[i].Edge == tap.Sticker{Spot: spot, Turned: flips[spot]}})
		}
		for sticker, face := range edge.Facelets() {
			views = append(views, of.sticker(sticker, face, picture.TileClass(edge.String(), face)))
		}
	}
	return views
}

// spotWords says where a spot is.
func spotWords(f tap.Figure, spot int, place string) string {
	switch {
	case spot < lastslot.InSlot:
		return "at " + place
	case f.Two():
		return "in the slot at the " + f.SlotOf(spot).Words()
	}
	return "in the slot"
}

// othersTold says whether all others were told, so that there is no choice for the spot.
func othersTold(set *[tap.Spots]int, of func(spot int) int, spot, spots int) bool {
	for other := range spots {
		if other != spot && set[other] == tap.Unset && of(other) == tap.Unset {
			return false
		}
	}
	return true
}

// spotFigure is what a spot's stickers have in common: of is corner or edge, place and name
// are the form's, where says it in words.
type spotFigure struct {
	of, place, name, where string
	faces                  []string
	complete               bool
	// set is which sticker was told to show the top colour, turned which one does; follows
	// and forced say that the others leave no choice, the first that it was not told.
	set, turned     int
	follows, forced bool
	// pair is which pair's piece is there, and pieces are what can be told of either's.
	pair   int
	pieces []pieceFigure
}

// pieceFigure is a pair's piece: the colour that it is told by, and whether it is here.
type pieceFigure struct {
	colour string
	here   bool
}

func (of *spotFigure) sticker(turned int, face cube.Face, tile string) stickerView {
	view := stickerView{Class: "sticker of-" + of.of + " at-" + of.name + " " + tile}
	// Plain sums: there are fifty labels, and they are made anew with each tap.
	facing := " colour facing " + face.Words()
	top := tapInput{
		Class: "mark-top", Name: of.name, Value: of.faces[turned],
		Label:   of.where + ", top" + facing,
		Checked: of.set == turned,
	}
	switch {
	case of.pair != tap.Unset:
		view.Class += " of-pair"
		top.Disabled = true
	case of.complete && of.set == tap.Unset && of.turned == turned:
		view.Class += " assumed"
		if of.follows && turned != 0 {
			top.Label += ", follows from the others"
		}
	case of.complete && of.forced && of.turned != turned:
		view.Class += " impossible"
		top.Disabled = true
	}
	view.Inputs = make([]tapInput, 0, len(of.pieces)+1)
	for i, piece := range of.pieces {
		name := of.of
		label := "Pair’s "
		if i > 0 {
			name += "2"
		}
		if len(of.pieces) > 1 {
			label = [...]string{"First pair’s ", "Second pair’s "}[i]
		}
		view.Inputs = append(view.Inputs, tapInput{
			Class: "mark-" + name, Name: name, Value: of.place + "." + of.faces[turned],
			Label:    label + of.where + ", " + piece.colour + facing,
			Checked:  piece.here && of.turned == turned,
			Disabled: of.pair != tap.Unset && of.pair != i,
		})
	}
	view.Inputs = append(view.Inputs, top)
	return view
}
