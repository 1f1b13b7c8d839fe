package page

import (
	"errors"
	"net/url"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/query"
	"slotcast/web/words"
)

// unsolvedView shows a pasted position that is not before the last slot as it was read.
type unsolvedView struct {
	// Detail is the sentence that says what is unsolved.
	Detail string
	// Hold is the rotation in which it is shown, "" for none, and Down what is down then.
	Hold, Down string
	Pictures   []unsolvedPicture
	// Edges are the cross edges that are not solved, and where they are.
	Edges []unsolvedEdge
	// Open are the open slots in words.
	Open []string
	// Take lead to the same with another slot taken as the open one.
	Take []takeView
}

// unsolvedPicture is a picture, and from where it is seen.
type unsolvedPicture struct{ SVG, From string }

// unsolvedEdge is a cross edge by its colours, and where it is.
type unsolvedEdge struct{ Colours, Where string }

// takeView takes a slot as the open one.
type takeView struct{ Words, Path string }

// unsolvedOf explains a position that is not before the last slot; nil where something else
// is wrong. Values are what was asked for.
func unsolvedOf(wrong *problem.Problem, values url.Values, colours shownColours) *unsolvedView {
	unsolved := (*lastslot.UnsolvedError)(nil)
	if !errors.As(wrong, &unsolved) {
		return nil
	}
	bottom := unsolved.Bottom()
	v := unsolvedView{Detail: words.Sentence(wrong.Detail), Hold: unsolved.Hold.Turns().String(), Down: bottom}
	drawn := picture.Unsolved{Cube: unsolved.Cube, Cross: unsolved.Cross, Open: unsolved.Open, Colours: sidesOf(colours)}
	for _, p := range drawn.Pictures() {
		from := "From the front"
		if p.Behind {
			from = "From behind"
		}
		v.Pictures = append(v.Pictures, unsolvedPicture{p.Named(), from})
	}
	for _, e := range unsolved.Edges() {
		v.Edges = append(v.Edges, unsolvedEdge{e.Colours(bottom), "at " + e.At.String() + ", " + bottom + " facing " + e.Facing.Words()})
	}
	for _, s := range unsolved.Open {
		v.Open = append(v.Open, s.Words())
	}
	if unsolved.Filled != nil {
		v.Take = takes(values, unsolved.Open[0])
	}
	return &v
}

// sidesOf has for each face of the puzzle as scrambles are held the side to which its colour
// belongs as the reader has them: what is drawn has the colours that were read.
func sidesOf(colours shownColours) (sides [cube.Faces]cube.Face) {
	for f := range sides {
		sides[f] = cube.Face(slices.Index(colours[:], lastslot.Colour(cube.Face(f))))
	}
	return sides
}

// takes lead to the same position with a slot taken as the open one.
func takes(values url.Values, slots ...lastslot.Slot) (links []takeView) {
	for _, s := range slots {
		links = append(links, takeView{s.Words(), query.With("/", values, "slot", s.String()) + "#status"})
	}
	return links
}

// filledView says of a pasted position that the slot taken as the open one is already
// filled, as all are, and offers the others.
type filledView struct {
	Slot string
	Take []takeView
}

// filledOf is nil where a slot is open, or the case was not pasted.
func filledOf(q query.Query, values url.Values) *filledView {
	if q.Puzzle == nil || !q.Case.Solved() {
		return nil
	}
	others := slices.DeleteFunc([]lastslot.Slot{lastslot.FR, lastslot.FL, lastslot.BL, lastslot.BR}, func(s lastslot.Slot) bool { return s == q.Case.Slot })
	return &filledView{words.Capital(q.Case.Slot.Words()), takes(values, others...)}
}
