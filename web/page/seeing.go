package page

import (
	"slotcast/cube"
	"slotcast/forecast/facts"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/words"
)

// seeingView is how to see coming what an insertion leaves: its map, and the same
// in words.
type seeingView struct {
	Corners, Edges string // pictures
	// Clauses are the rule in words.
	Clauses []string
	// Turned is the rotation that the turns end in as well, "" for none.
	Turned string
}

// seeingOf is the same for every case that the insertion fits.
func seeingOf(i lastslot.Insertion) seeingView {
	s := facts.Of(i)
	v := seeingView{Corners: picture.Map(s, true), Edges: picture.Map(s, false), Turned: cube.Hold(s.Hold).Turns().String()}
	for _, clause := range s.Clauses() {
		v.Clauses = append(v.Clauses, words.Sentence(clause))
	}
	return v
}
