package tap

import (
	"fmt"
	"net/http"
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
//	corner      the sticker that shows the bottom colour of the pair's corner
//	edge        the sticker that shows the front colour of the pair's edge, or
//	            its back colour where the slot is at the back
//	UBL ... UF  for each place on top the sticker that shows the top colour
//	slotcorner  the same for last-layer pieces that are in the slot
//	slotedge
//	mark        what taps mark: corner, edge or top
//	was         the figures before, for who wants to go back
//
// A sticker is a place, a point and a face, such as UFR.R; under the name of its
// own place the face alone. In the slot the faces are bottom, left and right as
// seen when looking at the slot, so that they stay when another slot is chosen.

// Figure is what was told of a case by stickers. The pair's pieces have to be
// told; of the others, what was not told is oriented, but for one corner and one
// edge where it cannot be: see [Figure.rest].
type Figure struct {
	Slot lastslot.Slot
	// corner and edge are where the pair's pieces are.
	Corner, Edge Sticker
	// corners and edges have, for each spot, which of its stickers shows the top
	// colour, or untold.
	Corners, Edges [lastslot.Spots]int
}

// Sticker is one of a spot's, numbered as its place's facelets are: so it is also
// the twist or the flip of a piece that shows there what it is told by.
type Sticker struct{ Spot, Turned int }

// Unset is the number of a spot, twist or flip that is not set.
const Unset = -1

// Empty is one of which nothing was told but the slot.
func Empty(slot lastslot.Slot) Figure {
	f := Figure{Slot: slot, Corner: Sticker{Spot: Unset}, Edge: Sticker{Spot: Unset}}
	for spot := range lastslot.Spots {
		f.Corners[spot], f.Edges[spot] = Unset, Unset
	}
	return f
}

// restOrder is in which order spots that were not told take what is left of
// twists and flips: first the slot, where neither way is the usual one, then
// those that are hardest to look at.
var restOrder = [lastslot.Spots]int{lastslot.InSlot, 0, 1, 2, 3}

// Of tells a case in the fewest taps.
func Of(c lastslot.Case) Figure {
	f := Empty(c.Slot)
	f.Corner = Sticker{c.Corner, c.Twists[c.Corner]}
	f.Edge = Sticker{c.Edge, c.Flips[c.Edge]}
	cornerRest, edgeRest := f.Rest()
	for spot := range lastslot.Spots {
		if spot != c.Corner && spot != cornerRest && c.Twists[spot] != 0 {
			f.Corners[spot] = c.Twists[spot]
		}
		if spot != c.Edge && spot != edgeRest && c.Flips[spot] != 0 {
			f.Edges[spot] = c.Flips[spot]
		}
	}
	return f
}

// Complete says whether the pair was.
func (f Figure) Complete() bool { return f.Corner.Spot != Unset && f.Edge.Spot != Unset }

// Rest is the corner spot and the edge spot that take what the others leave, as
// twists add up to a multiple of three and flips to an even number. They are
// untold where all were told.
func (f Figure) Rest() (corner, edge int) {
	first := func(set [lastslot.Spots]int, pair int) int {
		for _, spot := range restOrder {
			if spot != pair && set[spot] == Unset {
				return spot
			}
		}
		return Unset
	}
	return first(f.Corners, f.Corner.Spot), first(f.Edges, f.Edge.Spot)
}

// Assumed is how many last-layer pieces are taken as oriented because nothing was said of
// them and nothing follows from the others.
func (f Figure) Assumed() (n int) {
	corner, edge := f.Rest()
	for spot := range lastslot.Spots {
		if spot != f.Corner.Spot && spot != corner && f.Corners[spot] == Unset {
			n++
		}
		if spot != f.Edge.Spot && spot != edge && f.Edges[spot] == Unset {
			n++
		}
	}
	return n
}

// Turned are all twists and flips, as far as they were told and follow from that.
func (f Figure) Turned() (twists, flips [lastslot.Spots]int) {
	fill := func(set [lastslot.Spots]int, pair Sticker, rest, states int) (all [lastslot.Spots]int) {
		sum := 0
		for spot, turned := range set {
			if spot == pair.Spot {
				turned = pair.Turned
			}
			all[spot] = max(turned, 0)
			sum += all[spot]
		}
		if rest != Unset && pair.Spot != Unset {
			all[rest] = (states - sum%states) % states
		}
		return all
	}
	corner, edge := f.Rest()
	return fill(f.Corners, f.Corner, corner, 3), fill(f.Edges, f.Edge, edge, 2)
}

// Case is the case that was told. An error is a [*problem.Problem].
func (f Figure) Case() (lastslot.Case, error) {
	for _, pair := range []struct {
		piece string
		Sticker
	}{{"corner", f.Corner}, {"edge", f.Edge}} {
		if pair.Spot == Unset {
			return lastslot.Case{}, problem.BadRequest("top", fmt.Sprintf("tap where the pair’s %s is", pair.piece))
		}
	}
	c := lastslot.Case{Slot: f.Slot, Corner: f.Corner.Spot, Edge: f.Edge.Spot}
	c.Twists, c.Flips = f.Turned()
	c, err := lastslot.NewCase(c)
	if err != nil {
		return c, &problem.Problem{Status: http.StatusUnprocessableEntity, Title: "No puzzle shows this", Detail: err.Error(), Field: "top"}
	}
	return c, nil
}

// CornerFaces has the names of the faces of a corner spot, by twist.
func CornerFaces(spot int) []string {
	if spot == lastslot.InSlot {
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

// TopName is the parameter that tells a last-layer piece in a spot.
func TopName(spots [lastslot.Spots]string, spot int, kind string) string {
	if spot == lastslot.InSlot {
		return words.InSlot + kind
	}
	return spots[spot]
}

// Asked says whether a query is the tapped form's.
func Asked(q url.Values) bool {
	return !q.Has("case") && !q.Has("scramble") && !q.Has("solution") && (q.Has("corner") || q.Has("edge") || q.Has("mark"))
}

// Read reads the tapped form. An error is a [*problem.Problem]; what can be read is
// read all the same.
func Read(q url.Values) (f Figure, err error) {
	f = Empty(lastslot.FR)
	note := func(e error) {
		if err == nil {
			err = e
		}
	}
	if name := q.Get("slot"); name != "" {
		var e error
		f.Slot, e = lastslot.ParseSlot(name)
		if e != nil {
			note(problem.BadRequest("slot", e.Error()))
		}
	}
	edgeFaces := func(spot int) []string { return EdgeFaces(f.Slot, spot) }
	for spot := range lastslot.Spots {
		var e error
		f.Corners[spot], e = readFace(q, TopName(words.CornerSpots, spot, "corner"), CornerFaces(spot))
		note(e)
		f.Edges[spot], e = readFace(q, TopName(words.EdgeSpots, spot, "edge"), edgeFaces(spot))
		note(e)
	}
	var e error
	f.Corner, e = readSticker(q, "corner", words.CornerSpots, CornerFaces)
	note(e)
	f.Edge, e = readSticker(q, "edge", words.EdgeSpots, edgeFaces)
	note(e)
	return f.tidy(), err
}

// tidy forgets what was told of last-layer pieces where the pair's are, and what
// follows from the others: so that a change of those is no contradiction.
func (f Figure) tidy() Figure {
	if f.Corner.Spot != Unset {
		f.Corners[f.Corner.Spot] = Unset
	}
	if f.Edge.Spot != Unset {
		f.Edges[f.Edge.Spot] = Unset
	}
	cornerRest, edgeRest := f.Rest()
	twists, flips := f.Turned()
	for _, set := range []struct {
		spots  *[lastslot.Spots]int
		pair   Sticker
		rest   int
		turned [lastslot.Spots]int
		states int
	}{{&f.Corners, f.Corner, cornerRest, twists, 3}, {&f.Edges, f.Edge, edgeRest, flips, 2}} {
		sum := 0
		for _, turned := range set.turned {
			sum += turned
		}
		if set.rest != Unset || sum%set.states != 0 {
			continue
		}
		first := restOrder[0]
		if first == set.pair.Spot {
			first = restOrder[1]
		}
		set.spots[first] = Unset
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

// readSticker reads the spot of a piece of the pair and how it is turned.
func readSticker(q url.Values, name string, spots [lastslot.Spots]string, faces func(spot int) []string) (Sticker, error) {
	value := q.Get(name)
	if value == "" {
		return Sticker{Spot: Unset}, nil
	}
	place, face, _ := strings.Cut(value, ".")
	if spot := slices.Index(spots[:], place); spot >= 0 {
		if turned := slices.Index(faces(spot), face); turned >= 0 {
			return Sticker{spot, turned}, nil
		}
	}
	return Sticker{Spot: Unset}, problem.BadRequest("top", fmt.Sprintf("“%s” is not a sticker of the pair’s %s", problem.Shortened(value), name))
}

// Values are what the form sends of the figure.
func (f Figure) Values() url.Values {
	v := url.Values{"slot": {f.Slot.String()}}
	if f.Corner.Spot != Unset {
		v.Set("corner", words.CornerSpots[f.Corner.Spot]+"."+CornerFaces(f.Corner.Spot)[f.Corner.Turned])
	}
	if f.Edge.Spot != Unset {
		v.Set("edge", words.EdgeSpots[f.Edge.Spot]+"."+EdgeFaces(f.Slot, f.Edge.Spot)[f.Edge.Turned])
	}
	for spot := range lastslot.Spots {
		if turned := f.Corners[spot]; turned != Unset {
			v.Set(TopName(words.CornerSpots, spot, "corner"), CornerFaces(spot)[turned])
		}
		if turned := f.Edges[spot]; turned != Unset {
			v.Set(TopName(words.EdgeSpots, spot, "edge"), EdgeFaces(f.Slot, spot)[turned])
		}
	}
	return v
}
