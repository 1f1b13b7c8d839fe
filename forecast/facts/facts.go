// Package facts tells an insertion's map as facts and as sentences, for somebody
// who wants to see coming what it leaves. Nothing of the ranking belongs here; it
// imports packages cube and lastslot.
package facts

import (
	"fmt"
	"slices"
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Facts are an insertion's map as somebody tells it who wants to see coming what
// the insertion leaves: what happens to the last-layer pieces, in as few facts as
// can be. Pieces that no fact is about only turn with U.
type Facts struct {
	// Slot is where the open slot is when the turns begin, and Corner and Edge the
	// spots where its pair then is.
	Slot         lastslot.Slot
	Corner, Edge int
	// U is by how many quarters of U the pieces turn that no fact is about.
	U int
	// Corners and Edges are the facts: that of the piece in the slot first, if it is
	// of the last layer, then by the spot where the piece starts.
	Corners, Edges []Fact
	// Hold is the hold that the turns end in: quarters of y. Where pieces come to,
	// and how U turns them, is seen in that hold.
	Hold int
}

// Fact is what happens to one piece: the spots that it starts and ends in, and the
// twist or flip that is added, see package lastslot.
type Fact struct{ From, To, Turned int }

// Of tells the insertion's map.
func Of(i lastslot.Insertion) Facts {
	// What is left is seen in the hold that the turns end in.
	m := i.Map().Then(lastslot.AUFMaps[i.Turned()])
	best := Facts{}
	for n, u := range [...]int{0, 1, 3, 2} {
		s := Facts{
			Slot: i.Slot, Corner: int(m.Corners[lastslot.InSlot] / 3), Edge: int(m.Edges[lastslot.InSlot] / 2), U: u, Hold: i.Turned(),
			Corners: factsOf(m.Corners, lastslot.AUFMaps[u].Corners, 3), Edges: factsOf(m.Edges, lastslot.AUFMaps[u].Edges, 2),
		}
		if n == 0 || len(s.Clauses()) < len(best.Clauses()) {
			best = s
		}
	}
	return best
}

// factsOf lists what of a part of a map is not as in the other. Ways is the number
// of ways in which a piece can be turned.
func factsOf(does, u [lastslot.Spots]uint8, ways int) []Fact {
	var facts []Fact
	for spot := range lastslot.InSlot {
		if does[spot] != u[spot] {
			from := int(does[spot])
			facts = append(facts, Fact{from / ways, spot, from % ways})
		}
	}
	slices.SortFunc(facts, func(a, b Fact) int { return (a.From+1)%lastslot.Spots - (b.From+1)%lastslot.Spots })
	return facts
}

// withU is the fact that a piece only turns with U.
func (s Facts) withU(to int, corner bool) Fact {
	if corner {
		return Fact{From: int(lastslot.AUFMaps[s.U].Corners[to] / 3), To: to}
	}
	return Fact{From: int(lastslot.AUFMaps[s.U].Edges[to] / 2), To: to}
}

// All lists what happens to every last-layer piece, by the spot that it comes to:
// four corners, four edges.
func (s Facts) All() (corners, edges [lastslot.InSlot]Fact) {
	for to := range lastslot.InSlot {
		corners[to], edges[to] = s.withU(to, true), s.withU(to, false)
	}
	for _, f := range s.Corners {
		corners[f.To] = f
	}
	for _, f := range s.Edges {
		edges[f.To] = f
	}
	return corners, edges
}

// Clauses are the parts of [Facts.Words]: about edges, then about corners, then
// about what is left.
func (s Facts) Clauses() []string {
	edges, edgesTurn := s.clauses(false)
	corners, cornersTurn := s.clauses(true)
	clauses := append(edges, corners...)
	if cornersTurn+edgesTurn == 0 {
		return clauses
	}
	rest, several := "the rest", false
	switch {
	case len(clauses) == 0:
		rest = "everything"
	case len(s.Corners) == 0:
		rest, several = "all corners"+andOthers("edge", edgesTurn), true
	case len(s.Edges) == 0:
		rest, several = "all edges"+andOthers("corner", cornersTurn), true
	}
	switch {
	case s.U > 0 && several:
		rest += " only turn with " + lastslot.AUFs[s.U].String()
	case s.U > 0:
		rest += " only turns with " + lastslot.AUFs[s.U].String()
	case several:
		rest += " stay as they are"
	default:
		rest += " stays as it is"
	}
	return append(clauses, rest)
}

func andOthers(name string, n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return " and the other " + name
	}
	return " and the other " + name + "s"
}

// clauses words the facts about corners or edges, and counts the pieces that none is
// about.
func (s Facts) clauses(corner bool) (clauses []string, rest int) {
	facts, name, turned := s.Edges, "edge", []string{"", "flip"}
	if corner {
		facts, name, turned = s.Corners, "corner", []string{"", "twist clockwise", "twist anticlockwise"}
	}
	rest = lastslot.InSlot - len(facts)
	// Pieces that go with U, but turned, are in one clause.
	var together [3][]string
	for _, f := range facts {
		if f.From == s.withU(f.To, corner).From {
			together[f.Turned] = append(together[f.Turned], spotWords(f.From, corner))
			continue
		}
		clause := fmt.Sprintf("the %s %s goes to the %s", name, atSpot(f.From, corner), spotWords(f.To, corner))
		if f.From == f.To {
			clause = fmt.Sprintf("the %s at the %s stays there", name, spotWords(f.To, corner))
		}
		switch {
		case f.From == lastslot.InSlot:
			clause += s.fromSlot(f, corner)
		case f.Turned > 0:
			clause += ", " + participles.Replace(turned[f.Turned])
		}
		clauses = append(clauses, clause)
	}
	for by, spots := range together {
		if len(spots) == 0 {
			continue
		}
		verb := turned[by]
		if s.U > 0 {
			verb = "turn with " + lastslot.AUFs[s.U].String() + " and " + verb
		}
		switch len(spots) {
		case 1:
			clauses = append(clauses, fmt.Sprintf("the %s at the %s %s", name, spots[0], singulars.Replace(verb)))
		case lastslot.InSlot:
			clauses = append(clauses, fmt.Sprintf("all four %ss %s", name, verb))
		default:
			clauses = append(clauses, fmt.Sprintf("the %ss at the %s %s", name, listed(spots), verb))
		}
	}
	return clauses, rest
}

// The verbs of [Facts.clauses] in other forms.
var (
	participles = strings.NewReplacer("flip", "flipped", "twist", "twisted")
	singulars   = strings.NewReplacer("flip", "flips", "twist", "twists", "turn", "turns")
)

// fromSlot says how a piece from the slot comes to the top: by where its top
// colour faces now, as its twist or flip there is nothing that one sees.
func (s Facts) fromSlot(f Fact, corner bool) string {
	if !corner {
		// The one of its two stickers that comes up.
		return ", up if its top colour faces " + s.Slot.Edge().Facelets()[f.Turned].Words() + " now"
	}
	now, then := s.Slot.Corner().Facelets(), cube.CornerPlace(f.To).Facelets()
	var goes []string
	for twist, face := range now {
		goes = append(goes, face.Words()+" to "+then[(twist+f.Turned)%3].Words())
	}
	return ", its top colour from " + strings.Join(goes, ", ")
}

// spotWords names a spot on top, such as "back left" or "back".
func spotWords(spot int, corner bool) string {
	if corner {
		return [...]string{"back left", "back right", "front left", "front right"}[spot]
	}
	return [...]string{"back", "left", "right", "front"}[spot]
}

func atSpot(spot int, corner bool) string {
	if spot == lastslot.InSlot {
		return "in the slot"
	}
	return "at the " + spotWords(spot, corner)
}

func listed(words []string) string {
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}
