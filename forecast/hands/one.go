package hands

import "slotcast/cube"

// oneGrips is the number of grips of one hand.
const oneGrips = 9

// oneGrip is the grip with the index finger and the ring finger so many quarters
// from where they rest: -1, 0 or 1.
func oneGrip(index, ring int) Grip { return Grip((index+1)*3 + ring + 1) }

// prices is the price of a quarter and of a half turn.
type prices struct{ quarter, half int }

// letGo has the price of what the right hand alone does without its index and
// ring fingers.
var letGo = map[cube.Layer]prices{
	cube.D: {oneBelow, oneBelowHalf},
	cube.F: {oneFront, oneFrontHalf},
	cube.B: {oneBack, oneBackHalf},
	cube.R: {onePalm, onePalmHalf},

	cube.Dw: {oneBelow + oneWide + look, oneBelowHalf + oneWide + look},
	cube.Fw: {oneFront + oneWide, oneFrontHalf + oneWide},
	cube.Bw: {oneBack + oneWide, oneBackHalf + oneWide},
	cube.Rw: {onePalm + oneWide, onePalmHalf + oneWide},

	cube.M: {oneSlice, oneSliceHalf},
	cube.E: {oneSlice, oneSliceHalf},
	cube.S: {oneSlice, oneSliceHalf},

	cube.X: {oneRotation + look, oneRotation + rotationHalf + look},
	cube.Y: {oneRotation + look, oneRotation + rotationHalf + look},
	cube.Z: {oneRotation + look, oneRotation + rotationHalf + look},
}

// rightHand lists all steps by which the right hand alone does a turn from a grip.
func rightHand(from Grip, t cube.Turn) (all []Step) {
	index, ring := int(from)/3-1, int(from)%3-1
	by := t.Quarters() // quarters in the direction of the finger, -1 to 2
	if by == 3 {
		by = -1
	}
	wide := 0
	if t.Kind() == cube.WideTurn {
		wide = oneWide
	}
	if t.Layer() == cube.Uw {
		wide += look
	}
	switch t.Layer() {
	case cube.U, cube.Uw:
		for _, m := range fingerMoves(index, by, prices{oneIndex, oneIndexHalf}) {
			all = append(all, Step{oneGrip(m.to, ring), uint16(m.price + wide)})
		}
	case cube.L, cube.Lw:
		for _, m := range fingerMoves(ring, by, prices{oneAcross, oneAcrossHalf}) {
			all = append(all, Step{oneGrip(index, m.to), uint16(m.price + wide)})
		}
	default:
		price := letGo[t.Layer()].quarter
		if by == 2 {
			price = letGo[t.Layer()].half
		}
		// The fingers are set anew after it.
		all = append(all, Step{oneGrip(0, 0), uint16(price)})
	}
	return all
}

type fingerMove struct{ to, price int }

// fingerMoves lists how a finger turns its face by the quarters, from where it is
// or set back first; a half turn goes either way round.
func fingerMoves(at, by int, p prices) (moves []fingerMove) {
	for start := -1; start <= 1; start++ {
		price := p.quarter
		distances := []int{by}
		if by == 2 {
			price, distances = p.half, []int{2, -2}
		}
		if start != at {
			price += oneReset
		}
		for _, distance := range distances {
			if to := start + distance; -1 <= to && to <= 1 {
				moves = append(moves, fingerMove{to, price})
			}
		}
	}
	return moves
}
