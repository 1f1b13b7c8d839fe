package hands

import (
	"slices"

	"slotcast/cube"
)

// place is where one of two hands is.
type place int

const (
	down place = iota
	home
	up
	away

	places = 4
)

// What is remembered of the turns before: whose wrist turned last, and whether a
// finger turned since.
const (
	noWrist = iota // none yet
	rightNow
	leftNow
	rightBefore
	leftBefore

	memories
)

// sides is how many sides E can have brought to the front since the eyes last
// looked: the one they saw, and three others.
const sides = 4

func gripOf(at [2]place, last, side int) Grip {
	return Grip(((int(at[0])*places+int(at[1]))*memories+last)*sides + side)
}

// split is the inverse of gripOf.
func (g Grip) split() (at [2]place, last, side int) {
	hands := g / sides / memories
	return [2]place{place(hands / places), place(hands % places)}, int(g / sides % memories), int(g % sides)
}

// finger is how the right hand's fingers do a turn: from which places, and the
// price of a quarter and of a half turn.
type finger struct {
	layer    cube.Layer
	quarters int
	from     []place
	price    int
	leaves   bool // the hand is away afterwards; from its place it has to reach
}

// fingers lists what the right hand's fingers do. The left hand's do the mirror
// images.
var fingers = func() []finger {
	list := []finger{
		{layer: cube.U, quarters: 1, from: []place{home, up}, price: pull},
		{layer: cube.U, quarters: 2, from: []place{home, up}, price: pullHalf},
		{layer: cube.U, quarters: 3, from: []place{down, home}, price: pull + push},
		{layer: cube.F, quarters: 1, from: []place{down, home}, price: front},
		{layer: cube.F, quarters: 2, from: []place{home}, price: frontHalf},
		{layer: cube.F, quarters: 3, from: []place{home, up}, price: front + push},
		{layer: cube.D, quarters: 3, from: []place{home}, price: below},
		{layer: cube.D, quarters: 2, from: []place{home}, price: belowHalf},
		{layer: cube.D, quarters: 1, from: []place{home}, price: below + push},
		{layer: cube.M, quarters: 3, from: []place{home}, price: middle},
		{layer: cube.M, quarters: 2, from: []place{home}, price: middleHalf},
		{layer: cube.M, quarters: 1, from: []place{home}, price: middle + middleAgainst},
		{layer: cube.E, quarters: 3, from: []place{home}, price: belt},
		{layer: cube.E, quarters: 2, from: []place{home}, price: beltHalf},
		{layer: cube.E, quarters: 1, from: []place{home}, price: belt + push},
		{layer: cube.S, quarters: 1, from: []place{home}, price: standing},
		{layer: cube.S, quarters: 2, from: []place{home}, price: standingHalf},
		{layer: cube.S, quarters: 3, from: []place{home}, price: standing + push},
	}
	for quarters, price := range map[int]int{1: back, 2: backHalf, 3: back} {
		list = append(list, finger{layer: cube.B, quarters: quarters, from: []place{down, home, up, away}, price: price, leaves: true})
	}
	// Two layers are turned as one.
	for _, f := range list {
		if f.layer.Kind() == cube.FaceTurn {
			f.layer += cube.Uw
			f.price += twoLayers
			if f.layer == cube.Uw || f.layer == cube.Dw {
				f.price += look
			}
			list = append(list, f)
		}
	}
	return list
}()

// wristFrom is where the right hand is after its wrist turned its face, if it can.
func wristFrom(start place, quarters int) (to place, can bool) {
	switch quarters {
	case 1:
		return start + 1, start == down || start == home
	case 3:
		return start - 1, start == home || start == up
	}
	return up - start, start == down || start == up
}

// twoHands lists all steps by which two hands do a turn from a grip, also those
// that take no less time than others.
func twoHands(from Grip, t cube.Turn) (all []Step) {
	at, last, side := from.split()
	if t.Kind() == cube.Rotation {
		price := rotation + look
		if t.Quarters() == 2 {
			price += rotationHalf
		}
		// From anywhere but home a hand has no way left to move the puzzle.
		for _, p := range at {
			if p != home {
				price += regrip
			}
		}
		return []Step{{gripOf([2]place{home, home}, noWrist, 0), uint16(price)}}
	}
	switch t.Layer() {
	case cube.E:
		side = (side + t.Quarters()) % sides
	case cube.Uw, cube.Dw:
		side = 0 // the eyes look anew, which is in the price
	}
	for hand, other := range [2]int{1, 0} {
		like := t
		if hand == 1 {
			like = mirrored(t)
		}
		end := func(to, otherAt place, memory, price int) {
			var ends [2]place
			ends[hand], ends[other] = to, otherAt
			all = append(all, Step{gripOf(ends, memory, side), uint16(price)})
		}
		// The hand may regrip first, at no place but away.
		for start := range place(places) {
			price := 0
			if start != at[hand] {
				if start == away {
					continue
				}
				price = regrip
			}
			if like.Layer() == cube.R || like.Layer() == cube.Rw {
				to, can := wristFrom(start, like.Quarters())
				if !can {
					continue
				}
				if like.Quarters() == 2 {
					price += wristHalf
				} else {
					price += wrist
				}
				if like.Layer() == cube.Rw {
					price += wristWide
				}
				switch last {
				case rightNow + other:
					price -= overlap
				case rightBefore + other:
					price += change
				}
				otherAt := at[other]
				if otherAt == away {
					otherAt = home
					price += regrip
				}
				end(to, otherAt, rightNow+hand, price)
				continue
			}
			since := last
			if last == rightNow || last == leftNow {
				since += rightBefore - rightNow
				price -= overlap
			}
			for _, f := range fingers {
				if f.layer != like.Layer() || f.quarters != like.Quarters() || !slices.Contains(f.from, start) {
					continue
				}
				switch {
				case !f.leaves:
					end(start, at[other], since, price+f.price)
				case start == away:
					end(away, at[other], since, price+f.price)
				default:
					end(away, at[other], since, price+reach+f.price)
				}
			}
		}
	}
	return all
}

// backHome is what it takes until two hands can begin anew: only one that is away
// has to move, as a wrist goes home while the eyes look what comes next. Where E
// was not undone they have to find the new front first.
func backHome(from Grip) (price int) {
	at, _, side := from.split()
	if side != 0 {
		price += look
	}
	for _, p := range at {
		if p == away {
			price += regrip
		}
	}
	return price
}
