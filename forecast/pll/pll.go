// Package pll tells how the pieces of the oriented top stand among each other, by
// the trade's letters. It imports packages cube and lastslot.
package pll

import (
	"sync"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// PLL is how the pieces of the oriented top stand among each other, up to AUF
// before and after: 0 solved, 1 to 21 by the trade's letters.
type PLL uint8

// PLLs is the number of them, the solved one included.
const PLLs = 22

// pllOrders has, by the trade's letters, what remains to be done for each: which
// piece a sequence for it brings to UBL UBR UFL UFR and to UB UL UR UF, by spot. The letters are common
// practice, no source; that these and the solved one are all there are is tested.
var pllOrders = [PLLs]struct {
	letters        string
	corners, edges [lastslot.InSlot]int
}{
	{"", [4]int{0, 1, 2, 3}, [4]int{0, 1, 2, 3}},
	{"Aa", [4]int{3, 0, 2, 1}, [4]int{0, 1, 2, 3}},
	{"Ab", [4]int{1, 3, 2, 0}, [4]int{0, 1, 2, 3}},
	{"E", [4]int{2, 3, 0, 1}, [4]int{0, 1, 2, 3}},
	{"F", [4]int{0, 3, 2, 1}, [4]int{3, 1, 2, 0}},
	{"Ga", [4]int{0, 3, 2, 1}, [4]int{1, 2, 3, 0}},
	{"Gb", [4]int{0, 3, 2, 1}, [4]int{3, 0, 1, 2}},
	{"Gc", [4]int{0, 3, 2, 1}, [4]int{3, 2, 0, 1}},
	{"Gd", [4]int{0, 3, 2, 1}, [4]int{2, 3, 1, 0}},
	{"H", [4]int{0, 1, 2, 3}, [4]int{3, 2, 1, 0}},
	{"Ja", [4]int{2, 1, 0, 3}, [4]int{0, 3, 2, 1}},
	{"Jb", [4]int{0, 3, 2, 1}, [4]int{0, 1, 3, 2}},
	{"Na", [4]int{0, 2, 1, 3}, [4]int{0, 2, 1, 3}},
	{"Nb", [4]int{3, 1, 2, 0}, [4]int{0, 2, 1, 3}},
	{"Ra", [4]int{0, 3, 2, 1}, [4]int{1, 0, 2, 3}},
	{"Rb", [4]int{1, 0, 2, 3}, [4]int{0, 1, 3, 2}},
	{"T", [4]int{0, 3, 2, 1}, [4]int{0, 2, 1, 3}},
	{"Ua", [4]int{0, 1, 2, 3}, [4]int{0, 2, 3, 1}},
	{"Ub", [4]int{0, 1, 2, 3}, [4]int{0, 3, 1, 2}},
	{"V", [4]int{3, 1, 2, 0}, [4]int{2, 1, 0, 3}},
	{"Y", [4]int{3, 1, 2, 0}, [4]int{1, 0, 2, 3}},
	{"Z", [4]int{0, 1, 2, 3}, [4]int{1, 0, 3, 2}},
}

// String is the trade's letters, "" where all is solved up to AUF.
func (p PLL) String() string { return pllOrders[p].letters }

// topOrder is which piece stands in each spot on top: corners, then edges.
type topOrder [2][lastslot.InSlot]int

// then is a followed by b.
func (a topOrder) then(b topOrder) (r topOrder) {
	for kind := range a {
		for spot, from := range b[kind] {
			r[kind][spot] = a[kind][from]
		}
	}
	return r
}

// inverse undoes a.
func (a topOrder) inverse() (r topOrder) {
	for kind := range a {
		for spot, from := range a[kind] {
			r[kind][from] = spot
		}
	}
	return r
}

func topOrderOf(c cube.Cube) (o topOrder) {
	for spot := range lastslot.InSlot {
		o[0][spot], o[1][spot] = int(c.Corners[spot].Piece()), int(c.Edges[spot].Piece())
	}
	return o
}

// plls has the PLL of each of the 288 orders that turns can lead to.
var plls = sync.OnceValue(func() map[topOrder]PLL {
	found := map[topOrder]PLL{}
	for p, order := range pllOrders {
		for _, before := range lastslot.AUFs {
			for _, after := range lastslot.AUFs {
				o := topOrderOf(before.Cube()).then(topOrder{order.corners, order.edges}).then(topOrderOf(after.Cube()))
				found[o.inverse()] = PLL(p)
			}
		}
	}
	return found
})

// Of reads it from a puzzle, however held, with the first two layers solved
// at the bottom and the top oriented; false says that it is not so.
func Of(c cube.Cube) (PLL, bool) {
	s, ok := StandOf(c)
	if !ok {
		return 0, false
	}
	return s.PLL(), true
}
