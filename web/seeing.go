package web

import (
	"slotcast/cube"
	"slotcast/forecast/facts"
	"slotcast/forecast/lastslot"
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
	v := seeingView{Corners: mapPicture(s, true), Edges: mapPicture(s, false), Turned: cube.Hold(s.Hold).Turns().String()}
	for _, clause := range s.Clauses() {
		v.Clauses = append(v.Clauses, sentence(clause))
	}
	return v
}
