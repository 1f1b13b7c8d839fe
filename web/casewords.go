package web

import (
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// caseWords says a case in words: the slot and the pair, then the top.
type caseWords struct{ Slot, Corner, Edge, Top string }

// String is the whole case in one line.
func (w caseWords) String() string {
	return "Last slot " + w.Slot + ": " + w.Corner + ", " + w.Edge + "; " + w.Top + "."
}

func wordsOf(c lastslot.Case) caseWords {
	w := caseWords{Slot: c.Slot.Words()}
	w.Corner = "corner " + cornerAt(c, c.Corner) + ", its bottom colour facing " + c.Slot.CornerPlace(c.Corner).Facelets()[c.Twists[c.Corner]].Words()
	w.Edge = "edge " + edgeAt(c, c.Edge) + ", its " + ownColour(c.Slot) + " colour facing " + c.Slot.EdgePlace(c.Edge).Facelets()[c.Flips[c.Edge]].Words()

	var turned []string
	for spot := range lastslot.Spots {
		if spot != c.Edge {
			if facing := c.Slot.EdgePlace(spot).Facelets()[c.Flips[spot]]; facing != cube.FaceU {
				turned = append(turned, "edge "+edgeAt(c, spot)+" facing "+facing.Words())
			}
		}
		if spot != c.Corner {
			if facing := c.Slot.CornerPlace(spot).Facelets()[c.Twists[spot]]; facing != cube.FaceU {
				turned = append(turned, "corner "+cornerAt(c, spot)+" facing "+facing.Words())
			}
		}
	}
	w.Top = "the top oriented"
	if len(turned) > 0 {
		w.Top = "the top oriented but for " + strings.Join(turned, ", ")
	}
	return w
}

// ownColour names the colour of the slot's edge that is not left's or right's:
// the one that its turning is told by.
func ownColour(s lastslot.Slot) string { return s.Edge().Facelets()[0].Words() }

func cornerAt(c lastslot.Case, spot int) string {
	if spot == lastslot.InSlot {
		return "in the slot"
	}
	return "at " + c.Slot.CornerPlace(spot).String()
}

func edgeAt(c lastslot.Case, spot int) string {
	if spot == lastslot.InSlot {
		return "in the slot"
	}
	return "at " + c.Slot.EdgePlace(spot).String()
}
