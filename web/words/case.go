package words

import (
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// CaseWords says a case in words: the slot and the pair, then the top.
type CaseWords struct{ Slot, Corner, Edge, Top string }

// String is the whole case in one line.
func (w CaseWords) String() string {
	return "Last slot " + w.Slot + ": " + w.Pair() + "; " + w.Top + "."
}

// Pair says where the pair's pieces are.
func (w CaseWords) Pair() string { return w.Corner + "; " + w.Edge }

// Case is the case in words.
func Case(c lastslot.Case) CaseWords {
	w := CaseWords{Slot: c.Slot.Words()}
	w.Corner = "corner " + CornerAt(c, c.Corner) + ", bottom colour facing " + c.Slot.CornerPlace(c.Corner).Facelets()[c.Twists[c.Corner]].Words()
	w.Edge = "edge " + EdgeAt(c, c.Edge) + ", " + OwnColour(c.Slot) + " colour facing " + c.Slot.EdgePlace(c.Edge).Facelets()[c.Flips[c.Edge]].Words()

	var turned []string
	for spot := range lastslot.Spots {
		if spot != c.Edge {
			if facing := c.Slot.EdgePlace(spot).Facelets()[c.Flips[spot]]; facing != cube.FaceU {
				turned = append(turned, "edge "+EdgeAt(c, spot)+" facing "+facing.Words())
			}
		}
		if spot != c.Corner {
			if facing := c.Slot.CornerPlace(spot).Facelets()[c.Twists[spot]]; facing != cube.FaceU {
				turned = append(turned, "corner "+CornerAt(c, spot)+" facing "+facing.Words())
			}
		}
	}
	w.Top = "top oriented"
	if len(turned) > 0 {
		w.Top = "top oriented except " + strings.Join(turned, ", ")
	}
	return w
}

// OwnColour names the colour of the slot's edge that is not left's or right's:
// the one that its turning is told by.
func OwnColour(s lastslot.Slot) string { return s.Edge().Facelets()[0].Words() }

// CornerAt says where a corner spot of the case is.
func CornerAt(c lastslot.Case, spot int) string {
	if spot == lastslot.InSlot {
		return "in the slot"
	}
	return "at " + c.Slot.CornerPlace(spot).String()
}

// EdgeAt says where an edge spot of the case is.
func EdgeAt(c lastslot.Case, spot int) string {
	if spot == lastslot.InSlot {
		return "in the slot"
	}
	return "at " + c.Slot.EdgePlace(spot).String()
}

// spotNames has the name of each spot in the form.
var (
	CornerSpots = [lastslot.Spots]string{"UBL", "UBR", "UFL", "UFR", InSlot}
	EdgeSpots   = [lastslot.Spots]string{"UB", "UL", "UR", "UF", InSlot}
)

// InSlot is the name of the slot’s own spots.
const InSlot = "slot"

// Turns are turns as a heading has them, be they none.
func Turns(turns string) string {
	if turns == "" {
		return "Do nothing"
	}
	return turns
}

// Place says where the pair stands.
func Place(p lastslot.Place) string {
	if p.Solved() {
		return "pair solved in its slot"
	}
	words := Case(p.Case())
	return words.Pair()
}
