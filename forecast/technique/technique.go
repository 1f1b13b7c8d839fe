// Package technique tells what the hands do in an insertion, by following the
// pieces: a technique is added as a constant, its place in [All], its words and the
// rule in [Of]. It imports packages cube and lastslot.
package technique

import (
	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Technique is something that the hands do in an insertion. It is worked out from
// the turns, by following the pieces.
//
// Pieces are joined where they stand to each other as when all is solved; on top
// is in the top layer. Each of these looks at the pieces after every turn.
type Technique string

// How the pair comes together: an insertion has exactly one of these.
const (
	// InsertPair keeps the pair joined from its first turn to its last.
	InsertPair Technique = "insert the pair"
	// PairAndInsert joins the pair with three turns or more to go, outside its slot.
	PairAndInsert Technique = "pair and insert"
	// JoinInSlot joins it with fewer to go: the slot is brought up to the pieces.
	JoinInSlot Technique = "join in the raised slot"
	// OneByOne brings corner and edge into the slot one after the other.
	OneByOne Technique = "one after the other"
	// EdgeOnly finds the corner solved in the slot, and CornerOnly the edge.
	EdgeOnly   Technique = "edge only"
	CornerOnly Technique = "corner only"
	// OutAndBack finds the pair solved in its slot.
	OutAndBack Technique = "pair out and back"
)

// What else may be done on the way.
const (
	// Keyhole, with two slots open, slides a piece into its place through the other open
	// slot: when it leaves the top layer for the last time, the corner's place and the
	// edge's that stand in one column are those of different slots.
	Keyhole Technique = "keyhole"
	// BothAtOnce fills both open slots; PseudoSlotting does it with the corner of the one
	// and the edge of the other leaving the top layer together, put right afterwards.
	BothAtOnce     Technique = "both pairs at once"
	PseudoSlotting Technique = "pseudo-slotting"
	// HideCorner and HideEdge take a piece of the pair that stands on top away from
	// there and bring it back: meanwhile the top turns without it.
	HideCorner Technique = "hide the corner"
	HideEdge   Technique = "hide the edge"
	// OverAnotherSlot has one piece of another slot on top, its partner not joined
	// to it.
	OverAnotherSlot Technique = "over another slot"
	// Slice turns a middle slice, Wide two layers at once, and WithRotation the
	// whole puzzle.
	Slice        Technique = "slice"
	Wide         Technique = "wide turn"
	WithRotation Technique = "with a rotation"
)

// All are the techniques that there are, in the order in which they are listed.
var All = []Technique{
	EdgeOnly, CornerOnly, OutAndBack, InsertPair, PairAndInsert, JoinInSlot, OneByOne,
	Keyhole, BothAtOnce, PseudoSlotting, OverAnotherSlot, HideCorner, HideEdge, Slice, Wide, WithRotation,
}

// Words say what the technique is, for the person who sees its name.
func (t Technique) Words() string { return techniqueWords[t] }

var techniqueWords = map[Technique]string{
	InsertPair:      "corner and edge are joined already and stay so all the way",
	PairAndInsert:   "corner and edge are joined outside the slot first, then go in together",
	JoinInSlot:      "the slot comes up, corner and edge are joined there, and it goes down with them",
	OneByOne:        "corner and edge go into the slot one after the other",
	EdgeOnly:        "the corner is solved before and after; the edge goes in",
	CornerOnly:      "the edge is solved before and after; the corner goes in",
	OutAndBack:      "the pair leaves its slot and comes back, to change the top",
	Keyhole:         "a piece slides into its place through the other open slot",
	BothAtOnce:      "both open slots are filled",
	PseudoSlotting:  "the corner of one open slot goes in with the edge of the other, and the bottom is turned to put both right",
	OverAnotherSlot: "a piece of another slot comes up without its partner and goes back",
	HideCorner:      "the corner is taken out of the top layer, the top turns, and it comes back up",
	HideEdge:        "the edge is taken out of the top layer, the top turns, and it comes back up",
	Slice:           "a middle slice turns",
	Wide:            "two layers turn at once",
	WithRotation:    "the whole puzzle is turned first or on the way",
}

// toInsert is how many turns it takes at least to insert a joined pair: the slot is
// brought up, the pair put in, the slot brought down.
const toInsert = 3

// Of lists the techniques of an insertion for the slot, done after a rotation or
// without one, in the order of [Techniques].
func Of(slot lastslot.Slot, turns cube.Sequence, rotation bool) []Technique {
	effect, _ := lastslot.Effect(turns)
	has := follow(effect.Inverse(), slot, slot, turns)
	has[WithRotation] = has[WithRotation] || rotation
	return listed(has)
}

// listed are the techniques in the order of [All].
func listed(has map[Technique]bool) []Technique {
	techniques := []Technique{} // none is a list, too, where it is told
	for _, t := range All {
		if has[t] {
			techniques = append(techniques, t)
		}
	}
	return techniques
}

// follow tells what is done from the position on to the pair of the slot; the other slot
// is open too.
func follow(now cube.Cube, slot, open lastslot.Slot, turns cube.Sequence) map[Technique]bool {
	has := map[Technique]bool{}
	start := now
	pair := piecesOf(slot)
	corner, edge := hiding{top: pair.cornerOnTop(now)}, hiding{top: pair.edgeOnTop(now)}
	joined := pair.joined(now)
	// whole says that the pair was joined from the first; else inSlot whether it was
	// joined in its slot, and toGo how many turns before the end.
	whole, inSlot, toGo := joined, false, 0
	for _, t := range turns {
		now = now.Turn(t)
		switch t.Kind() {
		case cube.SliceTurn:
			has[Slice] = true
		case cube.WideTurn:
			has[Wide] = true
		case cube.Rotation:
			has[WithRotation] = true
			continue
		}
		toGo++
		if is := pair.joined(now); !is || !joined {
			joined, whole = is, false
			inSlot, toGo = pair.inSlot(now), 0
		}
		has[HideCorner] = corner.see(t, pair.cornerOnTop(now)) || has[HideCorner]
		has[HideEdge] = edge.see(t, pair.edgeOnTop(now)) || has[HideEdge]
		for other := range lastslot.Slot(lastslot.Slots) {
			if p := piecesOf(other); other != slot && other != open && !p.joined(now) && (p.cornerOnTop(now) || p.edgeOnTop(now)) {
				has[OverAnotherSlot] = true
			}
		}
	}

	cornerSolved := start.Corners[slot.Corner()] == cube.CornerAs(slot.Corner(), 0)
	edgeSolved := start.Edges[slot.Edge()] == cube.EdgeAs(slot.Edge(), 0)
	switch {
	case cornerSolved && edgeSolved:
		has[OutAndBack] = true
	case cornerSolved:
		has[EdgeOnly] = true
	case edgeSolved:
		has[CornerOnly] = true
	case whole:
		has[InsertPair] = true
	case inSlot:
		has[OneByOne] = true
	case toGo >= toInsert:
		has[PairAndInsert] = true
	default:
		has[JoinInSlot] = true
	}
	return has
}

// hiding watches a piece that may be on top at first: whether it leaves the top
// layer, which turns then, and comes back.
type hiding struct{ top, away, turned bool }

func (h *hiding) see(t cube.Turn, onTop bool) (back bool) {
	switch {
	case !h.top:
	case onTop:
		back = h.away && h.turned
		h.away, h.turned = false, false
	case h.away:
		h.turned = h.turned || t.Layer() == cube.U || t.Layer() == cube.Uw
	default:
		h.away = true
	}
	return back
}

// slotPieces are the two pieces of a slot, and the cross edges beside it.
type slotPieces struct {
	corner cube.CornerPlace
	edge   cube.EdgePlace
	beside [2]cube.EdgePlace
}

func piecesOf(s lastslot.Slot) slotPieces {
	p := slotPieces{corner: s.Corner(), edge: s.Edge()}
	// A corner of the bottom layer touches the bottom and the two faces of the
	// cross edges beside it.
	faces := p.corner.Facelets()
	for i, face := range faces[1:] {
		for e := cube.DF; e <= cube.DR; e++ {
			if e.Facelets()[1] == face {
				p.beside[i] = e
			}
		}
	}
	return p
}

// standing is how pieces of a slot stand in space.
type standing struct {
	corner cube.Corner  // the place, and the twist of the piece in it
	edges  [3]cube.Edge // the slot's edge and those beside it, likewise
}

func (p slotPieces) standing(c *cube.Cube) standing {
	var s standing
	for place, corner := range c.Corners {
		if corner.Piece() == p.corner {
			s.corner = cube.CornerAs(cube.CornerPlace(place), corner.Twist())
		}
	}
	for place, edge := range c.Edges {
		for i, piece := range [...]cube.EdgePlace{p.edge, p.beside[0], p.beside[1]} {
			if edge.Piece() == piece {
				s.edges[i] = cube.EdgeAs(cube.EdgePlace(place), edge.Flip())
			}
		}
	}
	return s
}

// solvedStandings has how each slot's pieces stand in the solved puzzle, in each
// hold.
var solvedStandings = func() (table [lastslot.Slots][cube.Holds]standing) {
	for slot := range table {
		for hold := range table[slot] {
			c := cube.Hold(hold).Cube()
			table[slot][hold] = piecesOf(lastslot.Slot(slot)).standing(&c)
		}
	}
	return table
}()

func (p slotPieces) solvedStandings() *[cube.Holds]standing {
	return &solvedStandings[p.corner-cube.DFR]
}

// joined says whether corner and edge stand to each other as when solved.
func (p slotPieces) joined(c cube.Cube) bool {
	now := p.standing(&c)
	for _, s := range p.solvedStandings() {
		if s.corner == now.corner && s.edges[0] == now.edges[0] {
			return true
		}
	}
	return false
}

// inSlot says whether they and the cross edges beside them do.
func (p slotPieces) inSlot(c cube.Cube) bool {
	now := p.standing(&c)
	for _, s := range p.solvedStandings() {
		if s == now {
			return true
		}
	}
	return false
}

func (p slotPieces) cornerOnTop(c cube.Cube) bool {
	return p.standing(&c).corner.Piece() <= cube.UFR
}

func (p slotPieces) edgeOnTop(c cube.Cube) bool { return p.standing(&c).edges[0].Piece() <= cube.UF }
