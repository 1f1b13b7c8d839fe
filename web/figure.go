package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
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

// figure is what was told of a case by stickers. The pair's pieces have to be
// told; of the others, what was not told is oriented, but for one corner and one
// edge where it cannot be: see [figure.rest].
type figure struct {
	slot lastslot.Slot
	// corner and edge are where the pair's pieces are.
	corner, edge sticker
	// corners and edges have, for each spot, which of its stickers shows the top
	// colour, or untold.
	corners, edges [lastslot.Spots]int
}

// sticker is one of a spot's, numbered as its place's facelets are: so it is also
// the twist or the flip of a piece that shows there what it is told by.
type sticker struct{ spot, turned int }

const untold = -1

// emptyFigure is one of which nothing was told but the slot.
func emptyFigure(slot lastslot.Slot) figure {
	f := figure{slot: slot, corner: sticker{spot: untold}, edge: sticker{spot: untold}}
	for spot := range lastslot.Spots {
		f.corners[spot], f.edges[spot] = untold, untold
	}
	return f
}

// restOrder is in which order spots that were not told take what is left of
// twists and flips: first the slot, where neither way is the usual one, then
// those that are hardest to look at.
var restOrder = [lastslot.Spots]int{lastslot.InSlot, 0, 1, 2, 3}

// figureOf tells a case in the fewest taps.
func figureOf(c lastslot.Case) figure {
	f := emptyFigure(c.Slot)
	f.corner = sticker{c.Corner, c.Twists[c.Corner]}
	f.edge = sticker{c.Edge, c.Flips[c.Edge]}
	cornerRest, edgeRest := f.rest()
	for spot := range lastslot.Spots {
		if spot != c.Corner && spot != cornerRest && c.Twists[spot] != 0 {
			f.corners[spot] = c.Twists[spot]
		}
		if spot != c.Edge && spot != edgeRest && c.Flips[spot] != 0 {
			f.edges[spot] = c.Flips[spot]
		}
	}
	return f
}

// told says whether the pair was.
func (f figure) told() bool { return f.corner.spot != untold && f.edge.spot != untold }

// rest is the corner spot and the edge spot that take what the others leave, as
// twists add up to a multiple of three and flips to an even number. They are
// untold where all were told.
func (f figure) rest() (corner, edge int) {
	first := func(told [lastslot.Spots]int, pair int) int {
		for _, spot := range restOrder {
			if spot != pair && told[spot] == untold {
				return spot
			}
		}
		return untold
	}
	return first(f.corners, f.corner.spot), first(f.edges, f.edge.spot)
}

// turned are all twists and flips, as far as they were told and follow from that.
func (f figure) turned() (twists, flips [lastslot.Spots]int) {
	fill := func(told [lastslot.Spots]int, pair sticker, rest, states int) (all [lastslot.Spots]int) {
		sum := 0
		for spot, turned := range told {
			if spot == pair.spot {
				turned = pair.turned
			}
			all[spot] = max(turned, 0)
			sum += all[spot]
		}
		if rest != untold && pair.spot != untold {
			all[rest] = (states - sum%states) % states
		}
		return all
	}
	corner, edge := f.rest()
	return fill(f.corners, f.corner, corner, 3), fill(f.edges, f.edge, edge, 2)
}

// forecastCase is the case that was told. An error is a [*problem].
func (f figure) forecastCase() (lastslot.Case, error) {
	for _, pair := range []struct {
		piece string
		sticker
	}{{"corner", f.corner}, {"edge", f.edge}} {
		if pair.spot == untold {
			return lastslot.Case{}, unclear("top", fmt.Sprintf("tap where the pair’s %s is", pair.piece))
		}
	}
	c := lastslot.Case{Slot: f.slot, Corner: f.corner.spot, Edge: f.edge.spot}
	c.Twists, c.Flips = f.turned()
	c, err := lastslot.NewCase(c)
	if err != nil {
		return c, &problem{Status: http.StatusUnprocessableEntity, Title: "No puzzle shows this", Detail: err.Error(), Field: "top"}
	}
	return c, nil
}

// spotNames has the name of each spot in the form.
var (
	cornerSpots = [lastslot.Spots]string{"UBL", "UBR", "UFL", "UFR", slotPlace}
	edgeSpots   = [lastslot.Spots]string{"UB", "UL", "UR", "UF", slotPlace}
)

const slotPlace = "slot"

// cornerFaces has the names of the faces of a corner spot, by twist.
func cornerFaces(spot int) []string {
	if spot == lastslot.InSlot {
		// Clockwise seen from outside, the bottom is followed by the left.
		return []string{"bottom", "left", "right"}
	}
	f := cube.CornerPlace(spot).Facelets()
	return []string{f[0].String(), f[1].String(), f[2].String()}
}

// edgeFaces has the names of the faces of an edge spot, by flip.
func edgeFaces(slot lastslot.Slot, spot int) []string {
	if spot == lastslot.InSlot {
		if slot.Edge().Facelets()[0] == slot.Corner().Facelets()[1] {
			return []string{"left", "right"}
		}
		return []string{"right", "left"}
	}
	f := cube.EdgePlace(spot).Facelets()
	return []string{f[0].String(), f[1].String()}
}

// topName is the parameter that tells a last-layer piece in a spot.
func topName(spots [lastslot.Spots]string, spot int, kind string) string {
	if spot == lastslot.InSlot {
		return slotPlace + kind
	}
	return spots[spot]
}

// isTapped says whether a query is the tapped form's.
func isTapped(q url.Values) bool {
	return !q.Has("case") && !q.Has("scramble") && !q.Has("solution") && (q.Has("corner") || q.Has("edge") || q.Has("mark"))
}

// readFigure reads the tapped form. An error is a [*problem]; what can be read is
// read all the same.
func readFigure(q url.Values) (f figure, err error) {
	f = emptyFigure(lastslot.FR)
	note := func(e error) {
		if err == nil {
			err = e
		}
	}
	if name := q.Get("slot"); name != "" {
		var e error
		f.slot, e = lastslot.ParseSlot(name)
		if e != nil {
			note(unclear("slot", e.Error()))
		}
	}
	edgeFaces := func(spot int) []string { return edgeFaces(f.slot, spot) }
	for spot := range lastslot.Spots {
		var e error
		f.corners[spot], e = readFace(q, topName(cornerSpots, spot, "corner"), cornerFaces(spot))
		note(e)
		f.edges[spot], e = readFace(q, topName(edgeSpots, spot, "edge"), edgeFaces(spot))
		note(e)
	}
	var e error
	f.corner, e = readSticker(q, "corner", cornerSpots, cornerFaces)
	note(e)
	f.edge, e = readSticker(q, "edge", edgeSpots, edgeFaces)
	note(e)
	return f.tidy(), err
}

// tidy forgets what was told of last-layer pieces where the pair's are, and what
// follows from the others: so that a change of those is no contradiction.
func (f figure) tidy() figure {
	if f.corner.spot != untold {
		f.corners[f.corner.spot] = untold
	}
	if f.edge.spot != untold {
		f.edges[f.edge.spot] = untold
	}
	cornerRest, edgeRest := f.rest()
	twists, flips := f.turned()
	for _, told := range []struct {
		spots  *[lastslot.Spots]int
		pair   sticker
		rest   int
		turned [lastslot.Spots]int
		states int
	}{{&f.corners, f.corner, cornerRest, twists, 3}, {&f.edges, f.edge, edgeRest, flips, 2}} {
		sum := 0
		for _, turned := range told.turned {
			sum += turned
		}
		if told.rest != untold || sum%told.states != 0 {
			continue
		}
		first := restOrder[0]
		if first == told.pair.spot {
			first = restOrder[1]
		}
		told.spots[first] = untold
	}
	return f
}

// readFace reads which of the faces shows the top colour.
func readFace(q url.Values, name string, faces []string) (int, error) {
	value := q.Get(name)
	if value == "" {
		return untold, nil
	}
	if i := slices.Index(faces, value); i >= 0 {
		return i, nil
	}
	return untold, unclear("top", fmt.Sprintf("%s is %s, not “%s”", name, strings.Join(faces, " or "), shortened(value)))
}

// readSticker reads the spot of a piece of the pair and how it is turned.
func readSticker(q url.Values, name string, spots [lastslot.Spots]string, faces func(spot int) []string) (sticker, error) {
	value := q.Get(name)
	if value == "" {
		return sticker{spot: untold}, nil
	}
	place, face, _ := strings.Cut(value, ".")
	if spot := slices.Index(spots[:], place); spot >= 0 {
		if turned := slices.Index(faces(spot), face); turned >= 0 {
			return sticker{spot, turned}, nil
		}
	}
	return sticker{spot: untold}, unclear("top", fmt.Sprintf("“%s” is no sticker of the pair’s %s", shortened(value), name))
}

// values are what the form sends of the figure.
func (f figure) values() url.Values {
	v := url.Values{"slot": {f.slot.String()}}
	if f.corner.spot != untold {
		v.Set("corner", cornerSpots[f.corner.spot]+"."+cornerFaces(f.corner.spot)[f.corner.turned])
	}
	if f.edge.spot != untold {
		v.Set("edge", edgeSpots[f.edge.spot]+"."+edgeFaces(f.slot, f.edge.spot)[f.edge.turned])
	}
	for spot := range lastslot.Spots {
		if turned := f.corners[spot]; turned != untold {
			v.Set(topName(cornerSpots, spot, "corner"), cornerFaces(spot)[turned])
		}
		if turned := f.edges[spot]; turned != untold {
			v.Set(topName(edgeSpots, spot, "edge"), edgeFaces(f.slot, spot)[turned])
		}
	}
	return v
}

// mirrored is the figure for the other hand.
func (f figure) mirrored() figure {
	return f.moved(cube.MirrorLR.Face, cube.MirrorLR.Face)
}

// topTurned is the figure after a turn of U.
func (f figure) topTurned() figure {
	return f.moved(turnedY.Face, func(face cube.Face) cube.Face { return face })
}

// turnedRound is the figure after the whole puzzle was turned by y, so that the
// slot is at the next place.
func (f figure) turnedRound() figure {
	r := f.moved(turnedY.Face, turnedY.Face)
	if r.edge.spot != untold {
		// What was at the front or back is now at the sides: the pair's edge is told by
		// its other colour.
		r.edge.turned ^= 1
	}
	return r
}

var turnedY = cube.Sequence{cube.TurnOf(cube.Y, 1)}.Cube().Hold()

// moved carries the stickers on top by one map of the faces, those of the slot by
// another.
func (f figure) moved(top, slot func(cube.Face) cube.Face) figure {
	r := emptyFigure(slotAt(f.slot, slot))
	carry := func(spot int) func(cube.Face) cube.Face {
		if spot == lastslot.InSlot {
			return slot
		}
		return top
	}
	corner := func(at sticker) sticker {
		from := f.slot.CornerPlace(at.spot).Facelets()
		for spot := range lastslot.Spots {
			to := r.slot.CornerPlace(spot).Facelets()
			if turned, ok := carried(from[:], to[:], at.turned, carry(at.spot)); ok {
				return sticker{spot, turned}
			}
		}
		panic("web: a corner spot has no image")
	}
	edge := func(at sticker) sticker {
		from := f.slot.EdgePlace(at.spot).Facelets()
		for spot := range lastslot.Spots {
			to := r.slot.EdgePlace(spot).Facelets()
			if turned, ok := carried(from[:], to[:], at.turned, carry(at.spot)); ok {
				return sticker{spot, turned}
			}
		}
		panic("web: an edge spot has no image")
	}
	if f.corner.spot != untold {
		r.corner = corner(f.corner)
	}
	if f.edge.spot != untold {
		r.edge = edge(f.edge)
	}
	for spot := range lastslot.Spots {
		if f.corners[spot] != untold {
			at := corner(sticker{spot, f.corners[spot]})
			r.corners[at.spot] = at.turned
		}
		if f.edges[spot] != untold {
			at := edge(sticker{spot, f.edges[spot]})
			r.edges[at.spot] = at.turned
		}
	}
	return r
}

// carried is which sticker of a place with the faces "to" one of a place with the
// faces "from" is carried to, if it is that place.
func carried(from, to []cube.Face, turned int, carry func(cube.Face) cube.Face) (int, bool) {
	for _, face := range from {
		if !slices.Contains(to, carry(face)) {
			return 0, false
		}
	}
	return slices.Index(to, carry(from[turned])), true
}

// slotAt is where a map of the faces takes a slot.
func slotAt(slot lastslot.Slot, carry func(cube.Face) cube.Face) lastslot.Slot {
	from := slot.Edge().Facelets()
	for s := range lastslot.Slot(lastslot.Slots) {
		to := s.Edge().Facelets()
		if _, ok := carried(from[:], to[:], 0, carry); ok {
			return s
		}
	}
	panic("web: a slot has no image")
}

// A figure is remembered as 13 characters: the slot; the sticker of the pair's
// corner, then of its edge, numbered by spot and then by sticker; the stickers
// that show the top colour in the spots of corners, then of edges. "-" stands for
// what was not told.
const rememberedLength = 3 + 2*lastslot.Spots

func (f figure) String() string {
	var b strings.Builder
	write := func(n int) {
		if n < 0 {
			b.WriteByte('-')
			return
		}
		b.WriteByte(rememberedDigits[n])
	}
	write(int(f.slot))
	if f.corner.spot == untold {
		write(untold)
	} else {
		write(f.corner.spot*3 + f.corner.turned)
	}
	if f.edge.spot == untold {
		write(untold)
	} else {
		write(f.edge.spot*2 + f.edge.turned)
	}
	for _, turned := range append(f.corners[:], f.edges[:]...) {
		write(turned)
	}
	return b.String()
}

const rememberedDigits = "0123456789abcde"

// parseFigure undoes String.
func parseFigure(text string) (figure, bool) {
	if len(text) != rememberedLength {
		return figure{}, false
	}
	ok := true
	read := func(i, end int) int {
		if text[i] == '-' {
			return untold
		}
		n := strings.IndexByte(rememberedDigits[:end], text[i])
		ok = ok && n >= 0
		return n
	}
	slot := read(0, lastslot.Slots)
	if slot < 0 {
		return figure{}, false
	}
	f := emptyFigure(lastslot.Slot(slot))
	if n := read(1, lastslot.Spots*3); n >= 0 {
		f.corner = sticker{n / 3, n % 3}
	}
	if n := read(2, lastslot.Spots*2); n >= 0 {
		f.edge = sticker{n / 2, n % 2}
	}
	for spot := range lastslot.Spots {
		f.corners[spot] = read(3+spot, 3)
		f.edges[spot] = read(3+lastslot.Spots+spot, 2)
	}
	return f.tidy(), ok
}

// figureHistory are figures from the first to that which is shown.
type figureHistory []figure

// longestHistory is how far back one can go.
const longestHistory = 16

// readHistory reads the figures before; those that cannot be read are left out, as
// nothing but going back depends on them.
func readHistory(q url.Values) (h figureHistory) {
	for text := range strings.SplitSeq(q.Get("was"), ".") {
		if f, ok := parseFigure(text); ok {
			h = append(h, f)
		}
	}
	return h
}

// with adds the figure that is shown now.
func (h figureHistory) with(f figure) figureHistory {
	if len(h) == 0 || h[len(h)-1] != f {
		h = append(slices.Clone(h), f)
	}
	return h[max(0, len(h)-longestHistory):]
}

func (h figureHistory) String() string {
	texts := make([]string, len(h))
	for i, f := range h {
		texts[i] = f.String()
	}
	return strings.Join(texts, ".")
}
