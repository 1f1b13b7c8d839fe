package tap

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/words"
)

// A case is tapped in by stickers. The form's parameters are:
//
//	slot        FR FL BL BR
//	second      the other open slot, nothing where one is open
//	corner      the sticker that shows the bottom colour of the pair's corner
//	edge        the sticker that shows the front colour of the pair's edge, or
//	            its back colour where the slot is at the back
//	corner2     the same for the second slot's pair
//	edge2
//	UBL ... UF  for each place on top the sticker that shows the top colour
//	slotcorner  the same for last-layer pieces that are in the slot, and in the second
//	slotedge
//	secondcorner
//	secondedge
//	mark        what taps mark: corner, edge, corner2, edge2 or top
//	was         the figures before, for who wants to go back
//
// A sticker is a place, a point and a face, such as UFR.R; under the name of its
// own place the face alone. In a slot the faces are bottom, left and right as
// seen when looking at the slot, so that they stay when another slot is chosen.

// CornerFaces has the names of the faces of a corner spot, by twist.
func CornerFaces(spot int) []string {
	if spot >= inSlot {
		// Clockwise seen from outside, the bottom is followed by the left.
		return []string{"bottom", "left", "right"}
	}
	f := cube.CornerPlace(spot).Facelets()
	return []string{f[0].String(), f[1].String(), f[2].String()}
}

// EdgeFaces has the names of the faces of an edge spot, by flip.
func EdgeFaces(slot lastslot.Slot, spot int) []string {
	if spot == lastslot.InSlot {
		if slot.Edge().Facelets()[0] == slot.Corner().Facelets()[1] {
			return []string{"left", "right"}
		}
		return []string{"right", "left"}
	}
	f := cube.EdgePlace(spot).Facelets()
	return []string{f[0].String(), f[1].String()}
}

// CornerSpots and EdgeSpots have the name of each spot in the form.
var (
	CornerSpots = append(words.CornerSpots[:], second)
	EdgeSpots   = append(words.EdgeSpots[:], second)
)

// second is the name of the second slot and its spots.
const second = "second"

// TopName is the parameter that tells a last-layer piece in a spot; kind is corner or edge.
func TopName(spots []string, spot int, kind string) string {
	if spot >= inSlot {
		return spots[spot] + kind
	}
	return spots[spot]
}

// PairNames are the parameters that tell the pieces of a pair.
func PairNames(pair int) (corner, edge string) {
	return [...]string{"corner", "corner2"}[pair], [...]string{"edge", "edge2"}[pair]
}

// Asked says whether a query is the tapped form's.
func Asked(q url.Values) bool {
	return !q.Has("case") && !q.Has("scramble") && !q.Has("solution") && slices.ContainsFunc([]string{"corner", "edge", "corner2", "edge2", "mark"}, q.Has)
}

// Read reads the tapped form. An error is a [*problem.Problem]; what can be read is
// read all the same.
func Read(q url.Values) (f Figure, err error) {
	note := func(e error) {
		if err == nil {
			err = e
		}
	}
	slot := func(name string, none lastslot.Slot) lastslot.Slot {
		if q.Get(name) == "" {
			return none
		}
		slot, e := lastslot.ParseSlot(q.Get(name))
		if e != nil {
			note(problem.BadRequest(name, e.Error()))
			return none
		}
		return slot
	}
	f = Empty(slot("slot", lastslot.FR))
	f.Second = slot(second, f.Slot)
	for spot := range f.Spots() {
		var e error
		f.Corners[spot], e = readFace(q, TopName(CornerSpots, spot, "corner"), CornerFaces(spot))
		note(e)
		f.Edges[spot], e = readFace(q, TopName(EdgeSpots, spot, "edge"), f.EdgeFaces(spot))
		note(e)
	}
	for i := range f.Slots() {
		corner, edge := PairNames(i)
		var e error
		f.Pairs[i].Corner, e = readSticker(q, corner, CornerSpots[:f.Spots()], CornerFaces)
		note(e)
		f.Pairs[i].Edge, e = readSticker(q, edge, EdgeSpots[:f.Spots()], f.EdgeFaces)
		note(e)
	}
	return f.tidy(), err
}

// tidy forgets what was told of last-layer pieces where the pairs' are, and what
// follows from the others: so that a change of those is no contradiction.
func (f Figure) tidy() Figure {
	for _, pair := range f.Pairs {
		if pair.Corner.Spot != Unset {
			f.Corners[pair.Corner.Spot] = Unset
		}
		if pair.Edge.Spot != Unset {
			f.Edges[pair.Edge.Spot] = Unset
		}
	}
	cornerRest, edgeRest := f.Rest()
	twists, flips := f.Turned()
	for _, set := range []struct {
		spots  *[Spots]int
		of     func(spot int) int
		rest   int
		turned [Spots]int
		states int
	}{{&f.Corners, f.OfCorner, cornerRest, twists, 3}, {&f.Edges, f.OfEdge, edgeRest, flips, 2}} {
		sum := 0
		for _, turned := range set.turned {
			sum += turned
		}
		if set.rest != Unset || sum%set.states != 0 {
			continue
		}
		for _, spot := range restOrder {
			if spot < f.Spots() && set.of(spot) == Unset {
				set.spots[spot] = Unset
				break
			}
		}
	}
	return f
}

// readFace reads which of the faces shows the top colour.
func readFace(q url.Values, name string, faces []string) (int, error) {
	value := q.Get(name)
	if value == "" {
		return Unset, nil
	}
	if i := slices.Index(faces, value); i >= 0 {
		return i, nil
	}
	return Unset, problem.BadRequest("top", fmt.Sprintf("%s is %s, not “%s”", name, strings.Join(faces, " or "), problem.Shortened(value)))
}

// readSticker reads the spot of a piece of a pair and how it is turned.
func readSticker(q url.Values, name string, spots []string, faces func(spot int) []string) (Sticker, error) {
	value := q.Get(name)
	if value == "" {
		return Sticker{Spot: Unset}, nil
	}
	place, face, _ := strings.Cut(value, ".")
	if spot := slices.Index(spots, place); spot >= 0 {
		if turned := slices.Index(faces(spot), face); turned >= 0 {
			return Sticker{spot, turned}, nil
		}
	}
	return Sticker{Spot: Unset}, problem.BadRequest("top", fmt.Sprintf("“%s” is not a sticker of the pair’s %s", problem.Shortened(value), strings.TrimSuffix(name, "2")))
}

// Values are what the form sends of the figure.
func (f Figure) Values() url.Values {
	v := url.Values{"slot": {f.Slot.String()}}
	if f.Two() {
		v.Set(second, f.Second.String())
	}
	for i := range f.Slots() {
		corner, edge := PairNames(i)
		if at := f.Pairs[i].Corner; at.Spot != Unset {
			v.Set(corner, CornerSpots[at.Spot]+"."+CornerFaces(at.Spot)[at.Turned])
		}
		if at := f.Pairs[i].Edge; at.Spot != Unset {
			v.Set(edge, EdgeSpots[at.Spot]+"."+f.EdgeFaces(at.Spot)[at.Turned])
		}
	}
	for spot := range f.Spots() {
		if turned := f.Corners[spot]; turned != Unset {
			v.Set(TopName(CornerSpots, spot, "corner"), CornerFaces(spot)[turned])
		}
		if turned := f.Edges[spot]; turned != Unset {
			v.Set(TopName(EdgeSpots, spot, "edge"), f.EdgeFaces(spot)[turned])
		}
	}
	return v
}
