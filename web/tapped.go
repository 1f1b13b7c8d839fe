package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"slotcast/cube"
	"slotcast/forecast"
)

// A case is tapped in by stickers. The form's parameters are:
//
//	slot        FR FL BL BR
//	corner      the sticker that shows the bottom colour of the pair's corner
//	edge        the sticker that shows the front colour of the pair's edge, or
//	            its back colour where the slot is at the back
//	UBL ... UF  for each place on top the sticker that shows the top colour
//	slotcorner  the same for last-layer pieces that are in the slot
//	slotedge
//
// A sticker is a place, a point and a face, such as UFR.R; under the name of its
// own place the face alone. In the slot the faces are bottom, left and right as
// seen when looking at the slot, so that they stay when another slot is chosen.
// What is not told is oriented.

const slotPlace = "slot"

// spotNames has the name of each spot in the form.
var (
	cornerSpots = [forecast.Spots]string{"UBL", "UBR", "UFL", "UFR", slotPlace}
	edgeSpots   = [forecast.Spots]string{"UB", "UL", "UR", "UF", slotPlace}
)

// cornerFaces has the names of the faces of a corner spot, by twist.
func cornerFaces(spot int) []string {
	if spot == forecast.InSlot {
		// Clockwise seen from outside, the bottom is followed by the left.
		return []string{"bottom", "left", "right"}
	}
	f := cube.CornerPlace(spot).Facelets()
	return []string{f[0].String(), f[1].String(), f[2].String()}
}

// edgeFaces has the names of the faces of an edge spot, by flip.
func edgeFaces(slot forecast.Slot, spot int) []string {
	if spot == forecast.InSlot {
		if slot.Edge().Facelets()[0] == slot.Corner().Facelets()[1] {
			return []string{"left", "right"}
		}
		return []string{"right", "left"}
	}
	f := cube.EdgePlace(spot).Facelets()
	return []string{f[0].String(), f[1].String()}
}

// topName is the parameter that tells a last-layer piece in a spot.
func topName(spots [forecast.Spots]string, spot int, kind string) string {
	if spot == forecast.InSlot {
		return slotPlace + kind
	}
	return spots[spot]
}

// isTapped says whether a query is the tapped form's.
func isTapped(q url.Values) bool {
	return !q.Has("case") && !q.Has("scramble") && !q.Has("solution") && (q.Has("corner") || q.Has("edge"))
}

// readTapped reads the tapped form. Where all of it can be read but no puzzle
// shows it, the case is that of the form all the same.
func readTapped(q url.Values) (forecast.Case, error) {
	var c forecast.Case
	if name := q.Get("slot"); name != "" {
		slot, err := forecast.ParseSlot(name)
		if err != nil {
			return c, unclear("slot", err.Error())
		}
		c.Slot = slot
	}
	for spot := range forecast.Spots {
		var err error
		if c.Twists[spot], err = readFace(q, topName(cornerSpots, spot, "corner"), cornerFaces(spot)); err != nil {
			return c, err
		}
		if c.Flips[spot], err = readFace(q, topName(edgeSpots, spot, "edge"), edgeFaces(c.Slot, spot)); err != nil {
			return c, err
		}
	}
	var turned int
	var err error
	if c.Corner, turned, err = readSticker(q, "corner", cornerSpots, cornerFaces); err != nil {
		return c, err
	}
	c.Twists[c.Corner] = turned
	if c.Edge, turned, err = readSticker(q, "edge", edgeSpots, func(spot int) []string { return edgeFaces(c.Slot, spot) }); err != nil {
		return c, err
	}
	c.Flips[c.Edge] = turned
	if c, err = forecast.NewCase(c); err != nil {
		return c, &problem{Status: http.StatusUnprocessableEntity, Title: "No puzzle shows this", Detail: err.Error(), Field: "top"}
	}
	return c, nil
}

// readFace reads which of the faces shows the top colour; the first is oriented.
func readFace(q url.Values, name string, faces []string) (int, error) {
	value := q.Get(name)
	if value == "" {
		return 0, nil
	}
	if i := slices.Index(faces, value); i >= 0 {
		return i, nil
	}
	return 0, unclear("top", fmt.Sprintf("%s is %s, not “%s”", name, strings.Join(faces, " or "), value))
}

// readSticker reads the spot of a piece of the pair and how it is turned.
func readSticker(q url.Values, name string, spots [forecast.Spots]string, faces func(spot int) []string) (spot, turned int, err error) {
	place, face, _ := strings.Cut(q.Get(name), ".")
	if spot = slices.Index(spots[:], place); spot >= 0 {
		if turned = slices.Index(faces(spot), face); turned >= 0 {
			return spot, turned, nil
		}
	}
	if q.Get(name) == "" {
		return 0, 0, unclear("top", fmt.Sprintf("tap where the pair’s %s is", name))
	}
	return 0, 0, unclear("top", fmt.Sprintf("“%s” is no sticker of the pair’s %s", q.Get(name), name))
}

// tapView is the form in which a case is tapped in, filled with a case.
type tapView struct {
	Slots, Marks []choice
	// EdgeColour names the colour that the pair's edge is marked by.
	EdgeColour string
	Top, Slot  []stickerView
	Predicted  bool
	// Clear is where the form is with the pair in its slot and all oriented.
	Clear string
}

// slotFaceID names the face of a sticker of the slot, which is another one when
// another slot is chosen.
func slotFaceID(sticker int) string { return fmt.Sprintf("slot-face-%d", sticker) }

// choice is one of a row of radio inputs.
type choice struct {
	Value, Label string
	Checked      bool
}

// stickerView is one sticker of the figure and what can be marked on it.
type stickerView struct {
	Class  string
	Face   string
	Inputs []tapInput
}

// tapInput is a mark on a sticker: a radio input named for what it tells.
type tapInput struct {
	Class, Name, Value, Label string
	Checked                   bool
}

// tapMarks are what can be marked on the figure, one at a time.
var tapMarks = []choice{
	{Value: "corner", Label: "Corner"},
	{Value: "edge", Label: "Edge"},
	{Value: "top", Label: "Top colour"},
}

// tapOf fills the form with a case. mark is what taps are for at first.
func tapOf(c forecast.Case, mark string, predicted bool) tapView {
	v := tapView{Predicted: predicted, EdgeColour: ownColour(c.Slot)}
	// As they lie, seen from above.
	for _, s := range []forecast.Slot{forecast.BL, forecast.BR, forecast.FL, forecast.FR} {
		v.Slots = append(v.Slots, choice{s.String(), s.Words(), s == c.Slot})
	}
	if !slices.ContainsFunc(tapMarks, func(m choice) bool { return m.Value == mark }) {
		mark = "top"
	}
	for _, m := range tapMarks {
		m.Checked = m.Value == mark
		v.Marks = append(v.Marks, m)
	}
	solved := url.Values{
		"slot":   {c.Slot.String()},
		"mark":   {"corner"},
		"corner": {slotPlace + "." + cornerFaces(forecast.InSlot)[0]},
		"edge":   {slotPlace + "." + edgeFaces(c.Slot, forecast.InSlot)[0]},
	}
	v.Clear = "/?" + solved.Encode()
	// The unfolded top layer is five stickers wide, its front side below.
	for spot := range forecast.InSlot {
		for turned := range 3 {
			v.Top = append(v.Top, cornerSticker(c, spot, turned))
		}
		for turned := range 2 {
			v.Top = append(v.Top, edgeSticker(c, spot, turned))
		}
	}
	for turned := range 2 {
		v.Slot = append(v.Slot, edgeSticker(c, forecast.InSlot, turned))
	}
	for turned := range 3 {
		v.Slot = append(v.Slot, cornerSticker(c, forecast.InSlot, turned))
	}
	return v
}

func cornerSticker(c forecast.Case, spot, turned int) stickerView {
	face := cornerFaces(spot)[turned]
	at := c.Slot.CornerPlace(spot)
	shown := at.Facelets()[turned]
	return stickerView{
		Class: "of-corner " + stickerClass(cornerSpots[spot], face),
		Face:  shown.String(),
		Inputs: []tapInput{
			{"mark-corner", "corner", cornerSpots[spot] + "." + face, fmt.Sprintf("Pair’s corner %s, bottom colour facing %s", cornerAt(c, spot), faceWords(shown)), c.Corner == spot && c.Twists[spot] == turned},
			{"mark-top", topName(cornerSpots, spot, "corner"), face, fmt.Sprintf("Corner %s, top colour facing %s", cornerAt(c, spot), faceWords(shown)), c.Corner != spot && c.Twists[spot] == turned || c.Corner == spot && turned == 0},
		},
	}
}

func edgeSticker(c forecast.Case, spot, turned int) stickerView {
	face := edgeFaces(c.Slot, spot)[turned]
	at := c.Slot.EdgePlace(spot)
	shown := at.Facelets()[turned]
	return stickerView{
		Class: "of-edge " + stickerClass(edgeSpots[spot], face),
		Face:  shown.String(),
		Inputs: []tapInput{
			{"mark-edge", "edge", edgeSpots[spot] + "." + face, fmt.Sprintf("Pair’s edge %s, %s colour facing %s", edgeAt(c, spot), ownColour(c.Slot), faceWords(shown)), c.Edge == spot && c.Flips[spot] == turned},
			{"mark-top", topName(edgeSpots, spot, "edge"), face, fmt.Sprintf("Edge %s, top colour facing %s", edgeAt(c, spot), faceWords(shown)), c.Edge != spot && c.Flips[spot] == turned || c.Edge == spot && turned == 0},
		},
	}
}

// stickerClass names where the sticker is in the figure, for the style sheet.
func stickerClass(place, face string) string { return "at-" + place + " at-" + place + "-" + face }
